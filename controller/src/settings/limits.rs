//! Limits of a working day: where the controller tells, disarms, or goes no further.

use super::error::within;
use super::{Rule, SettingsError};
use crate::quantity::{MetresPerSecond, Micrometres, Micros, PerMille};

/// Limits that a person sets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LimitsConfig {
    /// A start by hand meters as for this ground speed: 0 for none, else from the lowest sowing speed to 3 m/s.
    pub start_speed: MetresPerSecond,
    /// Faster than this for a second disarms: above the lowest sowing speed, up to 30 m/s.
    pub road_speed: MetresPerSecond,
    /// Lifted for longer than this disarms: 30 s to 1 h.
    pub raised_for: Micros,
    /// A valve that must open further than its map says by more than this share, and a tenth of full shaft speed, is
    /// told: 50 to 1 000.
    pub correction_told: PerMille,
    /// The map is corrected by no more than this share, and a tenth of full shaft speed: `correction_told` to 1 000.
    pub correction_limit: PerMille,
    /// A rate that is off by more than this share ...
    pub rate_band: PerMille,
    /// ... for longer than this way is told: 20 to 500, 1 to 200 m.
    pub rate_way: Micrometres,
}

impl Default for LimitsConfig {
    /// No start by hand; road speed and time lifted where they disturb nobody; the rest is common practice of a careful shop.
    fn default() -> Self {
        Self {
            start_speed: MetresPerSecond::ZERO,
            road_speed: MetresPerSecond::from_millimetres(16_000),
            raised_for: Micros::from_millis(3_600_000),
            correction_told: PerMille::new(300),
            correction_limit: PerMille::new(800),
            rate_band: PerMille::new(100),
            rate_way: Micrometres::from_millimetres(20_000),
        }
    }
}

impl LimitsConfig {
    /// Checks the limits; `lowest` is the lowest sowing speed.
    pub(super) fn check(&self, lowest: MetresPerSecond) -> Result<(), SettingsError> {
        let speed = |speed: MetresPerSecond| i64::from(speed.to_bits());
        let share = |share: PerMille| i64::from(share.get());
        if self.start_speed != MetresPerSecond::ZERO {
            within(Rule::StartSpeed, None, speed(self.start_speed), speed(lowest), 3 << 20)?;
        }
        let above = speed(lowest).saturating_add(1);
        within(Rule::RoadSpeed, None, speed(self.road_speed), above, 30 << 20)?;
        let raised = i64::from(self.raised_for.get());
        within(Rule::RaisedFor, None, raised, 30_000_000, 3_600_000_000)?;
        let told = share(self.correction_told);
        within(Rule::CorrectionTold, None, told, 50, 1_000)?;
        within(Rule::CorrectionLimit, None, share(self.correction_limit), told, 1_000)?;
        within(Rule::RateBand, None, share(self.rate_band), 20, 500)?;
        within(Rule::RateWay, None, i64::from(self.rate_way.get()), 1_000_000, 200_000_000)
    }
}
