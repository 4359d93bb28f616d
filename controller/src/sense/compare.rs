//! How the sources compare: slip of the wheel, the ratio to every other source, disagreement.

use super::ratio::Ratio;
use super::{Ground, GroundState, GroundStatus};
use crate::quantity::{Instant, Micros, clamp_i32, mul_shift};

/// Slower than this, sources are not compared: 0.5 m/s, Q20.
const COMPARED_FROM: i32 = 1 << 19;

/// Steady work: below 0.4 m/s², Q20.
const STEADY: i32 = 419_430;

/// Share that a pair of speeds has in a ratio, Q16, per µs · 2^20: a memory of 6 s.
const SLIP_SHARE: i32 = 11_453;

/// So many pairs in a row that do not fit the slip, three seconds of a receiver of 10 Hz, and it is learnt anew: what
/// was learnt from a source that hung would never fit again.
const MISFITS: u8 = 30;

/// Ticks between two looks at the same pair of sources; their memory is 32 looks, 5 s.
const LOOK_EVERY: u8 = 16;

/// Ticks between the turns of two places.
const TURN_EVERY: u8 = 4;

/// Share of a look in the ratio of two sources, Q16.
const LOOK_SHARE: i32 = 2_048;

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
        let moving = wheel.status() == GroundStatus::Moving;
        let (motion, at) = wheel.last();
        if let Some(over) = state.sources.get_mut(usize::from(truth)) {
            over.has_been_used();
        }
        if !moving {
            return;
        }
        let accel = motion.accel.to_bits();
        // The pulses' speed at the sample's instant: it is late.
        let then = motion.straight_back(at.since_or_zero(sample.at));
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

    /// The place whose turn it is to be compared with the chosen source: each other one has its own odd tick.
    pub(super) fn turn(&self, state: &GroundState) -> Option<u8> {
        let turn = state.ticks % LOOK_EVERY;
        let place = turn / TURN_EVERY;
        let its = turn % TURN_EVERY == 1 && place != state.chosen && place < self.count();
        its.then_some(place)
    }

    /// Learns how another source compares with the chosen one, and counts how long they disagree.
    pub(super) fn compare(&self, state: &mut GroundState, place: u8, now: Instant) {
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
        // No speed is above 100 m/s: below 2^27.
        let apart = wheel.abs_diff(self.held);
        let apart = if apart > 1 << 27 { 1 << 27 } else { apart };
        self.same >= HANGS && apart.wrapping_mul(20) > self.held.unsigned_abs()
    }
}
