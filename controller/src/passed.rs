//! Ground passed by a side: raw counts, converted when read.
//!
//! ```text
//!  ground pulses ─────────────┐
//!  µm beyond their length ────┼─► distance = pulses / (pulses per metre) + beyond − offset · angle
//!  ∫ ω dt ────────────────────┘   area     = distance × width × (outlets open / outlets, where that narrows it)
//! ```
//!
//! A side on a curve travels `∫ v dt − y ∫ ω dt`. Beyond the pulses' own length comes what slip adds or takes, and the
//! whole way where samples are followed.

use crate::quantity::{
    Micrometres, Micros, PulsesPerMetre, RadiansPerSecond, divide_wide, divide_wide_signed,
    mul_wide,
};
use crate::seed::Share;
use crate::sense::Travelled;

/// Raw counts of ground.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Passed {
    /// Ground pulses.
    pub pulses: u64,
    /// Distance beyond the pulses' own length, µm: slip, and all of it where samples are followed ...
    pub beyond: i64,
    /// ... and its remainder, 2^-20 µm, below one.
    pub(crate) rest: i64,
    /// Angle turned, 2^-24 rad · µs.
    pub angle: i64,
}

impl Passed {
    /// Counts the ground of a tick.
    pub(crate) fn count(&mut self, ground: Travelled, yaw: RadiansPerSecond, elapsed: Micros) {
        // Counted from nothing: 64 bits of them never wrap.
        self.pulses = self.pulses.wrapping_add(u64::from(ground.pulses));
        if ground.beyond != 0 {
            self.add(ground.beyond);
        }
        if yaw != RadiansPerSecond::ZERO {
            self.turn(yaw, elapsed);
        }
    }

    #[inline(never)]
    fn turn(&mut self, yaw: RadiansPerSecond, elapsed: Micros) {
        // A tick is short: its angle fits 64 bits many times over.
        let micros = i32::try_from(elapsed.get()).unwrap_or(i32::MAX);
        self.angle = self.angle.saturating_add(mul_wide(yaw.to_bits(), micros));
    }

    /// Adds µm Q20; the remainder is carried.
    #[inline(never)]
    const fn add(&mut self, travelled: i64) {
        let sum = self.rest.saturating_add(travelled);
        self.beyond = self.beyond.saturating_add(sum.wrapping_shr(20));
        self.rest = sum & ((1 << 20) - 1);
    }

    /// Distance, µm, of a side `offset` to the left.
    #[must_use]
    pub fn distance(&self, per_metre: Option<PulsesPerMetre>, offset: Micrometres) -> u64 {
        let pulses = per_metre.map_or(0, |per_metre| {
            let pulses = u128::from(self.pulses).saturating_mul(1_000_000 << 16);
            divide_wide(pulses, u128::from(per_metre.to_bits())).unwrap_or(0)
        });
        // 2^-24 rad · µs · µm / 10^6 = 2^-24 µm.
        let inside = i128::from(self.angle).saturating_mul(i128::from(offset.get()));
        let inside = divide_wide_signed(inside.wrapping_shr(24), 1_000_000).unwrap_or(0);
        let pulses = i128::try_from(pulses).unwrap_or(i128::MAX);
        let centre = pulses.saturating_add(i128::from(self.beyond));
        u64::try_from(centre.saturating_sub(inside).max(0)).unwrap_or(u64::MAX)
    }
}

/// Area of a way, mm² (µm · µm / 10^6): of so much of the width.
#[must_use]
pub(crate) fn area(distance_um: u64, width: Micrometres, share: Share) -> u64 {
    let whole = u128::from(distance_um).saturating_mul(u128::from(width.get().unsigned_abs()));
    let area =
        divide_wide(whole.saturating_mul(share.open()), share.of().saturating_mul(1_000_000));
    u64::try_from(area.unwrap_or(0)).unwrap_or(u64::MAX)
}

#[cfg(test)]
mod tests {
    use super::{Passed, area};
    use crate::quantity::{MetresPerSecond, Micrometres, Micros};
    use crate::seed::Share;
    use crate::sense::Travelled;

    #[test]
    fn the_distance_integral_loses_nothing_in_a_million_ticks() {
        let mut passed = Passed::default();
        let speed = MetresPerSecond::from_bits(1_048_577);
        for _ in 0..1_000_000 {
            passed.add(Travelled::at(speed, Micros::new(10_001)).beyond);
        }
        let exact = 1_048_577_i64 * 10_001 * 1_000_000 / (1 << 20);
        assert_eq!(passed.beyond, exact, "10 km in a million ticks");
    }

    #[test]
    fn a_share_of_the_width_is_a_share_of_the_area() {
        let width = Micrometres::from_millimetres(6_000);
        assert_eq!(area(1_000_000, width, Share::WHOLE), 6_000_000, "6 m² on a metre");
        assert_eq!(area(1_000_000, width, Share::new(5, 6)), 5_000_000, "five of six outlets");
        assert_eq!(area(1, width, Share::new(1, 7)), 0, "rounded down: 857 µm · µm of 10^6");
    }
}
