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
        self.0 = self.0.saturating_add(elapsed);
        self.0 >= limit
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
    /// Adds a tick of a shaft that `turns` for the soil or not.
    pub(crate) fn update(
        &mut self,
        turns: bool,
        seen: Option<bool>,
        elapsed: Micros,
        delivery: Micros,
    ) {
        if seen != Some(false) {
            *self = Self::default();
            return;
        }
        let without = turns;
        self.missing = self.without.update(without, elapsed, delivery.saturating_add(FLOW_WITHIN));
    }

    /// Seed should have passed and has not.
    pub(crate) const fn is_missing(&self) -> bool {
        self.missing
    }
}
