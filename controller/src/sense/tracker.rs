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
    part_q15, share_q15,
};
use crate::sense::Direction;
use crate::sense::decay::decay;
use crate::sense::gains::{Gains, ModelGains, Quality};

/// 1/τ of each model in Q16 per 16 µs, times 2^12 and 2^14: 16 · 65 536 · 2^12 / 400 000 and · 2^14 / 2 000 000.
const RATES: [u32; 2] = [10_737, 8_590];

/// Chance of staying in the steady model and of turning to the manoeuvre model, Q15: 0.98 and 0.02.
const FROM_STEADY: [u32; 2] = [32_113, 655];

/// Chance of turning to the steady model and of staying in the manoeuvre model, Q15: 0.05 and 0.95.
const FROM_MANOEUVRE: [u32; 2] = [1_638, 31_130];

/// One in Q15.
const ONE: u32 = 32_768;

/// One in Q16.
const ONE_Q16: u32 = 65_536;

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
    /// Speed of both models by their weights, Q20, and acceleration of each times its weight, Q12.
    speed: i32,
    pulls: [i32; 2],
    at: Instant,
    live: bool,
}

/// Carries a model over `interval`: what acceleration adds to speed (s, Q20), what is left of it (Q16).
#[inline]
fn carry(model: usize, interval: Micros) -> (i32, i32) {
    // Products of 32 bits: 250 000 steps of 16 µs at the most.
    let steps = interval.get().min(FARTHEST).wrapping_shr(4);
    let (left, adds) = if model == 0 {
        let left = decay(steps.wrapping_mul(RATES[0]).wrapping_shr(12));
        // 0.4 s in Q20 is 52 429 · 2^3.
        (left, ONE_Q16.saturating_sub(left).wrapping_mul(52_429).wrapping_shr(13))
    } else {
        let left = decay(steps.wrapping_mul(RATES[1]).wrapping_shr(14));
        // 2 s in Q20 is 2^21.
        (left, ONE_Q16.saturating_sub(left).wrapping_shl(5))
    };
    (adds.cast_signed(), left.cast_signed())
}

/// An acceleration in Q12, held at 8 m/s² either way: with 16 bits of the other factor its product is one of 32.
fn coarse(accel: i32) -> i32 {
    accel.saturating_add(1 << 7).wrapping_shr(8).clamp(-0x7FFF, 0x7FFF)
}

/// What an acceleration, Q20, adds to a speed: finer where the time is short, as between pulses.
fn gained_of(accel: i32, adds: i32) -> i32 {
    let short = adds.wrapping_shr(5);
    if short < 1 << 11 && (-0x7F_FFFF..=0x7F_FFFF).contains(&accel) {
        // 0.06 s and 8 m/s²: 11 and 20 bits.
        return accel.wrapping_shr(3).wrapping_mul(short).wrapping_add(1 << 11).wrapping_shr(12);
    }
    gained(coarse(accel), adds)
}

/// What is left of an acceleration, Q20; Q16 of it below 1 m/s², where one product does.
fn left_of(accel: i32, left: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        // Q15 of the share; the last four bits of the acceleration are kept as they are.
        let (coarse, fine) = (accel.wrapping_shr(4), accel & 0xF);
        return coarse.wrapping_mul(left.wrapping_shr(1)).wrapping_shr(11).wrapping_add(fine);
    }
    mul_shift::<16>(accel, left)
}

/// A small innovation times a gain of fifteen bits, `/ 2^SHIFT`, rounded half up.
const fn times<const SHIFT: u32>(innovation: i32, gain: u32) -> i32 {
    let gain = if gain > 0x7FFF { 0x7FFF } else { gain.cast_signed() };
    let half = 1_i32.wrapping_shl(SHIFT.wrapping_sub(1));
    innovation.wrapping_mul(gain).wrapping_add(half).wrapping_shr(SHIFT)
}

/// Part of a difference of accelerations, Q20, by a share in Q15.
fn part_of(accel: i32, share: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        return accel.wrapping_shr(4).wrapping_mul(share).wrapping_shr(11);
    }
    mul_shift::<15>(accel, share)
}

/// What a coarse acceleration adds to a speed, Q20, that is carried over so many seconds, Q20 and at most two.
fn gained(pull: i32, adds: i32) -> i32 {
    pull.wrapping_mul(adds.wrapping_shr(5).min(0xFFFF)).wrapping_add(1 << 6).wrapping_shr(7)
}

/// What is left of a coarse acceleration.
const fn faded(pull: i32, left: i32) -> i32 {
    pull.wrapping_mul(if left > 0xFFFF { 0xFFFF } else { left })
        .wrapping_add(1 << 15)
        .wrapping_shr(16)
}

/// A time ahead, worked out when the settings change: what acceleration adds to speed in it (s, Q20), and what is left
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
    speed: i32,
    /// Q12.
    pulls: [i32; 2],
}

/// A look back of so long, µs, is a straight one.
const STRAIGHT: u32 = 40_000;

impl Motion {
    /// The speed a short while before, as if the acceleration had been this one all the time; none for a longer one.
    ///
    /// Of a model that dies out in 0.4 s this is ½ · 0.5 / 0.4 · 0.04² = 0.001 m/s off over 40 ms of 0.5 m/s².
    pub(crate) fn before(self, time: Micros) -> Option<MetresPerSecond> {
        let micros = time.get();
        if micros > STRAIGHT {
            return None;
        }
        // 2^20 / 10^6 is 68 719 / 2^16.
        let seconds = micros.wrapping_mul(68_719).wrapping_shr(16).cast_signed();
        let gained = gained(coarse(self.accel.to_bits()), seconds);
        Some(MetresPerSecond::from_bits(self.speed.to_bits().saturating_sub(gained)))
    }
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
        let times = |word: i32| mul_shift::<16>(word, scale);
        // Held again, or the product of 32 bits would overflow.
        let pulls = self.pulls.map(|pull| times(pull).clamp(-0x7FFF, 0x7FFF));
        Self { speed: times(self.speed), pulls }
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
    pub(crate) fn after(&self, lead: &Lead) -> Motion {
        let [steady, manoeuvre] = self.pulls;
        let [(steady_adds, steady_left), (manoeuvre_adds, manoeuvre_left)] = lead.0;
        let gained = gained(steady, steady_adds).saturating_add(gained(manoeuvre, manoeuvre_adds));
        let accel = faded(steady, steady_left).saturating_add(faded(manoeuvre, manoeuvre_left));
        Motion {
            speed: MetresPerSecond::from_bits(self.speed.saturating_add(gained)),
            accel: MetresPerSecondSquared::from_bits(accel.wrapping_shl(8)),
        }
    }
}

impl Belief {
    fn carried(self, model: usize, interval: Micros) -> Self {
        let (adds, left) = carry(model, interval);
        Self {
            speed: self.speed.saturating_add(gained_of(self.accel, adds)),
            accel: left_of(self.accel, left),
        }
    }

    /// Corrects by a measurement; returns the squared innovation over 2 S, Q16, held at 65 535.
    fn correct(&mut self, measured: i32, gains: &ModelGains) -> u32 {
        let innovation = measured.saturating_sub(self.speed);
        let (speed, accel, normal) = if (-0xFFFF..=0xFFFF).contains(&innovation) {
            // Below 0.06 m/s, with fifteen bits of each gain: one product each.
            let accel = if gains.accel < 1 << 19 {
                times::<12>(innovation, gains.accel.wrapping_shr(4))
            } else {
                times::<9>(innovation, gains.accel.wrapping_shr(7))
            };
            let speed = times::<14>(innovation, gains.speed.wrapping_shr(2));
            (speed, accel, times::<16>(innovation, gains.sharpness.wrapping_shr(8)))
        } else {
            (
                mul_shift::<16>(innovation, gains.speed.cast_signed()),
                mul_shift::<16>(innovation, gains.accel.cast_signed()),
                mul_shift::<24>(innovation, gains.sharpness.cast_signed()),
            )
        };
        self.speed = self.speed.saturating_add(speed);
        self.accel = self.accel.saturating_add(accel);
        // Q20 · Q12 down to Q8, held below 2^16 so that the square stays within 32 bits.
        let normal = normal.unsigned_abs().min(FARTHEST_OFF);
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
            *self = Self {
                beliefs: [belief; 2],
                steady: ONE / 2,
                speed: measured,
                pulls: [0; 2],
                at,
                live: true,
            };
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
            steady.correct(measured, &gains.models[0]),
            manoeuvre.correct(measured, &gains.models[1]),
        ];
        self.beliefs = [steady, manoeuvre];
        self.steady = weigh(prior, misses, gains.advance);
        self.at = at;
        self.blend();
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
        let in_steady = share_q15(stays, prior_steady).cast_signed();
        let in_manoeuvre = share_q15(leaves, prior_manoeuvre).cast_signed();
        let [a, b] = self.beliefs;
        let speed = a.speed.saturating_sub(b.speed);
        let accel = a.accel.saturating_sub(b.accel);
        self.beliefs = [in_steady, in_manoeuvre].map(|share| Belief {
            speed: b.speed.saturating_add(part_q15(speed, share)),
            accel: b.accel.saturating_add(part_of(accel, share)),
        });
        prior_steady
    }

    /// Works out what every look at the motion shares.
    fn blend(&mut self) {
        let [steady, manoeuvre] = self.beliefs;
        let share = self.steady.cast_signed();
        let apart = steady.speed.saturating_sub(manoeuvre.speed);
        self.speed = manoeuvre.speed.saturating_add(part_q15(apart, share));
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

    /// The speed alone.
    pub(crate) fn speed(&self, at: Instant) -> MetresPerSecond {
        self.outlook(at).speed()
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

/// Product of an acceleration and a slope, for the lead of the drive: turns/s², Q21.
pub(crate) fn shaft_accel(accel: MetresPerSecondSquared, turns_per_metre: u32) -> i32 {
    // Q20 · Q26 down to Q21.
    let slope = i32::try_from(turns_per_metre / 2).unwrap_or(i32::MAX);
    clamp_i32(mul_wide(accel.to_bits(), slope).wrapping_shr(24))
}

#[cfg(test)]
mod tests {
    use super::{Lead, Quality, TrackerState};
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

    #[test]
    fn a_great_acceleration_on_another_scale_keeps_its_sign() {
        let mut state = TrackerState::default();
        let speeds = (0..20).map(|k| if k < 15 { 2_000 } else { 2_000 + (k - 14) * 900 });
        let at = feed(&mut state, speeds, Micros::from_millis(20), Quality::Pulses);
        let outlook = state.outlook(at).times(3 << 15);
        for millis in [100, 500, 1_000, 2_000] {
            let then = outlook.after(&Lead::of(Micros::from_millis(millis)));
            assert!(then.speed > outlook.speed(), "{millis} ms on: {then:?} after {outlook:?}");
            assert!(then.accel.to_bits() > 0, "{millis} ms on: {then:?}");
        }
    }
}
