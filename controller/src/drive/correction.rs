//! By how much the valve map is corrected, and how far that may go.
//!
//! ```text
//!  shaft speed fed to the map = n + correction        |correction| ≤ limit · n + full / 10
//! ```
//!
//! The correction follows what changes slowly: oil that warms, a coil that warms, a stiff shaft. It is learnt while seed is
//! metered only. What is small beside full speed is let through at any shaft speed: an opening command that is told
//! wrong by a few hundredths is more than half of a slow shaft.

use crate::quantity::{PerMille, TurnsPerSecond, clamp_i32};
use crate::settings::LimitsConfig;

/// Limits of the correction.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Correction {
    /// Shaft speed at full command, Q21.
    pub(super) full: i32,
    /// Share that is told and share at which it ends, Q16.
    told: i32,
    limit: i32,
    /// What is let through at any shaft speed, Q21.
    allowed: i32,
}

/// What the map is corrected by at the moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Corrected {
    /// Shaft speed that the map is asked for beyond the one that is wanted.
    by: TurnsPerSecond,
    /// The one that is wanted.
    of: TurnsPerSecond,
    /// The valve opens further than its map says by more than is told.
    too_far: bool,
    /// It is at its limit.
    limited: bool,
}

impl Correction {
    pub(super) fn new(full: TurnsPerSecond, limits: LimitsConfig) -> Self {
        let LimitsConfig { correction_told, correction_limit, .. } = limits;
        let share = |share: PerMille| share.q16();
        let full = full.to_bits();
        let (told, limit) = (share(correction_told), share(correction_limit));
        Self { full, told, limit, allowed: full / 10 }
    }

    /// Holds the correction `by` of a shaft speed `fed`, Q21, within its limit.
    pub(super) fn hold(&self, fed: i32, by: i32) -> Corrected {
        // Of 15 turns/s at the most: 19 bits of it times 13 of the share.
        let coarse = fed.clamp(0, 15 << 21).wrapping_shr(6);
        let of =
            |share: i32| coarse.wrapping_mul(share.wrapping_add(8).wrapping_shr(4)).wrapping_shr(6);
        let most = of(self.limit).saturating_add(self.allowed);
        let told = of(self.told).saturating_add(self.allowed);
        // `clamp` panics when its bounds cross; these two do not.
        let held = by.min(most).max(most.saturating_neg());
        Corrected {
            by: TurnsPerSecond::from_bits(held),
            of: TurnsPerSecond::from_bits(fed),
            too_far: by > told,
            limited: by != held,
        }
    }
}

impl Corrected {
    /// No correction.
    pub(super) const NONE: Self =
        Self { by: TurnsPerSecond::ZERO, of: TurnsPerSecond::ZERO, too_far: false, limited: false };

    /// The correction, Q21.
    pub(super) const fn bits(self) -> i32 {
        self.by.to_bits()
    }

    /// The valve opens further than its map says by more than is told.
    pub(crate) const fn is_too_far(self) -> bool {
        self.too_far
    }

    /// It is at its limit.
    pub(crate) const fn is_limited(self) -> bool {
        self.limited
    }

    /// As a share of the shaft speed, in thousandths; divides, so it is not for the tick.
    #[must_use]
    pub fn per_mille(self) -> i32 {
        let by = i64::from(self.by.to_bits()).saturating_mul(1_000);
        clamp_i32(by.checked_div(i64::from(self.of.to_bits())).unwrap_or(0))
    }
}

#[cfg(test)]
mod tests {
    use super::Correction;
    use crate::quantity::TurnsPerSecond;
    use crate::settings::LimitsConfig;

    #[test]
    fn it_is_held_at_its_limit_and_told_before() {
        let limits = Correction::new(TurnsPerSecond::from_bits(20 << 16), LimitsConfig::default());
        // Full is 20, the shaft turns at 10: told above 3 + 2, held at 8 + 2.
        for (by, held, too_far, limited) in [
            (4, 4, false, false),
            (6, 6, true, false),
            (11, 10, true, true),
            (-12, -10, false, true),
        ] {
            let have = limits.hold(10 << 16, by << 16);
            let off = (have.bits() - (held << 16)).abs();
            assert!(off < 100, "{by} is held at {}", have.bits());
            assert_eq!((have.is_too_far(), have.is_limited()), (too_far, limited), "{by}");
        }
        assert_eq!(limits.hold(10 << 16, 2 << 16).per_mille(), 200);
        assert_eq!(limits.hold(0, 0).per_mille(), 0, "at rest");
    }
}
