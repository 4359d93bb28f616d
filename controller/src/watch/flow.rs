//! Whether seed passes the tube sensor, and how long a condition has lasted.

use crate::quantity::Micros;

/// Counts how long a condition has lasted; saturates.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Lasting(Micros);

impl Lasting {
    /// Adds a tick; `true` once the condition has lasted for `limit`.
    #[inline]
    pub(crate) fn update(&mut self, holds: bool, elapsed: Micros, limit: Micros) -> bool {
        if !holds {
            self.0 = Micros::ZERO;
            return false;
        }
        self.count(true, elapsed, limit)
    }

    /// The same, apart: most often nothing lasts.
    #[inline(never)]
    pub(super) fn count(&mut self, holds: bool, elapsed: Micros, limit: Micros) -> bool {
        self.0 = if holds { self.0.saturating_add(elapsed) } else { Micros::ZERO };
        holds && self.0 >= limit
    }
}

/// Whether seed passes the tube sensor when it should: none where there is no sensor.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Flow {
    without: Lasting,
    missing: bool,
}

/// A tube sensor is given so long beyond the delivery delay.
const FLOW_WITHIN: Micros = Micros::from_millis(1_000);

impl Flow {
    /// A tick in which seed passes, or nobody looks.
    #[inline]
    pub(crate) fn passes(&mut self) {
        *self = Self::default();
    }

    /// Adds a tick in which no seed passes the sensor, of a shaft that `turns` for the soil or not.
    #[inline(never)]
    pub(crate) fn fails(&mut self, turns: bool, elapsed: Micros, delivery: Micros) {
        self.missing = self.without.update(turns, elapsed, delivery.saturating_add(FLOW_WITHIN));
    }

    /// Seed should have passed and has not.
    pub(crate) const fn is_missing(&self) -> bool {
        self.missing
    }
}
