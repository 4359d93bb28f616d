//! Yaw rate and where it is going, so that each side has its own ground speed.
//!
//! `v_side = v − ω·y` (ISO 8855: y to the left, ω anticlockwise positive). Its rate of change is
//! filtered over about 0.1 s and carried on along a parabola that levels out after 0.25 s.

use crate::quantity::{MetresPerSecond, Micrometres, Micros, RadiansPerSecond, mul_shift};

/// What is known of the yaw at the tick; `Default` is straight ahead.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct YawState {
    rate: i32,
    /// Change per tick of 10 ms, filtered, Q24 rad/s, held at [`STEEPEST`].
    trend: i32,
    live: bool,
}

/// Share of a change that goes into the trend each tick: 0.1, Q12.
const TREND_SHARE: i32 = 410;

/// Largest trend, Q24 rad/s in a tick: no drill begins a curve with 1.5 rad/s². With a bend its product fits 32 bits.
const STEEPEST: i32 = 1 << 18;

/// Largest change of a tick, Q24 rad/s: 0.12.
const GREATEST: i32 = 1 << 21;

/// How far a trend has carried a rate after a time, in ticks of 10 ms, Q8: h − 2 h², held at its summit at 0.25 s.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Bend(i32);

impl Bend {
    #[inline]
    pub(crate) fn after(time: Micros) -> Self {
        // 2^8 / 10 000 and 1 / 50 by 1 678 and 1 311 / 2^16.
        let ahead = time.get().min(1 << 19);
        let ticks = ahead.wrapping_mul(1_678).wrapping_shr(16).cast_signed().min(6_400);
        let square = ticks.wrapping_mul(ticks).wrapping_shr(8);
        Self(ticks.wrapping_sub(square.wrapping_mul(1_311).wrapping_shr(16)))
    }
}

/// A distance to the left in metres, Q20: what turns a yaw rate into a speed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Lever(i32);

impl Lever {
    /// Of an offset of at most 20 m.
    pub(crate) const fn of(offset: Micrometres) -> Self {
        // 2^20 / 10^6 is 68 719.477 / 2^16.
        Self(mul_shift::<16>(offset.get(), 68_719))
    }
}

impl YawState {
    /// Takes the reading of a tick; none means straight ahead.
    pub fn update(&mut self, reading: Option<RadiansPerSecond>) {
        let Some(reading) = reading else {
            *self = Self::default();
            return;
        };
        let rate = reading.to_bits();
        if self.live {
            let change = rate.saturating_sub(self.rate).clamp(-GREATEST, GREATEST);
            let step = change.wrapping_sub(self.trend).wrapping_mul(TREND_SHARE);
            let step = step.wrapping_add(1 << 11).wrapping_shr(12);
            self.trend = self.trend.wrapping_add(step).clamp(-STEEPEST, STEEPEST);
        }
        self.rate = rate;
        self.live = true;
    }

    /// Yaw rate at the tick.
    pub(crate) const fn now(&self) -> RadiansPerSecond {
        RadiansPerSecond::from_bits(self.rate)
    }

    /// Yaw rate after a time.
    pub(crate) const fn rate(&self, bend: Bend) -> RadiansPerSecond {
        let turned = self.trend.wrapping_mul(bend.0).wrapping_add(1 << 7).wrapping_shr(8);
        RadiansPerSecond::from_bits(self.rate.saturating_add(turned))
    }
}

/// Speed of a point to the left when the centre moves at `centre` and turns at `rate`.
#[inline]
pub(crate) fn side_speed(
    centre: MetresPerSecond,
    lever: Lever,
    rate: RadiansPerSecond,
) -> MetresPerSecond {
    // On a straight there is nothing to work out.
    if rate == RadiansPerSecond::ZERO {
        return centre;
    }
    let turning = mul_shift::<24>(rate.to_bits(), lever.0);
    MetresPerSecond::from_bits(centre.to_bits().saturating_sub(turning))
}

#[cfg(test)]
mod tests {
    use super::{Bend, Lever, YawState, side_speed};
    use crate::quantity::{MetresPerSecond, Micrometres, Micros, RadiansPerSecond};

    #[test]
    fn the_inner_side_of_a_left_hand_curve_is_slower() {
        let mut yaw = YawState::default();
        // 0.1 rad/s anticlockwise, offset 1.5 m to the left, 1.5 m/s: 1.35 m/s.
        yaw.update(Some(RadiansPerSecond::from_bits(1_677_722)));
        let centre = MetresPerSecond::from_millimetres(1_500);
        let rate = yaw.now();
        let left =
            side_speed(centre, Lever::of(Micrometres::from_millimetres(1_500)), rate).to_bits();
        let want = MetresPerSecond::from_millimetres(1_350).to_bits();
        assert!((left - want).abs() < 8, "left side {left}, want {want}");
        let right =
            side_speed(centre, Lever::of(Micrometres::from_millimetres(-1_500)), rate).to_bits();
        let want = MetresPerSecond::from_millimetres(1_650).to_bits();
        assert!((right - want).abs() < 8, "right side {right}, want {want}");
    }
    #[test]
    fn a_rate_that_grows_evenly_goes_on_and_levels_out() {
        let mut yaw = YawState::default();
        // 0.5 rad/s²: 0.005 rad/s in a tick.
        for tick in 0..100 {
            yaw.update(Some(RadiansPerSecond::from_bits(tick * 83_886)));
        }
        // In thousandths of a tick's change.
        let ahead = |millis| {
            let rate = yaw.rate(Bend::after(Micros::from_millis(millis)));
            let gained = rate.to_bits().saturating_sub(yaw.now().to_bits());
            i64::from(gained).wrapping_mul(1_000) / 83_886
        };
        assert!(ahead(0).abs() < 10, "now: {}", ahead(0));
        // h − h²/50 ticks of 10 ms.
        for (millis, want) in [(20, 1_920), (100, 8_000), (250, 12_500), (900, 12_500)] {
            let have = ahead(millis);
            assert!(have.abs_diff(want) < 100, "{millis} ms on: {have}, want {want}");
        }
    }

    #[test]
    fn a_wild_rate_is_carried_no_further_than_a_drill_can_turn() {
        let mut yaw = YawState::default();
        for rate in [0, i32::MAX, i32::MIN, i32::MAX, i32::MIN, 0, 1 << 30] {
            yaw.update(Some(RadiansPerSecond::from_bits(rate)));
            let ahead = yaw.rate(Bend::after(Micros::from_millis(500)));
            let apart = ahead.to_bits().abs_diff(yaw.now().to_bits());
            assert!(apart <= 13 << 18, "{rate}: {apart}");
        }
    }
}
