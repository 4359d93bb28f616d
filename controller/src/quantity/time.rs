//! Instants and durations in microseconds.

/// An instant in microseconds on a counter that wraps every 71.6 minutes.
///
/// Only differences mean anything, and only while they are below half the range.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Instant(u32);

/// A duration in microseconds, 0 to 71.6 minutes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Micros(u32);

impl Instant {
    /// The instant of a counter reading.
    pub const fn from_micros(micros: u32) -> Self {
        Self(micros)
    }

    /// The counter reading.
    #[must_use]
    pub const fn micros(self) -> u32 {
        self.0
    }

    /// Time since `earlier`; wraps, because the counter does.
    pub const fn since(self, earlier: Self) -> Micros {
        Micros(self.0.wrapping_sub(earlier.0))
    }

    /// Time since `earlier`, zero if that lies ahead (by less than half the range).
    pub const fn since_or_zero(self, earlier: Self) -> Micros {
        if self.is_before(earlier) { Micros::ZERO } else { self.since(earlier) }
    }

    /// Whether this instant lies before `other`.
    #[must_use]
    pub const fn is_before(self, other: Self) -> bool {
        self.0.wrapping_sub(other.0).cast_signed() < 0
    }

    /// The instant so much later.
    pub const fn plus(self, later: Micros) -> Self {
        Self(self.0.wrapping_add(later.0))
    }

    /// The instant so much earlier.
    pub const fn minus(self, earlier: Micros) -> Self {
        Self(self.0.wrapping_sub(earlier.0))
    }
}

impl Micros {
    /// No time.
    pub const ZERO: Self = Self(0);

    /// So many microseconds.
    pub const fn new(micros: u32) -> Self {
        Self(micros)
    }

    /// So many milliseconds, held at the end of the range.
    pub const fn from_millis(millis: u32) -> Self {
        Self(millis.saturating_mul(1000))
    }

    /// The number of microseconds.
    #[must_use]
    pub const fn get(self) -> u32 {
        self.0
    }

    /// Sum, held at the end of the range.
    pub const fn saturating_add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }

    /// Difference, zero at least.
    pub const fn saturating_sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }

    /// Half of it, rounded down.
    pub const fn half(self) -> Self {
        Self(self.0 / 2)
    }
}

#[cfg(test)]
mod tests {
    use super::{Instant, Micros};

    #[test]
    fn differences_survive_the_wrap() {
        let before = Instant::from_micros(u32::MAX - 5);
        let after = before.plus(Micros::new(10));
        assert_eq!(after.since(before), Micros::new(10), "ten microseconds across the wrap");
        assert!(before.is_before(after), "order across the wrap");
        assert_eq!(before.since_or_zero(after), Micros::ZERO, "the future has no age");
    }
}
