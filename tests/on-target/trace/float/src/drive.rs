//! Feed-forward, loop, trim and map of a proportional valve: `controller::drive::pi`, `sparse` and `map` in f32.

use crate::shaft::{Shaft, ShaftState};
use crate::trim::{Corrected, Learnt, Trim};
use crate::{Bounded, real, seconds};
use controller::drive::MAX_MAP_POINTS;
use controller::quantity::{Instant, Micros};
use controller::sense::{Closing, Pulses, Quality};
use controller::settings::{LimitsConfig, SideConfig};

const HALF_TICK: Micros = Micros::new(5_000);
const FOLLOW: f32 = 0.875;
const ROWS: usize = 13;
const INTERVALS: [u32; ROWS] = [
    10_000, 15_000, 20_000, 30_000, 45_000, 70_000, 100_000, 150_000, 220_000, 310_000, 440_000,
    630_000, 900_000,
];

#[derive(Clone, Copy, Default)]
struct Row {
    from: f32,
    kc: f32,
    ki: f32,
}

#[derive(Clone, Copy, Default)]
struct Piece {
    from: f32,
    command: f32,
    slope: f32,
}

/// What the loop compares.
#[derive(Clone, Copy)]
pub(crate) struct Feedback {
    pub(crate) ahead: f32,
    pub(crate) lead: f32,
    pub(crate) wanted: f32,
    /// The trim learns in this tick.
    pub(crate) learns: bool,
}

/// A drive.
pub(crate) struct Drive {
    pub(crate) lag: f32,
    dead_time: Micros,
    answer: Micros,
    late: Micros,
    share: f32,
    shaft: Shaft,
    trim: Trim,
    rows: [Row; ROWS],
    pieces: [Piece; MAX_MAP_POINTS],
    count: usize,
}

#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Phase {
    #[default]
    Rest,
    Started,
    Seen,
    Settled,
}

/// What it remembers.
#[derive(Default)]
pub(crate) struct DriveState {
    shaft: ShaftState,
    learnt: Learnt,
    started: Instant,
    phase: Phase,
    sparse: bool,
    /// The model runs along, and its turns have been counted since the edge that opened the window.
    slow: bool,
    counts: bool,
    given: f32,
    model: f32,
    turned: f32,
    corrected: Corrected,
}

impl Drive {
    pub(crate) fn new(
        side: &SideConfig,
        limits: &LimitsConfig,
        (quality, closing): (Quality, Closing),
    ) -> Self {
        let shaft = Shaft::new(side.edges_per_turn, closing);
        let points: &[_] = &side.map;
        let point = |index: usize| {
            let point = points.get(index);
            point.map_or((0.0, 0.0), |point| {
                (real(point.shaft.to_bits(), 21), real(point.command.to_bits(), 16))
            })
        };
        let mut pieces = [Piece::default(); MAX_MAP_POINTS];
        let count = points.len().saturating_sub(1);
        for (index, piece) in pieces.iter_mut().take(count).enumerate() {
            let ((from, command), (to, high)) = (point(index), point(index + 1));
            *piece = Piece { from, command, slope: (high - command) / (to - from) };
        }
        let (lag, dead) = (seconds(side.lag), side.dead_time);
        let late = dead.saturating_add(HALF_TICK);
        Self {
            lag,
            dead_time: dead,
            answer: dead.saturating_add(Micros::new(side.lag.get().saturating_mul(2))),
            late,
            share: 0.01 / (lag + 0.005),
            rows: INTERVALS.map(|interval| {
                let row = Row::new((lag, seconds(late)), interval, quality);
                Row { from: shaft.one_edge_in(interval), ..row }
            }),
            shaft,
            trim: Trim::new(point(count).0, limits),
            pieces,
            count,
        }
    }

    pub(crate) const fn reach(&self) -> Micros {
        self.dead_time.saturating_add(HALF_TICK)
    }

    /// Reads the encoder.
    pub(crate) fn measure(
        &self,
        state: &mut DriveState,
        pulses: Pulses,
        (now, elapsed): (Instant, Micros),
    ) {
        let silent = state.shaft.pulses.is_silent();
        let window = self.shaft.measure(&mut state.shaft, pulses, now);
        let opened = silent && !state.shaft.pulses.is_silent();
        let age = now.since_or_zero(pulses.edge_at);
        let edge = (opened || window.is_some()).then_some(age);
        if !state.slow {
            state.model = state.given;
            state.counts = false;
            return;
        }
        state.model += (state.given - state.model) * self.share;
        let over = self.count(state, edge, elapsed);
        let counted = state.counts;
        state.counts |= edge.is_some();
        let (Some(window), Some(over)) = (window, over) else { return };
        if !counted || !state.sparse || state.phase == Phase::Rest {
            return;
        }
        let span = seconds(window.span);
        let mean = over / span;
        let share = (span / (span + seconds(self.late))).at_most(FOLLOW);
        let measured = state.shaft.measured;
        let most = measured * 0.25;
        let error = (mean - state.learnt.of(measured)).at_most(most).at_least(-most);
        let share = if state.phase == Phase::Started { 1.0 } else { share };
        self.trim.learn(&mut state.learnt, measured, error * share);
    }

    /// Counts the model's turns from edge to edge.
    fn count(&self, state: &mut DriveState, edge: Option<Micros>, elapsed: Micros) -> Option<f32> {
        state.turned += (state.model * seconds(elapsed)).at_least(0.0);
        let after = (state.model * seconds(edge?.saturating_add(self.late))).at_least(0.0);
        let over = (state.turned - after).at_least(0.0);
        state.turned = after;
        Some(over)
    }

    /// The command of a side that sows, 2⁻¹⁶.
    pub(crate) fn update(&self, state: &mut DriveState, feedback: Feedback, now: Instant) -> u16 {
        state.start(now);
        let Feedback { ahead, lead, wanted, learns } = feedback;
        let full = self.trim.full;
        let row = self.row(ahead);
        let error = wanted - state.shaft.measured;
        let fed = (ahead + lead).at_least(0.0);
        let corrected = self.trim.held(state.learnt, fed);
        state.corrected = corrected;
        let sparse = row.kc == 0.0;
        state.sparse = sparse && error != 0.0;
        state.slow = sparse;
        let push = if sparse {
            (ahead + self.trim.held(state.learnt, ahead).by - state.model) * 4.0
        } else {
            error * row.kc
        };
        let sum = fed + corrected.by + push;
        let further = (sum >= full && error > 0.0)
            || (sum <= 0.0 && error < 0.0)
            || (corrected.limited && (error > 0.0) == (corrected.by > 0.0));
        let patience = self.answer.saturating_add(state.shaft.span.half());
        if state.phase == Phase::Seen && now.since(state.started) >= patience {
            state.phase = Phase::Settled;
        }
        if learns && !further && state.phase == Phase::Settled && !state.sparse && ahead > 0.0 {
            self.trim.learn(&mut state.learnt, wanted, error * row.ki);
        }
        let command = sum.at_most(full).at_least(0.0).at_most(state.given + full * 0.2);
        state.given = command;
        self.command(command)
    }

    fn row(&self, wanted: f32) -> Row {
        self.rows.iter().find(|row| wanted >= row.from).copied().unwrap_or_default()
    }

    #[inline(never)]
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 65 535")]
    fn command(&self, shaft: f32) -> u16 {
        if shaft <= 0.0 {
            return 0;
        }
        let mut piece = Piece::default();
        for candidate in self.pieces.iter().take(self.count) {
            if shaft >= candidate.from {
                piece = *candidate;
            }
        }
        ((piece.command + (shaft - piece.from) * piece.slope) * 65_536.0 + 0.5) as u16
    }
}

impl Row {
    fn new((lag, late): (f32, f32), interval: u32, quality: Quality) -> Self {
        let patience = if quality == Quality::Pulses { 1.0 } else { 4.0 / 3.0 };
        let interval = seconds(Micros::new(interval));
        let dead = late + (interval + 0.01) * 0.25;
        let fast = interval * 2.0 <= lag.max(0.04);
        let kc = if fast { lag / (dead * 2.0) } else { 0.0 };
        Self { from: 0.0, kc, ki: kc / (lag.min(dead * 8.0) * patience) * 0.02 }
    }
}

impl DriveState {
    pub(crate) const fn measured_at(&self) -> Instant {
        self.shaft.measured_at
    }

    pub(crate) const fn is_too_far(&self) -> bool {
        self.corrected.too_far
    }

    /// No command; what was learnt is kept.
    pub(crate) const fn rest(&mut self) {
        self.phase = Phase::Rest;
        self.given = 0.0;
    }

    fn start(&mut self, now: Instant) {
        if self.phase == Phase::Rest {
            self.phase = Phase::Started;
            self.started = now;
            if self.shaft.stands() {
                self.shaft.begin(now);
            }
        } else if self.phase == Phase::Started && self.shaft.closed_since(self.started) {
            self.phase = Phase::Seen;
        }
    }
}
