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

use crate::quantity::{Instant, MetresPerSecond, MetresPerSecondSquared, Micros, share_q15};
use crate::sense::belief::{Belief, part_of};
use crate::sense::decay::decay;
use crate::sense::gains::{Gains, Quality};
use crate::sense::outlook::{Motion, Outlook, carry, coarse, faded, gained};

/// Chance of staying in the steady model and of turning to the manoeuvre model, Q15: 0.98 and 0.02.
const FROM_STEADY: [u32; 2] = [32_113, 655];

/// Chance of turning to the steady model and of staying in the manoeuvre model, Q15: 0.05 and 0.95.
const FROM_MANOEUVRE: [u32; 2] = [1_638, 31_130];

/// One in Q15.
const ONE: u32 = 32_768;

/// What the tracker remembers. `Default` has seen nothing.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct TrackerState {
    beliefs: [Belief; 2],
    /// Weight of the steady model, Q15.
    steady: u32,
    /// Speed of both models by their weights, Q20, and acceleration of each times its weight, Q12.
    speed: i32,
    pulls: [i32; 2],
    at: Instant,
    live: bool,
}

/// What the models expect of a measurement.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Foretold {
    beliefs: [Belief; 2],
    /// Weight of the steady model before it, Q15.
    prior: u32,
    at: Instant,
    interval: Micros,
}

impl Foretold {
    /// The speed by both, Q20.
    #[inline]
    pub(crate) fn speed(&self) -> i32 {
        let [steady, manoeuvre] = self.beliefs;
        let apart = steady.speed.saturating_sub(manoeuvre.speed);
        manoeuvre.speed.saturating_add(part_of(apart, self.prior.cast_signed()))
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
    pub fn observe(&mut self, speed: MetresPerSecond, at: Instant, quality: Quality) {
        match self.foretell(at) {
            Some(foretold) => self.correct(foretold, speed, quality),
            None if !self.live => self.begin(speed, at),
            None => {}
        }
    }

    /// Forgets everything but this measurement.
    pub(crate) const fn begin(&mut self, speed: MetresPerSecond, at: Instant) {
        let speed = speed.to_bits();
        let beliefs = [Belief { speed, accel: 0 }; 2];
        *self = Self { beliefs, steady: ONE / 2, speed, pulls: [0; 2], at, live: true };
    }

    /// What a measurement at `at` is expected to be; nothing before the first one, and of an instant that is passed.
    #[inline]
    pub(crate) fn foretell(&self, at: Instant) -> Option<Foretold> {
        if !self.live || !self.at.is_before(at) {
            return None;
        }
        let interval = at.since(self.at);
        let (prior, [steady, manoeuvre]) = self.mixed();
        let beliefs = [steady.carried(0, interval), manoeuvre.carried(1, interval)];
        Some(Foretold { beliefs, prior, at, interval })
    }

    /// Corrects what was foretold by the measurement.
    #[inline]
    pub(crate) fn correct(&mut self, of: Foretold, speed: MetresPerSecond, quality: Quality) {
        let Foretold { mut beliefs, prior, at, interval } = of;
        let gains = Gains::at(quality, interval);
        let measured = speed.to_bits();
        let [steady, manoeuvre] = &mut beliefs;
        let misses = [
            steady.correct(measured, &gains.models[0]),
            manoeuvre.correct(measured, &gains.models[1]),
        ];
        self.beliefs = beliefs;
        self.steady = weigh(prior, misses, gains.advance);
        self.at = at;
        self.blend();
    }

    /// The beliefs mixed by the chance that each model turned into the other, behind the weight that the
    /// steady model has before the measurement, Q15.
    fn mixed(&self) -> (u32, [Belief; 2]) {
        let steady = self.steady.min(ONE);
        let manoeuvre = ONE.wrapping_sub(steady);
        let stays = FROM_STEADY[0].wrapping_mul(steady);
        let comes = FROM_MANOEUVRE[0].wrapping_mul(manoeuvre);
        let prior_steady = stays.saturating_add(comes).wrapping_shr(15).max(1);
        let prior_manoeuvre = ONE.saturating_sub(prior_steady).max(1);
        let leaves = FROM_STEADY[1].wrapping_mul(steady);
        // Share of the steady belief in each mixed one, Q15.
        let in_steady = share_q15(stays, prior_steady).cast_signed();
        let in_manoeuvre = share_q15(leaves, prior_manoeuvre).cast_signed();
        let [a, b] = self.beliefs;
        let speed = a.speed.saturating_sub(b.speed);
        let accel = a.accel.saturating_sub(b.accel);
        let beliefs = [in_steady, in_manoeuvre].map(|share| Belief {
            speed: b.speed.saturating_add(part_of(speed, share)),
            accel: b.accel.saturating_add(part_of(accel, share)),
        });
        (prior_steady, beliefs)
    }

    /// Works out what every look at the motion shares.
    fn blend(&mut self) {
        let [steady, manoeuvre] = self.beliefs;
        let share = self.steady.cast_signed();
        let apart = steady.speed.saturating_sub(manoeuvre.speed);
        self.speed = manoeuvre.speed.saturating_add(part_of(apart, share));
        let rest = ONE.cast_signed().saturating_sub(share);
        let pull = |accel: i32, share: i32| {
            coarse(accel).wrapping_mul(share).wrapping_add(1 << 14).wrapping_shr(15)
        };
        self.pulls = [pull(steady.accel, share), pull(manoeuvre.accel, rest)];
    }

    /// The motion at `at` and how it goes on from there: one carry for every look further ahead.
    #[inline(never)]
    pub(crate) fn outlook(&self, at: Instant) -> Outlook {
        let horizon = at.since_or_zero(self.at);
        let (steady_adds, steady_left) = carry(0, horizon);
        let (manoeuvre_adds, manoeuvre_left) = carry(1, horizon);
        let [steady, manoeuvre] = self.pulls;
        let gained = gained(steady, steady_adds).saturating_add(gained(manoeuvre, manoeuvre_adds));
        Outlook {
            speed: self.speed.saturating_add(gained),
            pulls: [faded(steady, steady_left), faded(manoeuvre, manoeuvre_left)],
        }
    }

    /// Speed and acceleration at `at`, extrapolated from the last measurement; held before it.
    pub fn motion(&self, at: Instant) -> Motion {
        let Outlook { speed, pulls: [steady, manoeuvre] } = self.outlook(at);
        let accel = steady.saturating_add(manoeuvre).wrapping_shl(8);
        Motion {
            speed: MetresPerSecond::from_bits(speed),
            accel: MetresPerSecondSquared::from_bits(accel),
        }
    }

    /// The speed at the last measurement, Q20.
    pub(crate) const fn last(&self) -> i32 {
        self.speed
    }
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
    share_q15(steady, sum).max(8).min(ONE.wrapping_sub(8))
}

#[cfg(test)]
mod tests {
    use super::{Quality, TrackerState};
    use crate::quantity::{Instant, MetresPerSecond, Micros};
    use crate::sense::outlook::Lead;

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

    #[test]
    fn a_great_acceleration_on_another_scale_keeps_its_sign() {
        let mut state = TrackerState::default();
        let speeds = (0..20).map(|k| if k < 15 { 2_000 } else { 2_000 + (k - 14) * 900 });
        let at = feed(&mut state, speeds, Micros::from_millis(20), Quality::Pulses);
        let outlook = state.outlook(at).times(3 << 15);
        for millis in [100, 500, 1_000, 2_000] {
            let then = outlook.after(&Lead::of(Micros::from_millis(millis)));
            assert!(then.speed > outlook.speed(), "{millis} ms on: {then:?} after {outlook:?}");
            assert!(then.over_lag(1 << 14) > 0, "{millis} ms on: {then:?}");
        }
    }
}
