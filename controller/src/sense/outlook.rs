//! Motion at an instant, and how it goes on from there.
//!
//! ```text
//!  tracker, at its last measurement ─► outlook at "now" ─► motion after a lead that the settings know
//!
//!  v(h) = v + Σ pⱼ τⱼ (1 − e^(−h/τⱼ))      a(h) = Σ pⱼ e^(−h/τⱼ)      pⱼ: acceleration of a model times its weight
//! ```
//!
//! The carry to "now" is worked out once a tick; what a lead adds is worked out when the settings change.

use crate::quantity::{MetresPerSecond, MetresPerSecondSquared, Micros, mul_shift};
use crate::sense::Direction;
use crate::sense::decay::decay;

/// 1/τ of each model in Q16 per 16 µs, times 2^12 and 2^14: 16 · 65 536 · 2^12 / 400 000 and · 2^14 / 2 000 000.
const RATES: [u32; 2] = [10_737, 8_590];

/// One in Q16.
const ONE_Q16: u32 = 65_536;

/// Longest horizon that is extrapolated, µs; beyond it the motion is held.
const FARTHEST: u32 = 4_000_000;

/// Speed and acceleration at an instant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Motion {
    /// Ground speed.
    pub speed: MetresPerSecond,
    /// Its rate of change.
    pub accel: MetresPerSecondSquared,
}

/// Carries a model over `interval`: what acceleration adds to speed (s, Q15), what is left of it (Q16), both below 2^16.
#[inline]
pub(super) fn carry(model: usize, interval: Micros) -> (i32, i32) {
    // Products of 32 bits: 250 000 steps of 16 µs at the most.
    let steps = interval.get().min(FARTHEST).wrapping_shr(4);
    let (left, adds) = if model == 0 {
        let left = decay(steps.wrapping_mul(RATES[0]).wrapping_shr(12));
        // 0.4 s in Q15 is 52 429 / 2^2.
        (left, ONE_Q16.saturating_sub(left).wrapping_mul(52_429).wrapping_shr(18))
    } else {
        let left = decay(steps.wrapping_mul(RATES[1]).wrapping_shr(14));
        // 2 s in Q15 is 2^16, of which 4 s leave an eighth.
        (left, ONE_Q16.saturating_sub(left))
    };
    (adds.cast_signed(), left.min(0xFFFF).cast_signed())
}

/// An acceleration in Q12, held at 8 m/s² either way: with 16 bits of the other factor its product is one of 32.
pub(super) fn coarse(accel: i32) -> i32 {
    accel.saturating_add(1 << 7).wrapping_shr(8).clamp(-0x7FFF, 0x7FFF)
}

/// What a coarse acceleration adds to a speed, Q20, that is carried over so many seconds, Q15 and below two.
pub(super) const fn gained(pull: i32, adds: i32) -> i32 {
    pull.wrapping_mul(adds).wrapping_add(1 << 6).wrapping_shr(7)
}

/// What is left of a coarse acceleration.
pub(super) const fn faded(pull: i32, left: i32) -> i32 {
    pull.wrapping_mul(left).wrapping_add(1 << 15).wrapping_shr(16)
}

/// A time ahead, worked out when the settings change: what acceleration adds to speed in it (s, Q15), and what is left
/// of it (Q16), by both models.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Lead([(i32, i32); 2]);

impl Lead {
    pub(crate) fn of(time: Micros) -> Self {
        Self([carry(0, time), carry(1, time)])
    }
}

/// The motion at an instant, and the pulls of both models there: it goes on from there.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Outlook {
    /// Q20.
    pub(super) speed: i32,
    /// Q12.
    pub(super) pulls: [i32; 2],
}

/// A look back of so long, µs, is a straight one.
const STRAIGHT: u32 = 40_000;

/// Speed and acceleration at an instant ahead.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Ahead {
    pub(crate) speed: MetresPerSecond,
    /// Q12, held at 8 m/s².
    pull: i32,
}

impl Ahead {
    /// The speed a short while before, as if the acceleration had been this one all the time; none for a longer one.
    ///
    /// Of a model that dies out in 0.4 s this is ½ · 0.5 / 0.4 · 0.04² = 0.001 m/s off over 40 ms of 0.5 m/s².
    pub(crate) fn before(self, time: Micros) -> Option<MetresPerSecond> {
        (time.get() <= STRAIGHT).then(|| straight_back(self.speed, self.pull, time))
    }

    /// What the acceleration adds to a speed over a lag in seconds, Q14 and at most two: m/s Q13, held at 4 m/s.
    pub(crate) fn over_lag(self, lag: u16) -> i16 {
        let product = self.pull.wrapping_mul(i32::from(lag));
        let gained = product.wrapping_add(1 << 12).wrapping_shr(13);
        i16::try_from(gained).unwrap_or(if gained < 0 { i16::MIN } else { i16::MAX })
    }
}

impl Motion {
    /// The speed a while before, at the most a second, if the acceleration has been this one all the time.
    pub(crate) fn straight_back(self, time: Micros) -> MetresPerSecond {
        straight_back(self.speed, coarse(self.accel.to_bits()), time)
    }
}

#[inline]
fn straight_back(speed: MetresPerSecond, pull: i32, time: Micros) -> MetresPerSecond {
    // 2^15 / 10^6 is 34 360 / 2^20.
    let steps = time.get().min(1_000_000).wrapping_shr(4);
    let seconds = steps.wrapping_mul(34_360).wrapping_shr(16).cast_signed();
    MetresPerSecond::from_bits(speed.to_bits().saturating_sub(gained(pull, seconds)))
}

impl Outlook {
    /// A speed that does not change.
    pub(crate) const fn steady(speed: MetresPerSecond) -> Self {
        Self { speed: speed.to_bits(), pulls: [0; 2] }
    }

    /// The same on another scale, Q16.
    pub(crate) fn times(self, scale: i32) -> Self {
        if scale == 1 << 16 {
            return self;
        }
        // Fifteen bits of each: pulls have no more, and scales are below two.
        let coarse = scale.wrapping_shr(2).clamp(0, 0x7FFF);
        let times = |pull: i32| {
            pull.wrapping_mul(coarse).wrapping_add(1 << 13).wrapping_shr(14).clamp(-0x7FFF, 0x7FFF)
        };
        let [steady, manoeuvre] = self.pulls;
        let pulls = [times(steady), times(manoeuvre)];
        Self { speed: mul_shift::<16>(self.speed, scale), pulls }
    }

    /// The same in a direction: backwards the speed is negative whatever the source says.
    pub(crate) fn towards(self, direction: Direction) -> Self {
        match direction {
            Direction::Reverse if self.speed > 0 => Self {
                speed: self.speed.saturating_neg(),
                pulls: self.pulls.map(i32::saturating_neg),
            },
            Direction::Reverse | Direction::Forward => self,
        }
    }

    /// The speed now.
    pub(crate) const fn speed(&self) -> MetresPerSecond {
        MetresPerSecond::from_bits(self.speed)
    }

    /// The motion after a time.
    pub(crate) fn after(&self, lead: &Lead) -> Ahead {
        let [steady, manoeuvre] = self.pulls;
        let [(steady_adds, steady_left), (manoeuvre_adds, manoeuvre_left)] = lead.0;
        let gained = gained(steady, steady_adds).saturating_add(gained(manoeuvre, manoeuvre_adds));
        let pull = faded(steady, steady_left).saturating_add(faded(manoeuvre, manoeuvre_left));
        Ahead {
            speed: MetresPerSecond::from_bits(self.speed.saturating_add(gained)),
            pull: pull.clamp(-0x7FFF, 0x7FFF),
        }
    }
}
