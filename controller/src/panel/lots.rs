//! Seed lots to choose from: a name, a box, a rate and a meter curve, checked before they can be chosen.

use super::boxes::BOXES;
use super::rate_steps::{LEAST, MOST};
use crate::quantity::MilligramsPerSquareMetre;
use crate::seed::{self, CurveError, MAX_POINTS, MeterCurve, MeterPoint, Product};
use core::fmt;
use heapless::{String, Vec};

/// Most lots of a book.
pub const MAX_LOTS: usize = 8;

/// Most signs of a name.
const NAME: usize = 12;

/// A lot as a person writes it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LotConfig {
    /// Its name: 1 to 12 signs of printable ASCII, no blank at either end.
    pub name: String<NAME>,
    /// The box that it is in, from 0.
    pub product: u8,
    /// Its rate: 0.5 to 500 kg/ha.
    pub rate: MilligramsPerSquareMetre,
    /// What a turn of the meter delivers of it: 1 to 6 catches.
    pub meter: Vec<MeterPoint, MAX_POINTS>,
}

/// A checked lot.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Lot {
    name: String<NAME>,
    product: u8,
    rate: MilligramsPerSquareMetre,
    meter: MeterCurve,
}

/// What is wrong with a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[non_exhaustive]
pub enum LotWrong {
    /// The name is empty, not printable ASCII, or begins or ends with a blank.
    Name,
    /// Another lot of the book has this name.
    Twice,
    /// There is no such box.
    Product,
    /// The rate is outside 0.5 to 500 kg/ha.
    Rate,
    /// The meter curve breaks a rule.
    Meter(CurveError),
    /// There are more than eight lots.
    TooMany,
}

/// A lot that is wrong: which, from 1, and in what.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LotError {
    /// The lot, from 1.
    pub lot: usize,
    /// What is wrong with it.
    pub wrong: LotWrong,
}

impl fmt::Display for LotError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "lot {}: ", self.lot)?;
        f.write_str(match self.wrong {
            LotWrong::Name => "the name must be 1 to 12 printable signs without a blank at an end",
            LotWrong::Twice => "another lot has this name",
            LotWrong::Product => "there is no such box",
            LotWrong::Rate => "the rate must be 0.5 to 500 kg/ha",
            LotWrong::Meter(_) => "the meter curve breaks a rule",
            LotWrong::TooMany => "eight lots are the most",
        })
    }
}

impl core::error::Error for LotError {}

/// Checked lots, eight at most.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[must_use]
pub struct LotBook {
    lots: Vec<Lot, MAX_LOTS>,
}

impl Lot {
    /// Checks one lot.
    fn new(config: &LotConfig) -> Result<Self, LotWrong> {
        let name = config.name.as_str();
        let printable = name.bytes().all(|sign| (b' '..=b'~').contains(&sign));
        if name.is_empty() || !printable || name.trim().len() != name.len() {
            return Err(LotWrong::Name);
        }
        if usize::from(config.product) >= BOXES {
            return Err(LotWrong::Product);
        }
        if config.rate < LEAST || config.rate > MOST {
            return Err(LotWrong::Rate);
        }
        let meter = MeterCurve::new(&config.meter).map_err(LotWrong::Meter)?;
        let LotConfig { name, product, rate, .. } = config.clone();
        Ok(Self { name, product, rate, meter })
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The box that it is in, from 0.
    #[must_use]
    pub fn product(&self) -> usize {
        usize::from(self.product)
    }

    /// The lot as the controller takes it.
    pub(super) fn to_sow(&self) -> seed::Lot {
        let product = if self.product == 0 { Product::First } else { Product::Second };
        // There is room: a curve has as many points at the most.
        let meter = Vec::from_slice(self.meter.points()).unwrap_or_default();
        seed::Lot { product, rate: self.rate, meter }
    }

    /// Its rate.
    pub const fn rate(&self) -> MilligramsPerSquareMetre {
        self.rate
    }

    /// Its meter curve.
    #[must_use]
    pub const fn meter(&self) -> &MeterCurve {
        &self.meter
    }
}

impl LotBook {
    /// Checks the lots.
    ///
    /// # Errors
    ///
    /// [`LotError`] names the first lot that is wrong.
    pub fn new(configs: &[LotConfig]) -> Result<Self, LotError> {
        let mut book = Self::default();
        for config in configs {
            let lot = book.lots.len().saturating_add(1);
            let wrong = |wrong| LotError { lot, wrong };
            let checked = Lot::new(config).map_err(wrong)?;
            if book.lots.iter().any(|other| other.name == checked.name) {
                return Err(wrong(LotWrong::Twice));
            }
            book.lots.push(checked).map_err(|_| wrong(LotWrong::TooMany))?;
        }
        Ok(book)
    }

    /// A lot, from 0.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&Lot> {
        self.lots.get(index)
    }

    /// Number of lots.
    #[must_use]
    pub fn len(&self) -> usize {
        self.lots.len()
    }

    /// Whether there is none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.lots.is_empty()
    }

    /// The lot before or after another, round and round.
    pub(super) fn beside(&self, index: usize, after: bool) -> usize {
        let step = if after { 1 } else { self.lots.len().saturating_sub(1) };
        index.saturating_add(step).checked_rem(self.lots.len()).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::{LotBook, LotConfig, LotWrong};
    use crate::quantity::{MicrogramsPerTurn, MilligramsPerSquareMetre, TurnsPerSecond};
    use crate::seed::{CurveError, MeterPoint};

    fn lot(name: &str) -> LotConfig {
        let shaft = TurnsPerSecond::from_bits(1 << 21);
        let mass = MicrogramsPerTurn::new(120_000_000);
        let mut config = LotConfig {
            name: name.try_into().unwrap(),
            rate: MilligramsPerSquareMetre::from_whole(11_000),
            ..LotConfig::default()
        };
        config.meter.push(MeterPoint { shaft, mass }).unwrap();
        config
    }

    fn wrong(configs: &[LotConfig]) -> (usize, LotWrong) {
        let error = LotBook::new(configs).expect_err("something is wrong");
        (error.lot, error.wrong)
    }

    #[test]
    fn a_lot_that_breaks_a_rule_is_named() {
        let good = lot("winter wheat");
        assert!(LotBook::new(&[good.clone(), lot("barley")]).is_ok());
        assert_eq!(wrong(&[lot("")]), (1, LotWrong::Name));
        assert_eq!(wrong(&[lot(" rye")]), (1, LotWrong::Name));
        assert_eq!(wrong(&[lot("b\u{fc}ckling")]), (1, LotWrong::Name));
        assert_eq!(wrong(&[good.clone(), good.clone()]), (2, LotWrong::Twice));
        assert_eq!(wrong(&[LotConfig { product: 2, ..good.clone() }]), (1, LotWrong::Product));
        let rate = MilligramsPerSquareMetre::from_whole(49);
        assert_eq!(wrong(&[LotConfig { rate, ..good.clone() }]), (1, LotWrong::Rate));
        let empty = LotConfig { meter: heapless::Vec::new(), ..good };
        assert_eq!(wrong(&[empty]), (1, LotWrong::Meter(CurveError::Empty)));
        let many = ["a", "b", "c", "d", "e", "f", "g", "h", "i"].map(lot);
        assert_eq!(wrong(&many), (9, LotWrong::TooMany));
    }

    #[test]
    fn lots_go_round_both_ways() {
        let book = LotBook::new(&["a", "b", "c"].map(lot)).unwrap();
        assert_eq!([book.beside(2, true), book.beside(0, false), book.beside(1, false)], [0, 2, 0]);
        assert_eq!(LotBook::default().beside(0, true), 0, "an empty book");
    }
}
