//! Where a motorised valve stands, by dead reckoning of its own opening and closing.
//!
//! ```text
//!  turn of each tick ─► × elapsed / stroke ─► play of the gears ─► × learnt gain ─► place, 0 shut .. 1 open
//!
//!  driven shut for 120 % of the stroke: it stands at its stop, the place is zero whatever was reckoned
//! ```
//!
//! The place is that on the told map: where oil that is thin makes the shaft slower, the place is less than the
//! valve's own. The shaft corrects it (`motorised`).

use super::ValveTurn;
use crate::quantity::{Micros, clamp_i32, mul_shift};

/// A tick, µs.
pub(super) const TICK: i32 = 10_000;

/// Fully open, Q24.
pub(super) const OPEN: i32 = 1 << 24;

/// Learnt gain of a move less one: −50 % to +100 %, Q16.
const GAIN: core::ops::RangeInclusive<i32> = -32_768..=65_536;

/// So many ticks one way, of the last 32, before a correction speaks of the gain.
const ONE_WAY: u32 = 6;

/// A gear motor on a valve.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Travel {
    /// Travel per µs, Q44.
    rate: i32,
    /// Travel in a tick at the told stroke, Q24.
    tick: i32,
    /// Travel of the motor that is lost on turning round, Q24.
    play: i32,
    /// Time in which it shuts, wherever it stands.
    shut_in: Micros,
}

/// What is reckoned; `Default` has never been at the stop.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct TravelState {
    turn: ValveTurn,
    /// It was at the stop since power-up.
    homed: bool,
    /// Ticks since the motor ran last, held at 255.
    held: u8,
    /// The step is that of the gain.
    stepped: bool,
    /// Place, Q24.
    place: i32,
    /// Play that the next opening must take up, Q24.
    slack: i32,
    /// Gain of a move less one, Q16.
    gain: i32,
    /// Travel in one tick as it was learnt, Q24.
    step: i32,
    /// The last 32 ticks, the youngest in bit 0: those in which the valve moved.
    opened: u32,
    closed: u32,
    shutting: Micros,
}

impl Travel {
    pub(super) fn new(stroke: Micros, play: Micros) -> Self {
        let stroke = u64::from(stroke.get().max(1));
        let rate = (1_u64 << 44).checked_div(stroke).unwrap_or(0);
        let rate = i32::try_from(rate).unwrap_or(i32::MAX);
        let shut_in = u32::try_from(stroke.saturating_mul(6) / 5).unwrap_or(u32::MAX);
        let play = mul_shift::<20>(clamp_i32(i64::from(play.get())), rate);
        let tick = mul_shift::<20>(TICK, rate);
        Self { rate, tick, play, shut_in: Micros::new(shut_in) }
    }

    /// Time in which the valve shuts, wherever it stands: 120 % of its stroke.
    pub(super) const fn shut_in(&self) -> Micros {
        self.shut_in
    }

    /// Travel in a time at the told stroke, Q24.
    fn moved(&self, micros: u32) -> i32 {
        mul_shift::<20>(clamp_i32(i64::from(micros)), self.rate)
    }

    /// Adds what the motor did in the time since the last tick.
    pub(super) fn advance(&self, state: &mut TravelState, elapsed: Micros) {
        if !state.stepped {
            state.stepped = true;
            state.step = state.times_gain(self.tick);
        }
        let still = state.turn == ValveTurn::Hold;
        let moved = if still { 0 } else { self.moved(elapsed.get()) };
        // Play is taken up first, one way or the other.
        let (free, way) = match state.turn {
            ValveTurn::Hold => (0, 0),
            ValveTurn::Open => (moved.min(state.slack), 1),
            ValveTurn::Close => (moved.min(self.play.saturating_sub(state.slack)), -1),
        };
        state.slack = state.slack.saturating_sub(free.wrapping_mul(way));
        let moved = if way == 0 { 0 } else { moved.saturating_sub(free) };
        state.opened = state.opened.wrapping_shl(1) | u32::from(moved > 0 && way > 0);
        state.closed = state.closed.wrapping_shl(1) | u32::from(moved > 0 && way < 0);
        state.held = if way == 0 { state.held.saturating_add(1) } else { 0 };
        if moved > 0 {
            let moved = state.times_gain(moved).wrapping_mul(way);
            state.set_place(state.place.saturating_add(moved));
        }
        self.home(state, elapsed);
    }

    /// The valve stands at its stop once it was driven shut for long enough without a break.
    fn home(&self, state: &mut TravelState, elapsed: Micros) {
        if state.turn == ValveTurn::Open {
            state.shutting = Micros::ZERO;
        } else if state.turn == ValveTurn::Close {
            state.shutting = state.shutting.saturating_add(elapsed);
        }
        if state.shutting >= self.shut_in {
            state.homed = true;
            state.place = 0;
            state.slack = self.play;
        }
    }

    /// The turn that brings the valve to its stop.
    #[inline(never)]
    pub(super) fn rest(&self, state: &mut TravelState) -> ValveTurn {
        let shut = state.shutting >= self.shut_in;
        state.turn = if shut { ValveTurn::Hold } else { ValveTurn::Close };
        state.turn
    }
}

impl TravelState {
    /// Travel in one tick as it was learnt, Q24.
    pub(super) const fn step(&self) -> i32 {
        self.step
    }

    /// The place as many ticks ago as there are ones in `mask`, Q24.
    pub(super) fn before(&self, mask: u32) -> i32 {
        // Of a stroke of 0.5 s and twice the gain: 32 ticks fit 25 bits.
        let back = self.step.wrapping_mul(self.net(mask));
        self.place.saturating_sub(back).clamp(0, OPEN)
    }

    #[inline(never)]
    const fn times_gain(&self, moved: i32) -> i32 {
        moved.saturating_add(mul_shift::<16>(moved, self.gain))
    }

    #[inline(never)]
    fn set_place(&mut self, place: i32) {
        self.place = place.clamp(0, OPEN);
    }

    /// Ticks of opening less ticks of closing among the last.
    #[inline(never)]
    fn net(&self, mask: u32) -> i32 {
        let ones = |bits: u32| (bits & mask).count_ones().cast_signed();
        ones(self.opened).saturating_sub(ones(self.closed))
    }

    /// The shaft says that the valve stands further open by so much, Q24.
    pub(super) fn correct(&mut self, by: i32) {
        self.set_place(self.place.saturating_add(by));
        // While it moves one way, that is what its moves are worth.
        let net = self.net(u32::MAX);
        if net.unsigned_abs() >= ONE_WAY {
            let learnt = by.wrapping_mul(net.signum()) / 32;
            self.gain = self.gain.saturating_add(learnt).clamp(*GAIN.start(), *GAIN.end());
            self.stepped = false;
        }
    }

    /// Place, Q24.
    pub(super) const fn place(&self) -> i32 {
        self.place
    }

    /// Whether it was at its stop since power-up.
    pub(super) const fn homed(&self) -> bool {
        self.homed
    }

    /// Drives the motor shut whatever was reckoned.
    pub(super) const fn shut(&mut self) -> ValveTurn {
        self.turn = ValveTurn::Close;
        self.turn
    }

    /// The turn for a valve that shall stand further open by `off`, Q24.
    pub(super) const fn aim(&mut self, off: i32, zone: i32) -> ValveTurn {
        self.turn = self.turn.next(self.held, off, zone);
        self.turn
    }
}
