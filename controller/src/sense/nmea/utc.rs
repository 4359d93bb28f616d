//! The time of day that a sentence carries.

use crate::quantity::Micros;

/// Milliseconds of a day.
const DAY: u32 = 86_400_000;

/// A time of day, UTC, in milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct UtcTime(u32);

impl UtcTime {
    /// So many milliseconds after midnight.
    pub const fn from_millis(millis: u32) -> Self {
        Self(millis)
    }

    /// Milliseconds after midnight.
    #[must_use]
    pub const fn millis(self) -> u32 {
        self.0
    }

    /// Time since `earlier`, across midnight if need be; none where it is not half a day and more than nothing.
    pub(super) fn since(self, earlier: Self) -> Option<Micros> {
        let later = self.0.checked_sub(earlier.0);
        let later = later.or_else(|| self.0.saturating_add(DAY).checked_sub(earlier.0))?;
        (later > 0 && later < DAY / 2).then_some(Micros::new(later.wrapping_mul(1_000)))
    }
}
