//! What the operator wishes; the board performs it and answers.

use crate::catch_run::CatchError;
use crate::controller::{Act, Refusal};
use crate::quantity::MilligramsPerSquareMetre;

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
    /// The act by which the controller performs it, if it is one of the controller's with one box.
    #[must_use]
    pub const fn act(self) -> Option<Act> {
        match self {
            Self::Rate { product: 0, rate } => Some(Act::Rate(rate)),
            Self::Filled { product: 0, content_ug } => Some(Act::Filled(content_ug)),
            Self::Rate { .. }
            | Self::Filled { .. }
            | Self::Lot(_)
            | Self::FieldBegins
            | Self::FieldEnds => None,
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
        }
    }
}

impl Why {
    /// As the display says it: at most 16 signs.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Refused(refusal) => match refusal {
                Refusal::Settings(_) => "outside settings",
                Refusal::Catch(CatchError::Stopped) => "master off, on",
                Refusal::Catch(_) => "no catch now",
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
