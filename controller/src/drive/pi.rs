//! Feed-forward through the map, PI on the shaft speed, and a trim that learns gain and offset.
//!
//! Gains by SIMC (Skogestad 2003) with τc = θt: `Kc = τ1 / (2 θt)`, `τI = min(τ1, 8 θt)`, where
//! `θt = θ + half a tick + a quarter of the measurement's window`. They fall with the edge
//! rate at the shaft speed wanted; below two edges per τ1 the proportional part is off and the trim is slow.
//!
//! The integral is not one number but two, the gain and the offset by which the map is wrong:
//!
//! ```text
//!  n_cmd = n (1 + g) + b + Kc e
//!  e' = Ki Ts e / (n² + λ²)      g += e' n      b += e' λ²      λ = full speed / 10
//! ```
//!
//! At a constant n that is exactly `n_cmd = n + Kc e + Ki ∫e`. When the speed changes, oil that is thin (a
//! wrong gain) needs a correction in proportion to the speed and a wrong opening command needs a
//! constant one; a single integral would have to be learnt anew in every ramp
//! (`docs/decisions/001-trim-learns-gain-and-offset.md`).
//!
//! The trim waits after a start until the answer of the drive shows in a whole window, holds while the
//! command is saturated the same way, and keeps 24 bits below the output's step.

use super::ValveMap;
use super::row::{HALF_TICK, INTERVALS, ROWS, Row};
use crate::quantity::{
    Command, Instant, Micros, Reciprocal, Scale, TurnsPerSecond, clamp_i32, mul_shift, mul_wide,
};
use crate::sense::{PulseMeter, PulseState, Pulses, Quality, Window};

/// The command may rise from nothing to full in so many ticks.
const RISE_TICKS: i32 = 5;

/// A shaft without an edge for so long when it is told to turn is taken as standing.
const STANDING: Micros = Micros::from_millis(100);

/// Bounds of the trim: gain −60 %..+150 %, Q40; offset ±30 % of full speed.
const GAIN: core::ops::RangeInclusive<i64> = -659_706_976_666..=1_649_267_441_664;

/// A drive, its numbers checked and its gains worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Drive {
    map: ValveMap,
    lag: Micros,
    dead_time: Micros,
    meter: PulseMeter,
    /// turns/s Q21 · µs per edge.
    scale: Scale,
    rows: [Row; ROWS],
    /// λ², Q24 of (turns/s)².
    knee: u32,
    offset_limit: i64,
}

/// What a drive remembers; `Default` is at rest with nothing learnt.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DriveState {
    shaft: PulseState,
    measured: TurnsPerSecond,
    measured_at: Instant,
    window_from: Instant,
    span: Micros,
    /// Gain trim, Q40.
    gain: i64,
    /// Offset trim, turns/s Q40.
    offset: i64,
    started: Option<Instant>,
    /// The first window since the start has closed.
    seen: bool,
    settled: bool,
    edges: u32,
    saturated: bool,
    /// Shaft speed that the last command stood for, Q21.
    given: i32,
}

/// What the loop compares, at the instant of the measurement.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Feedback {
    /// Shaft speed wanted for the soil, τd + θ ahead.
    pub ahead: TurnsPerSecond,
    /// τ1 · dn/dt at that instant.
    pub lead: TurnsPerSecond,
    /// Shaft speed that was wanted at the measurement's instant.
    pub wanted: TurnsPerSecond,
}

impl Drive {
    /// Works out the gains of a drive whose numbers have been checked.
    pub(crate) fn new(
        map: ValveMap,
        lag: Micros,
        dead_time: Micros,
        edges_per_turn: u32,
        quality: Quality,
    ) -> Self {
        let scale = Scale::ratio(1_000_000 << 21, u64::from(edges_per_turn.max(1)));
        let mut rows = [Row::default(); ROWS];
        for (row, interval) in rows.iter_mut().zip(INTERVALS) {
            *row = Row::new(lag.get(), dead_time.get(), interval, quality);
            row.from = Reciprocal::of(interval).scaled(scale, 1);
        }
        // λ = full / 10 in Q12.
        let knee = (map.full().to_bits().unsigned_abs() / 5_120).max(1);
        let offset_limit =
            i64::from(map.full().to_bits()).saturating_mul(1 << 19).saturating_mul(3) / 10;
        // Slow shafts keep their window open for up to 4 s.
        let silence = Micros::from_millis(4_000);
        let meter = PulseMeter { least_window: Micros::from_millis(20), silence };
        Self {
            map,
            lag,
            dead_time,
            meter,
            scale,
            rows,
            knee: knee.saturating_mul(knee),
            offset_limit,
        }
    }

    /// Shaft speed at full command.
    pub const fn full(&self) -> TurnsPerSecond {
        self.map.full()
    }

    /// Lag τ1.
    pub const fn lag(&self) -> Micros {
        self.lag
    }

    /// Dead time θ and half a tick: how far ahead a command is felt.
    pub const fn reach(&self) -> Micros {
        self.dead_time.saturating_add(Micros::new(HALF_TICK))
    }

    /// Time in which a shaft that was told to turn must show it: dead time and twice the lag.
    pub const fn answer(&self) -> Micros {
        self.dead_time.saturating_add(Micros::new(self.lag.get().saturating_mul(2)))
    }

    /// Time after which a shaft that was told to stop must stand.
    pub const fn run_out(&self) -> Micros {
        self.dead_time
            .saturating_add(Micros::new(self.lag.get().saturating_mul(5)))
            .saturating_add(Micros::from_millis(100))
    }

    /// Reads the shaft's encoder at `now`.
    pub fn measure(&self, state: &mut DriveState, pulses: Pulses, now: Instant) {
        let (edges, window) = self.meter.update(&mut state.shaft, pulses, now);
        state.edges = edges;
        if let Some(window) = window {
            state.take(window, window.speed(self.scale));
            return;
        }
        if state.shaft.is_silent() {
            state.measured = TurnsPerSecond::ZERO;
            state.measured_at = now;
            return;
        }
        // Between edges the shaft turns at most one edge in the time waited.
        let waited = state.shaft.waited();
        if waited > state.span {
            let bound = Reciprocal::of(waited.get().max(1)).scaled(self.scale, 1);
            let bound = TurnsPerSecond::from_bits(i32::try_from(bound).unwrap_or(i32::MAX));
            if bound < state.measured {
                state.measured = bound;
                state.measured_at = now.minus(waited.half());
            }
        }
    }

    /// The command for a tick in which the drive shall turn.
    pub fn update(&self, state: &mut DriveState, feedback: Feedback, now: Instant) -> Command {
        let started = state.start(now);
        let row = self.row(feedback.ahead);
        let error = feedback.wanted.saturating_sub(state.measured).to_bits();
        let fed = feedback.ahead.saturating_add(feedback.lead).max(TurnsPerSecond::ZERO).to_bits();
        let gain = clamp_i32(state.gain.wrapping_shr(16));
        let trimmed =
            mul_wide(fed, gain).wrapping_shr(24).saturating_add(state.offset.wrapping_shr(19));
        let kc = i32::try_from(row.kc).unwrap_or(i32::MAX);
        let push = mul_shift(error, kc, 16);
        let sum = i64::from(fed).saturating_add(trimmed).saturating_add(i64::from(push));
        // `clamp` panics when its bounds cross; these two do not.
        let command = clamp_i32(sum).min(self.full().to_bits()).max(0);
        let high = sum >= i64::from(self.full().to_bits());
        state.saturated = high;
        let further = (high && error > 0) || (sum <= 0 && error < 0);
        if state.seen && now.since(started) >= self.patience(state) {
            // Latched: the clock's wrap must not look like a start.
            state.settled = true;
        }
        if !further && state.settled && feedback.ahead > TurnsPerSecond::ZERO {
            self.learn(state, feedback.wanted, error, row);
        }
        // Only a rise is limited: a reduction, to zero above all, is immediate.
        let command = command.min(state.given.saturating_add(self.full().to_bits() / RISE_TICKS));
        state.given = command;
        self.map.command(TurnsPerSecond::from_bits(command))
    }

    /// How long after a start the trim waits: until the drive's answer fills a window.
    const fn patience(&self, state: &DriveState) -> Micros {
        self.dead_time
            .saturating_add(Micros::new(self.lag.get().saturating_mul(2)))
            .saturating_add(state.span.half())
    }

    /// The gains for the edge interval at the shaft speed that is *wanted*: a shaft that lags behind is
    /// about to give its edges sooner than its last window tells.
    fn row(&self, wanted: TurnsPerSecond) -> Row {
        let wanted = wanted.to_bits().max(0).unsigned_abs();
        let fits = self.rows.iter().find(|row| wanted >= row.from);
        fits.copied().unwrap_or(Row { kc: 0, ki: self.rows[ROWS - 1].ki, from: 0 })
    }

    fn learn(&self, state: &mut DriveState, wanted: TurnsPerSecond, error: i32, row: Row) {
        // Error (Q21) · Ki Ts (Q24) is Q45; the trim is Q40.
        let step = mul_wide(error, i32::try_from(row.ki).unwrap_or(i32::MAX)).wrapping_shr(5);
        let n = wanted.to_bits().clamp(0, 15 << 21).unsigned_abs().wrapping_shr(9);
        let weight = Reciprocal::of(n.wrapping_mul(n).saturating_add(self.knee));
        // λ² / (n² + λ²), Q15, and n / (n² + λ²) with n in Q12: per (turns/s), Q16.
        let constant = i64::from(weight.times(self.knee, 15));
        let slope = i64::from(weight.times(n, 28));
        let offset = step.wrapping_shr(3).saturating_mul(constant).wrapping_shr(12);
        let gain = step.wrapping_shr(8).saturating_mul(slope).wrapping_shr(8);
        state.offset = state
            .offset
            .saturating_add(offset)
            .min(self.offset_limit)
            .max(self.offset_limit.saturating_neg());
        state.gain = state.gain.saturating_add(gain).clamp(*GAIN.start(), *GAIN.end());
    }
}

impl DriveState {
    fn take(&mut self, window: Window, speed: i32) {
        self.measured = TurnsPerSecond::from_bits(speed);
        self.measured_at = window.middle;
        self.span = window.span;
        self.window_from = window.middle.minus(window.span.half());
        if self.started.is_some_and(|started| !self.window_from.is_before(started)) {
            self.seen = true;
        }
    }

    /// The instant at which the drive was told to turn. A shaft that stood till then has no speed, and the
    /// window that was open while it ran out says nothing of what comes.
    fn start(&mut self, now: Instant) -> Instant {
        if let Some(started) = self.started {
            return started;
        }
        self.started = Some(now);
        if self.shaft.waited() > STANDING {
            self.shaft.reopen();
            self.span = Micros::ZERO;
            self.measured = TurnsPerSecond::ZERO;
            self.measured_at = now;
        }
        now
    }

    /// The drive is told to rest: the command is zero, what was learnt is kept.
    pub const fn rest(&mut self) {
        self.started = None;
        self.seen = false;
        self.settled = false;
        self.saturated = false;
        self.given = 0;
    }

    /// What is wanted changed of a sudden: the trim waits as after a start.
    pub const fn restart(&mut self, now: Instant) {
        self.seen = false;
        self.settled = false;
        if self.started.is_some() {
            self.started = Some(now);
        }
    }

    /// Forgets what was learnt.
    pub const fn forget(&mut self) {
        self.gain = 0;
        self.offset = 0;
    }

    /// Shaft speed by the last window.
    pub const fn measured(&self) -> TurnsPerSecond {
        self.measured
    }

    /// The instant at which it was true.
    pub const fn measured_at(&self) -> Instant {
        self.measured_at
    }

    /// Edges since the reading before.
    #[must_use]
    pub const fn edges(&self) -> u32 {
        self.edges
    }

    /// The command is at its limit and more is wanted.
    #[must_use]
    pub const fn saturated(&self) -> bool {
        self.saturated
    }

    /// Gain trim: share by which the drive turns slower than its map, Q16.
    #[must_use]
    pub fn gain_trim(&self) -> i32 {
        clamp_i32(self.gain.wrapping_shr(24))
    }
}

#[cfg(test)]
mod tests {
    use super::{Drive, DriveState, Feedback, RISE_TICKS};
    use crate::drive::{MapPoint, ValveMap};
    use crate::quantity::{Command, Instant, Micros, TurnsPerSecond};
    use crate::sense::Quality;

    #[test]
    fn a_rise_is_limited_and_a_reduction_is_immediate() {
        let full = TurnsPerSecond::from_bits(1 << 21);
        let point = |command, shaft| MapPoint { command: Command::from_bits(command), shaft };
        let map = ValveMap::new(&[point(100, TurnsPerSecond::ZERO), point(60_100, full)]).unwrap();
        let (lag, dead_time) = (Micros::from_millis(150), Micros::from_millis(50));
        let drive = Drive::new(map, lag, dead_time, 180, Quality::Pulses);
        let mut state = DriveState::default();
        let all = Feedback { ahead: full, lead: TurnsPerSecond::ZERO, wanted: full };
        for tick in 1..=RISE_TICKS {
            let now = Instant::from_micros(tick.unsigned_abs().wrapping_mul(10_000));
            let command = i32::from(drive.update(&mut state, all, now).to_bits());
            let most = tick.wrapping_mul(12_000).wrapping_add(101);
            assert!(command <= most, "tick {tick}: {command} above {most}");
        }
        let nothing = drive.update(&mut state, Feedback::default(), Instant::from_micros(90_000));
        assert_eq!(nothing, Command::ZERO, "from full to nothing in one tick");
    }
}
