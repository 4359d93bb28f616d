//! Yaw rate and where it is going, so that each side has its own ground speed.
//!
//! `v_side = v − ω·y` (ISO 8855: y to the left, ω anticlockwise positive). Its rate of change is
//! filtered over about 0.1 s and carried on along a parabola that levels out after 0.25 s.

use crate::quantity::{
    Instant, MetresPerSecond, Micrometres, Micros, RadiansPerSecond, clamp_i32, mul_shift, mul_wide,
};

/// What is known of the yaw; `Default` is straight ahead.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct YawState {
    rate: i32,
    /// Change per tick of 10 ms, filtered, Q24 rad/s.
    trend: i32,
    at: Instant,
    live: bool,
}

/// Share of a change that goes into the trend each tick: 0.1, Q16.
const TREND_SHARE: i32 = 6_554;

impl YawState {
    /// Takes the reading at `now`; none means straight ahead.
    pub fn update(&mut self, reading: Option<RadiansPerSecond>, now: Instant) {
        let Some(reading) = reading else {
            *self = Self::default();
            return;
        };
        let rate = reading.to_bits();
        if self.live {
            let change = rate.saturating_sub(self.rate).saturating_sub(self.trend);
            self.trend = self.trend.saturating_add(mul_shift::<16>(change, TREND_SHARE));
        }
        *self = Self { rate, trend: self.trend, at: now, live: true };
    }

    /// Yaw rate at `at`.
    #[inline(never)]
    pub fn rate(&self, at: Instant) -> RadiansPerSecond {
        if !self.live {
            return RadiansPerSecond::ZERO;
        }
        let ahead = at.since_or_zero(self.at).min(Micros::from_millis(1_000)).get();
        // h − 2 h² in ticks of 10 ms, Q8, held at its summit at 0.25 s.
        // 2^8 / 10 000 and 1 / 50 by 1 678 and 1 311 / 2^16.
        let ticks = ahead.wrapping_mul(1_678).wrapping_shr(16).cast_signed().min(6_400);
        let square = ticks.wrapping_mul(ticks).wrapping_shr(8);
        let bent = ticks.saturating_sub(square.wrapping_mul(1_311).wrapping_shr(16));
        RadiansPerSecond::from_bits(self.rate.saturating_add(mul_shift::<8>(self.trend, bent)))
    }
}

/// Speed of a point `offset` to the left when the centre moves at `centre` and turns at `rate`.
#[inline]
pub(crate) fn side_speed(
    centre: MetresPerSecond,
    offset: Micrometres,
    rate: RadiansPerSecond,
) -> MetresPerSecond {
    // On a straight there is nothing to work out.
    if offset.get() == 0 || rate == RadiansPerSecond::ZERO {
        return centre;
    }
    turned(centre, offset, rate)
}

#[inline(never)]
fn turned(centre: MetresPerSecond, offset: Micrometres, rate: RadiansPerSecond) -> MetresPerSecond {
    // rad/s Q24 · µm / 16 000 000 is m/s Q20; / 2^20 / 15.2588 by its reciprocal 68 719 / 2^20.
    let turning = mul_wide(rate.to_bits(), offset.get()).wrapping_shr(20);
    let side = mul_shift::<20>(clamp_i32(turning), 68_719);
    MetresPerSecond::from_bits(centre.to_bits().saturating_sub(side))
}

#[cfg(test)]
mod tests {
    use super::{YawState, side_speed};
    use crate::quantity::{Instant, MetresPerSecond, Micrometres, RadiansPerSecond};

    #[test]
    fn the_inner_side_of_a_left_hand_curve_is_slower() {
        let mut yaw = YawState::default();
        let now = Instant::from_micros(0);
        // 0.1 rad/s anticlockwise, offset 1.5 m to the left, 1.5 m/s: 1.35 m/s.
        yaw.update(Some(RadiansPerSecond::from_bits(1_677_722)), now);
        let centre = MetresPerSecond::from_millimetres(1_500);
        let rate = yaw.rate(now);
        let left = side_speed(centre, Micrometres::from_millimetres(1_500), rate).to_bits();
        let want = MetresPerSecond::from_millimetres(1_350).to_bits();
        assert!((left - want).abs() < 8, "left side {left}, want {want}");
        let right = side_speed(centre, Micrometres::from_millimetres(-1_500), rate).to_bits();
        let want = MetresPerSecond::from_millimetres(1_650).to_bits();
        assert!((right - want).abs() < 8, "right side {right}, want {want}");
    }
}
