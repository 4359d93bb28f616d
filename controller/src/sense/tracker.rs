//! Ground speed and acceleration, from late measurements, at any instant.
//!
//! Two models run side by side and are weighted by how well each foretold the last measurements:
//!
//! ```text
//!               ┌► steady: acceleration dies out in 0.4 s ──┐
//!  z, instant ──┤                                           ├─ mix ─► v, a at any later instant
//!               └► manoeuvre: acceleration dies out in 2 s ─┘
//!
//!  predict   v += φ a,  a ·= e^(−T/τ),  φ = τ (1 − e^(−T/τ))
//!  correct   y = z − v,  v += K_v y,  a += K_a y
//!  weigh     μ_j ∝ (Σ_i p_ij μ_i) · exp(−y_j² / 2 S_j) / √S_j
//! ```
//!
//! The tracker lives at the instants of its measurements and is extrapolated from there; a late
//! measurement never corrects "now". The mixing before each step is that of an interacting
//! multiple-model filter; the gains are fixed per source and interval ([`Gains`]).

use crate::quantity::{
    Instant, MetresPerSecond, MetresPerSecondSquared, Micros, clamp_i32, mul_shift, mul_wide,
};
use crate::sense::Direction;
use crate::sense::decay::decay;
use crate::sense::gains::{Gains, ModelGains, Quality};

/// 1/τ of each model in Q16 per µs, times 2^20: 65 536 · 2^20 / 400 000 and / 2 000 000.
const RATES: [u32; 2] = [171_799, 34_360];

/// τ of each model, s, Q20.
const LAGS: [u32; 2] = [419_430, 2_097_152];

/// Chance of staying in the steady model and of turning to the manoeuvre model, Q15: 0.98 and 0.02.
const FROM_STEADY: [u32; 2] = [32_113, 655];

/// Chance of turning to the steady model and of staying in the manoeuvre model, Q15: 0.05 and 0.95.
const FROM_MANOEUVRE: [u32; 2] = [1_638, 31_130];

/// One in Q15.
const ONE: u32 = 32_768;

/// Innovations are told apart up to 256 · √2 standard deviations, Q8.
const FARTHEST_OFF: u32 = 65_535;

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

impl Motion {
    /// The motion on another scale, Q16.
    pub(crate) fn times(self, scale: i32) -> Self {
        if scale == 1 << 16 {
            return self;
        }
        Self {
            speed: MetresPerSecond::from_bits(mul_shift(self.speed.to_bits(), scale, 16)),
            accel: MetresPerSecondSquared::from_bits(mul_shift(self.accel.to_bits(), scale, 16)),
        }
    }

    /// The motion in a direction: backwards the speed is negative whatever the source says.
    pub(crate) fn towards(self, direction: Direction) -> Self {
        match direction {
            Direction::Reverse if self.speed > MetresPerSecond::ZERO => Self {
                speed: MetresPerSecond::ZERO.saturating_sub(self.speed),
                accel: MetresPerSecondSquared::ZERO.saturating_sub(self.accel),
            },
            Direction::Reverse | Direction::Forward => self,
        }
    }
}

/// What one model believes at the instant of the last measurement, raw Q20.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Belief {
    speed: i32,
    accel: i32,
}

/// What the tracker remembers. `Default` has seen nothing.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct TrackerState {
    beliefs: [Belief; 2],
    /// Weight of the steady model, Q15.
    steady: u32,
    at: Instant,
    live: bool,
}

/// Carries a model over `interval`: what acceleration adds to speed (s, Q20), what is left of it (Q16).
#[inline(never)]
fn carry(model: usize, interval: Micros) -> (i32, i32) {
    let micros = interval.get().min(FARTHEST);
    let (rate, lag) = if model == 0 { (RATES[0], LAGS[0]) } else { (RATES[1], LAGS[1]) };
    let x = u64::from(micros).wrapping_mul(u64::from(rate)).wrapping_shr(20);
    let left = decay(u32::try_from(x).unwrap_or(u32::MAX));
    let gone = 65_536_u32.saturating_sub(left);
    let adds = u64::from(lag).wrapping_mul(u64::from(gone)).wrapping_shr(16);
    (i32::try_from(adds).unwrap_or(i32::MAX), i32::try_from(left).unwrap_or(0))
}

impl Belief {
    fn carried(self, model: usize, interval: Micros) -> Self {
        let (adds, left) = carry(model, interval);
        Self {
            speed: self.speed.saturating_add(mul_shift(self.accel, adds, 20)),
            accel: mul_shift(self.accel, left, 16),
        }
    }

    /// Corrects by a measurement; returns the squared innovation over 2 S, Q16, held at 65 535.
    fn correct(&mut self, measured: i32, gains: ModelGains) -> u32 {
        let innovation = measured.saturating_sub(self.speed);
        let gain = |word: u32| i32::try_from(word).unwrap_or(i32::MAX);
        self.speed = self.speed.saturating_add(mul_shift(innovation, gain(gains.speed), 16));
        self.accel = self.accel.saturating_add(mul_shift(innovation, gain(gains.accel), 16));
        // Q20 · Q12 down to Q8, held below 2^16 so that the square stays within 32 bits.
        let normal =
            mul_shift(innovation, gain(gains.sharpness), 24).unsigned_abs().min(FARTHEST_OFF);
        normal.wrapping_mul(normal)
    }
}

impl TrackerState {
    /// Whether there is anything to extrapolate.
    #[must_use]
    pub const fn is_live(&self) -> bool {
        self.live
    }

    /// The instant of the last measurement.
    pub const fn at(&self) -> Instant {
        self.at
    }

    /// Forgets everything.
    pub fn forget(&mut self) {
        *self = Self::default();
    }

    /// Takes a measurement that was true at `at`. One that is older than the last is dropped.
    #[inline(never)]
    pub fn observe(&mut self, speed: MetresPerSecond, at: Instant, quality: Quality) {
        let measured = speed.to_bits();
        if !self.live {
            let belief = Belief { speed: measured, accel: 0 };
            *self = Self { beliefs: [belief; 2], steady: ONE / 2, at, live: true };
            return;
        }
        if !self.at.is_before(at) {
            return;
        }
        let interval = at.since(self.at);
        let gains = Gains::at(quality, interval);
        let prior = self.mix();
        let [mut steady, mut manoeuvre] = self.beliefs;
        steady = steady.carried(0, interval);
        manoeuvre = manoeuvre.carried(1, interval);
        let misses = [
            steady.correct(measured, gains.models[0]),
            manoeuvre.correct(measured, gains.models[1]),
        ];
        self.beliefs = [steady, manoeuvre];
        self.steady = weigh(prior, misses, gains.advance);
        self.at = at;
    }

    /// Mixes the beliefs by the chance that each model turned into the other; returns the weight the
    /// steady model has before the measurement, Q15.
    fn mix(&mut self) -> u32 {
        let steady = self.steady.min(ONE);
        let manoeuvre = ONE.wrapping_sub(steady);
        let stays = FROM_STEADY[0].wrapping_mul(steady);
        let comes = FROM_MANOEUVRE[0].wrapping_mul(manoeuvre);
        let prior_steady = stays.saturating_add(comes).wrapping_shr(15).max(1);
        let prior_manoeuvre = ONE.saturating_sub(prior_steady).max(1);
        let leaves = FROM_STEADY[1].wrapping_mul(steady);
        // Share of the steady belief in each mixed one, Q15.
        let in_steady = stays.checked_div(prior_steady).unwrap_or(ONE).min(ONE);
        let in_manoeuvre = leaves.checked_div(prior_manoeuvre).unwrap_or(0).min(ONE);
        let [a, b] = self.beliefs;
        self.beliefs = [blend(a, b, in_steady), blend(a, b, in_manoeuvre)];
        prior_steady
    }

    /// Speed and acceleration at `at`, extrapolated from the last measurement; held before it.
    #[inline(never)]
    pub fn motion(&self, at: Instant) -> Motion {
        let horizon = at.since_or_zero(self.at);
        let [steady, manoeuvre] = self.beliefs;
        let both = blend(steady.carried(0, horizon), manoeuvre.carried(1, horizon), self.steady);
        Motion {
            speed: MetresPerSecond::from_bits(both.speed),
            accel: MetresPerSecondSquared::from_bits(both.accel),
        }
    }
}

/// `share` (Q15) of `a`, the rest of `b`.
fn blend(a: Belief, b: Belief, share: u32) -> Belief {
    let share = i32::try_from(share).unwrap_or(0);
    let part = |a: i32, b: i32| {
        let apart = i64::from(a).wrapping_sub(i64::from(b));
        b.saturating_add(mul_shift(clamp_i32(apart), share, 15))
    };
    Belief { speed: part(a.speed, b.speed), accel: part(a.accel, b.accel) }
}

/// Weight of the steady model after the measurement, Q15: Bayes with Gaussian innovations.
fn weigh(prior: u32, misses: [u32; 2], advance: u32) -> u32 {
    // ln of the likelihood ratio steady : manoeuvre, Q16.
    let ratio =
        i64::from(misses[1]).wrapping_add(i64::from(advance)).wrapping_sub(i64::from(misses[0]));
    let size = u32::try_from(ratio.unsigned_abs()).unwrap_or(u32::MAX);
    let faded = decay(size);
    let other = ONE.saturating_sub(prior);
    let (steady, manoeuvre) = if ratio >= 0 {
        (prior.wrapping_mul(65_536 / 2), other.wrapping_mul(faded / 2))
    } else {
        (prior.wrapping_mul(faded / 2), other.wrapping_mul(65_536 / 2))
    };
    let sum = steady.wrapping_shr(15).saturating_add(manoeuvre.wrapping_shr(15)).max(1);
    // Never quite certain: a weight of zero could not come back soon enough.
    steady.checked_div(sum).unwrap_or(ONE / 2).clamp(8, ONE.wrapping_sub(8))
}

/// Product of an acceleration and a slope, for the lead of the drive: turns/s², Q21.
pub(crate) fn shaft_accel(accel: MetresPerSecondSquared, turns_per_metre: u32) -> i32 {
    // Q20 · Q26 down to Q21.
    let slope = i32::try_from(turns_per_metre / 2).unwrap_or(i32::MAX);
    clamp_i32(mul_wide(accel.to_bits(), slope).wrapping_shr(24))
}

#[cfg(test)]
mod tests {
    use super::{Quality, TrackerState};
    use crate::quantity::{Instant, MetresPerSecond, Micros};

    fn feed(
        state: &mut TrackerState,
        speeds: impl Iterator<Item = u32>,
        every: Micros,
        quality: Quality,
    ) -> Instant {
        let mut at = Instant::from_micros(u32::MAX - 3_000_000);
        for speed in speeds {
            at = at.plus(every);
            state.observe(MetresPerSecond::from_millimetres(speed), at, quality);
        }
        at
    }

    #[test]
    fn a_steady_speed_is_foretold_exactly_across_the_clock_wrap() {
        let mut state = TrackerState::default();
        let at = feed(
            &mut state,
            core::iter::repeat_n(2_000, 100),
            Micros::from_millis(100),
            Quality::Samples,
        );
        let ahead = state.motion(at.plus(Micros::from_millis(500)));
        let want = MetresPerSecond::from_millimetres(2_000).to_bits();
        assert!((ahead.speed.to_bits() - want).abs() < 100, "have {:?}", ahead.speed);
    }

    #[test]
    fn a_ramp_has_no_lag() {
        let mut state = TrackerState::default();
        let at = feed(
            &mut state,
            (0..60).map(|k| 1_000 + k * 50),
            Micros::from_millis(100),
            Quality::Samples,
        );
        let now = state.motion(at);
        let want = MetresPerSecond::from_millimetres(1_000 + 59 * 50).to_bits();
        assert!(
            (now.speed.to_bits() - want).abs() < 1 << 14,
            "lags a ramp of 0.5 m/s² by {}",
            want - now.speed.to_bits()
        );
        // The models let it die out between samples: 8 % low.
        let accel = now.accel.to_bits();
        assert!((accel - (1 << 19)).abs() < 52_429, "acceleration {:?}", now.accel);
    }

    #[test]
    fn an_older_measurement_changes_nothing() {
        let mut state = TrackerState::default();
        let at = feed(
            &mut state,
            core::iter::repeat_n(2_000, 10),
            Micros::from_millis(100),
            Quality::Samples,
        );
        state.observe(
            MetresPerSecond::from_millimetres(9_000),
            at.minus(Micros::from_millis(50)),
            Quality::Samples,
        );
        let want = MetresPerSecond::from_millimetres(2_000).to_bits();
        assert!((state.motion(at).speed.to_bits() - want).abs() < 100, "an old sample got in");
    }
}
