//! Speed of a shaft: `controller::drive::shaft` in f32, for an encoder of one channel.

use controller::quantity::{Instant, Micros};
use controller::sense::{Closing, PulseMeter, PulseState, Pulses, Window};

const STANDING: Micros = Micros::from_millis(100);

/// An encoder.
pub(crate) struct Shaft {
    meter: PulseMeter,
    /// Turns · µs/s of an edge.
    turn: f32,
}

/// What is remembered of it.
#[derive(Default)]
pub(crate) struct ShaftState {
    pub(crate) pulses: PulseState,
    pub(crate) measured: f32,
    pub(crate) measured_at: Instant,
    pub(crate) span: Micros,
    closed: bool,
    odd: bool,
}

impl Shaft {
    #[expect(clippy::cast_precision_loss, reason = "few edges")]
    pub(crate) fn new(edges_per_turn: u32, closing: Closing) -> Self {
        let meter = PulseMeter {
            least_window: Micros::from_millis(15),
            silence: Micros::from_millis(4_000),
            closing,
        };
        Self { meter, turn: 1e6 / edges_per_turn.max(1) as f32 }
    }

    #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
    pub(crate) fn one_edge_in(&self, micros: u32) -> f32 {
        self.turn / micros.max(1) as f32
    }

    #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
    pub(crate) fn measure(
        &self,
        state: &mut ShaftState,
        pulses: Pulses,
        now: Instant,
    ) -> Option<Window> {
        let (_, window) = self.meter.update(&mut state.pulses, pulses, now);
        state.odd = !state.odd;
        state.closed = window.is_some();
        if let Some(window) = window {
            state.measured = self.turn * window.edges as f32 / window.span.get() as f32;
            state.measured_at = window.middle;
            state.span = window.span;
            return Some(window);
        }
        if state.pulses.is_silent() {
            state.measured = 0.0;
            state.measured_at = now;
            return None;
        }
        let waited = state.pulses.waited();
        let turn = state.odd == (self.meter.closing == Closing::Odd);
        if waited > state.span && turn {
            let bound = self.one_edge_in(waited.get());
            if bound < state.measured {
                state.measured = bound;
                state.measured_at = now.minus(waited.half());
            }
        }
        None
    }
}

impl ShaftState {
    pub(crate) fn stands(&self) -> bool {
        self.pulses.waited() > STANDING
    }

    pub(crate) fn begin(&mut self, now: Instant) {
        self.pulses.reopen();
        self.span = Micros::ZERO;
        self.measured = 0.0;
        self.measured_at = now;
    }

    pub(crate) fn closed_since(&self, since: Instant) -> bool {
        self.closed && !self.measured_at.minus(self.span.half()).is_before(since)
    }
}
