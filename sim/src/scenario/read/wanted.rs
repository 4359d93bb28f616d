//! A quantity that is wanted: its kind and the range that works.

use crate::unit::{Dimension, Unit};

/// Kind and range of a value; the range is in the bench's own unit, both ends good.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Wanted {
    /// Kind of quantity.
    pub(crate) kind: &'static Dimension,
    low: f64,
    high: f64,
}

impl Wanted {
    /// From `low` to `high`.
    pub(crate) const fn new(kind: &'static Dimension, low: f64, high: f64) -> Self {
        Self { kind, low, high }
    }

    /// Whether `value` is in the range.
    pub(crate) fn holds(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// The range in the unit the person used: `0.1 m to 18 m`.
    pub(crate) fn range_in(&self, unit: Option<&Unit>) -> String {
        unit.map_or_else(
            || format!("{} to {}", self.low, self.high),
            |unit| format!("{} to {}", unit.show(self.low, 4), unit.show(self.high, 4)),
        )
    }

    /// Both ends of the range, in the bench's own unit.
    #[cfg(test)]
    pub(crate) const fn ends(&self) -> [f64; 2] {
        [self.low, self.high]
    }
}
