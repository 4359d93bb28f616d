//! What the operator wishes; the board performs it and answers.

use super::lots::LotBook;
use crate::controller::{Act, Controller, Refusal};
use crate::quantity::{Instant, MilligramsPerSquareMetre};
use crate::run::RunError;
use crate::seed::Product;

/// A decision of the operator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Wish {
    /// Another rate of a box, within its limits.
    Rate {
        /// The box, from 0.
        product: usize,
        /// The rate.
        rate: MilligramsPerSquareMetre,
    },
    /// Another lot of the book, from 0: its curve and rate are put in force for its box.
    Lot(usize),
    /// A box was filled.
    Filled {
        /// The box, from 0.
        product: usize,
        /// What it holds now, µg.
        content_ug: u64,
    },
    /// The field begins: the panel itself counts from here.
    FieldBegins,
    /// The field ends.
    FieldEnds,
    /// This side, from 0, may go on by its map alone.
    ByMap(usize),
    /// The drive was mended: what was learnt of the maps is forgotten.
    Mended,
}

/// Why a wish was not granted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Why {
    /// The controller refused.
    Refused(Refusal),
    /// The board cannot do it.
    NotHere,
    /// The rate is at its limit.
    AtLimit,
    /// Nobody answered.
    NoAnswer,
}

/// The answer to a wish.
pub type Answer = Result<(), Why>;

impl Wish {
    /// The act by which the controller performs it; none of a lot, and of the field, which is the panel's own.
    #[must_use]
    pub const fn act(self) -> Option<Act> {
        match self {
            Self::Rate { product, rate } => Some(Act::Rate { product: of_box(product), rate }),
            Self::Filled { product, content_ug } => {
                Some(Act::Filled { product: of_box(product), micrograms: content_ug })
            }
            Self::ByMap(side) => Some(Act::ByMap(side)),
            Self::Mended => Some(Act::ForgetCorrections),
            Self::Lot(_) | Self::FieldBegins | Self::FieldEnds => None,
        }
    }

    /// Performs it on a controller; a lot is that of the book.
    ///
    /// # Errors
    ///
    /// [`Why`] it was not granted.
    pub fn perform(self, controller: &mut Controller, lots: &LotBook, now: Instant) -> Answer {
        if let Self::Lot(index) = self {
            let lot = lots.get(index).ok_or(Why::NotHere)?;
            return controller.set_lot(&lot.to_sow(), now).map_err(Why::Refused);
        }
        match self.act() {
            Some(act) => controller.act(act, now).map_err(Why::Refused),
            None => Ok(()),
        }
    }

    /// What it was, as the display says it: at most 16 signs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Rate { .. } => "rate set",
            Self::Lot(_) => "lot chosen",
            Self::Filled { .. } => "box filled",
            Self::FieldBegins => "field begun",
            Self::FieldEnds => "field ended",
            Self::ByMap(_) => "goes by its map",
            Self::Mended => "map as told",
        }
    }
}

/// The product of a box, from 0.
const fn of_box(index: usize) -> Product {
    if index == 0 { Product::First } else { Product::Second }
}

impl Why {
    /// As the display says it: at most 16 signs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Refused(refusal) => match refusal {
                Refusal::Settings(_) => "outside settings",
                Refusal::Run(RunError::Stopped) => "master off, on",
                Refusal::Run(_) => "no run now",
                Refusal::ByMap => "encoder is well",
                Refusal::NotAtRest => "not at rest",
                Refusal::NoProduct => "no such box",
                Refusal::Outlets => "no such outlets",
                Refusal::Turning => "a shaft turns",
                Refusal::Lot(_) => "choose the lot",
                Refusal::Unconfigured => "no settings",
                Refusal::SpeedByHand => "speed impossible",
                Refusal::Snapshot => "counts differ",
            },
            Self::NotHere => "not possible",
            Self::AtLimit => "rate at limit",
            Self::NoAnswer => "no answer",
        }
    }
}
