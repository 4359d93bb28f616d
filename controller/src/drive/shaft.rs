//! The shaft's speed by its encoder, as every law of a drive reads it.

use crate::quantity::{Instant, Micros, Scale, TurnsPerSecond, scaled_by};
use crate::sense::{Closing, PulseMeter, PulseState, Pulses, Window};

/// A shaft without an edge for so long when it is told to turn is taken as standing.
const STANDING: Micros = Micros::from_millis(100);

/// Windows are at least so long, and close in every second tick: two ticks long while edges are fast.
const LEAST_WINDOW: Micros = Micros::from_millis(15);

/// Slow shafts keep their window open for so long.
const SILENCE: Micros = Micros::from_millis(4_000);

/// An encoder with so many edges a turn.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct ShaftMeter {
    meter: PulseMeter,
    /// The count falls while the shaft turns backwards.
    two_channel: bool,
    /// turns/s Q21 · µs per edge.
    scale: Scale,
}

/// What is remembered of a shaft.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct ShaftState {
    pulses: PulseState,
    measured: TurnsPerSecond,
    measured_at: Instant,
    span: Micros,
    edges: u32,
    /// Turns of a law's model since the edge that opened the window.
    pub(super) turned: u32,
    /// A window closed in this tick.
    closed: bool,
    /// Count of a two-channel encoder as read last, and how far it stands behind the furthest.
    read: Option<u32>,
    behind: u32,
    /// Its furthest count.
    furthest: u32,
}

impl ShaftMeter {
    pub(super) fn new(edges_per_turn: u32, two_channel: bool, closing: Closing) -> Self {
        let scale = Scale::ratio(1_000_000 << 21, u64::from(edges_per_turn.max(1)));
        let meter = PulseMeter { least_window: LEAST_WINDOW, silence: SILENCE, closing };
        Self { meter, two_channel, scale }
    }

    /// Shaft speed at one edge in so many µs, Q21.
    pub(super) fn one_edge_in(&self, micros: u32) -> u32 {
        scaled_by(self.scale, 1, micros)
    }

    /// Reads the encoder at `now`; the window that closed, if one did.
    pub(super) fn measure(
        &self,
        state: &mut ShaftState,
        pulses: Pulses,
        now: Instant,
    ) -> Option<Window> {
        let pulses = if self.two_channel {
            Pulses { count: state.forwards(pulses.count), ..pulses }
        } else {
            pulses
        };
        let (edges, window) = self.meter.update(&mut state.pulses, pulses, now);
        state.edges = edges;
        state.closed = window.is_some();
        if let Some(window) = window {
            state.measured = TurnsPerSecond::from_bits(window.speed(self.scale));
            state.measured_at = window.middle;
            state.span = window.span;
            return Some(window);
        }
        if state.pulses.is_silent() {
            state.measured = TurnsPerSecond::ZERO;
            state.measured_at = now;
            return None;
        }
        // Between edges the shaft turns at most one edge in the time waited.
        let waited = state.pulses.waited();
        if waited > state.span && state.pulses.is_turn(self.meter.closing) {
            let bound = self.one_edge_in(waited.get().max(1));
            let bound = TurnsPerSecond::from_bits(i32::try_from(bound).unwrap_or(i32::MAX));
            if bound < state.measured {
                state.measured = bound;
                state.measured_at = now.minus(waited.half());
            }
        }
        None
    }
}

impl ShaftState {
    /// The furthest count: edges that were turned back are made up for before any counts again.
    fn forwards(&mut self, count: u32) -> u32 {
        let before = self.read.replace(count).unwrap_or(count);
        let turned = count.wrapping_sub(before).cast_signed();
        let back = turned.min(0).unsigned_abs();
        let on = turned.max(0).unsigned_abs();
        let made_up = on.min(self.behind);
        self.behind = self.behind.saturating_sub(made_up).saturating_add(back);
        self.furthest = self.furthest.wrapping_add(on.saturating_sub(made_up));
        self.furthest
    }

    /// Edges by which it stands behind its furthest count.
    pub(super) const fn behind(&self) -> u32 {
        self.behind
    }

    /// Whether it stood until now.
    pub(super) fn stands(&self) -> bool {
        self.pulses.waited() > STANDING
    }

    /// The shaft is told to turn from standing: the window that was open says nothing of what comes.
    pub(super) const fn begin(&mut self, now: Instant) {
        self.pulses.reopen();
        self.span = Micros::ZERO;
        self.measured = TurnsPerSecond::ZERO;
        self.measured_at = now;
    }

    /// Whether a window closed in this tick that was opened after `since`.
    pub(super) const fn closed_since(&self, since: Instant) -> bool {
        self.closed && !self.measured_at.minus(self.span.half()).is_before(since)
    }

    /// Whether edges open no window yet.
    pub(super) const fn is_silent(&self) -> bool {
        self.pulses.is_silent()
    }

    /// Time since the last edge.
    pub(super) const fn waited(&self) -> Micros {
        self.pulses.waited()
    }

    /// Shaft speed by the last window.
    pub(super) const fn measured(&self) -> TurnsPerSecond {
        self.measured
    }

    /// The instant at which it was true.
    pub(super) const fn measured_at(&self) -> Instant {
        self.measured_at
    }

    /// Length of the last window.
    pub(super) const fn span(&self) -> Micros {
        self.span
    }

    /// Edges since the reading before.
    pub(super) const fn edges(&self) -> u32 {
        self.edges
    }
}
