//! How the sources compare: slip of the wheel, the ratio to every other source, disagreement.

use super::ratio::Ratio;
use super::{Ground, GroundState, GroundStatus};
use crate::quantity::{
    Instant, MetresPerSecond, Micros, clamp_i32, mul_shift, mul_wide, per_million,
};

/// Slower than this, sources are not compared: 0.5 m/s, Q20.
const COMPARED_FROM: i32 = 1 << 19;

/// Steady work: below 0.4 m/s², Q20.
const STEADY: i32 = 419_430;

/// Share that a pair of speeds has in a ratio, Q16, per µs · 2^20: a memory of 6 s.
const SLIP_SHARE: i32 = 11_453;

/// So many pairs in a row that do not fit the slip, three seconds of a receiver of 10 Hz, and it is learnt anew: what
/// was learnt from a source that hung would never fit again.
const MISFITS: u8 = 30;

/// Ticks between two looks at the same pair of sources; their memory is 64 looks, 5 s.
const LOOK_EVERY: u8 = 8;

/// Share of a look in the ratio of two sources, Q16.
const LOOK_SHARE: i32 = 1_024;

/// A source that says the same speed so often hangs, if the pulses changed meanwhile.
const HANGS: u8 = 5;

impl Ground {
    /// Speed over ground against that of the pulses, in steady work.
    pub(super) fn learn_slip(&self, state: &mut GroundState) {
        let Some((pulses, truth)) = self.fused else { return };
        let (Some(wheel), Some(over)) =
            (state.sources.get(usize::from(pulses)), state.sources.get(usize::from(truth)))
        else {
            return;
        };
        let Some(sample) = over.fresh() else { return };
        if wheel.status() != GroundStatus::Moving {
            return;
        }
        let (motion, at) = wheel.last();
        let accel = motion.accel.to_bits();
        // The pulses' speed at the sample's instant: it is late.
        let back = clamp_i32(i64::from(at.since_or_zero(sample.at).get()));
        let change = clamp_i32(per_million(mul_wide(accel, back)));
        let then = MetresPerSecond::from_bits(motion.speed.to_bits().saturating_sub(change));
        let slow = then.to_bits().min(sample.speed.to_bits()) < COMPARED_FROM;
        if state.hangs(sample.speed.to_bits(), then.to_bits()) && !slow {
            if let Some(over) = state.sources.get_mut(usize::from(truth)) {
                over.lose();
            }
            return;
        }
        if slow || accel.saturating_abs() > STEADY {
            return;
        }
        if !state.slip.fits(sample.speed, then) {
            state.misfits = state.misfits.saturating_add(1);
            if state.misfits >= MISFITS {
                state.slip = Ratio::default();
                state.misfits = 0;
            }
            return;
        }
        state.misfits = 0;
        let since = sample.at.since_or_zero(state.slip_at).min(Micros::from_millis(1_000));
        state.slip_at = sample.at;
        let share = mul_shift::<20>(clamp_i32(i64::from(since.get())), SLIP_SHARE);
        state.slip.take(sample.speed, then, share);
    }

    /// Learns how another source compares with the chosen one, and counts how long they disagree.
    pub(super) fn compare(&self, state: &mut GroundState, now: Instant) {
        state.ticks = state.ticks.wrapping_add(1);
        // Each source has its turn: extrapolating all of them in every tick would cost too much.
        let turn = state.ticks % LOOK_EVERY;
        let Some(place) = self.places().find(|place| *place != state.chosen && *place == turn)
        else {
            return;
        };
        let chosen = self.scaled(state, state.chosen, now);
        let moving = state.status_of(state.chosen) == GroundStatus::Moving;
        let mut apart = false;
        if state.status_of(place) == GroundStatus::Moving {
            let other = self.scaled(state, place, now);
            let fast = other.to_bits() > COMPARED_FROM;
            // A source that stands, or says so, while another one moves.
            let stands = !moving || chosen.to_bits() < COMPARED_FROM / 4;
            state.contradicted =
                if fast && stands { state.contradicted.saturating_add(1) } else { 0 };
            let both = moving && chosen.to_bits() > COMPARED_FROM && fast;
            if let Some(bridge) = state.bridges.get_mut(usize::from(place)).filter(|_| both) {
                if bridge.fits(chosen, other) {
                    bridge.take(chosen, other, LOOK_SHARE);
                } else {
                    apart = true;
                }
            }
        }
        if let Some(disagreed) = state.disagreed.get_mut(usize::from(place)) {
            *disagreed = if apart { disagreed.saturating_add(1) } else { 0 };
        }
    }
}

impl GroundState {
    /// Whether a source over ground hangs: it says one speed to the last place while the pulses changed by more than a
    /// twentieth.
    const fn hangs(&mut self, spoken: i32, wheel: i32) -> bool {
        if spoken == self.spoken {
            self.same = self.same.saturating_add(1);
        } else {
            self.spoken = spoken;
            self.held = wheel;
            self.same = 0;
        }
        let apart = wheel.abs_diff(self.held);
        self.same >= HANGS && apart.saturating_mul(20) > self.held.unsigned_abs()
    }
}
