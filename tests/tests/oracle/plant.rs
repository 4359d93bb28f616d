//! A drive and the edges it gives, apart from the bench: dead time, one lag, a gain of 0.9.

use controller::quantity::{Instant, Micros};
use controller::sense::Pulses;

/// A millisecond, s.
const STEP: f64 = 0.001;

/// Edges of something that turns or rolls: a count and the last instant in whole µs.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Edges {
    phase: f64,
    pub(crate) count: u32,
    pub(crate) last_us: u32,
}

impl Edges {
    /// Goes on by a millisecond from `from_us` at so many edges per second (below a thousand).
    pub(crate) fn advance(&mut self, rate: f64, from_us: u32) {
        let next = self.phase + rate * STEP;
        if next >= 1.0 {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "within a millisecond"
            )]
            let into = ((1.0 - self.phase) / rate * 1e6).ceil() as u32;
            self.count += 1;
            self.last_us = from_us + into.min(1_000);
        }
        self.phase = next.fract();
    }

    /// As the core reads them, on a clock that started at `origin`.
    pub(crate) const fn pulses(&self, origin: Instant) -> Pulses {
        Pulses { count: self.count, edge_at: origin.plus(Micros::new(self.last_us)) }
    }
}

/// The drive: the map of the reference drill times a gain, 50 ms late, behind a lag of 0.15 s.
#[derive(Clone, Debug)]
pub(crate) struct Plant {
    gain: f64,
    coming: std::collections::VecDeque<u16>,
    pub(crate) turns_per_s: f64,
    pub(crate) edges: Edges,
}

impl Plant {
    pub(crate) fn new(gain: f64) -> Self {
        let coming = std::iter::repeat_n(0, 50).collect();
        Self { gain, coming, turns_per_s: 0.0, edges: Edges::default() }
    }

    /// A millisecond under a command word.
    pub(crate) fn advance(&mut self, command: u16, from_us: u32) {
        self.coming.push_back(command);
        let felt = self.coming.pop_front().unwrap_or(0);
        let open = f64::from(felt.saturating_sub(13_107)) / f64::from(65_535 - 13_107);
        let goal = open * 1.65 * self.gain;
        self.turns_per_s += (goal - self.turns_per_s) * (1.0 - (-STEP / 0.15).exp());
        self.edges.advance(self.turns_per_s * 180.0, from_us);
    }
}

/// Windows of whole edges, at least 15 ms long, in `f64` seconds. They close in every second tick.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Windows {
    primed: Option<u32>,
    opened: Option<(u32, u32)>,
    seen: u32,
    odd: bool,
    /// They close in odd ticks, counted from the first.
    in_odd: bool,
}

/// A window: edges per second, its beginning, its span and its middle, s.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Mean {
    pub(crate) rate: f64,
    pub(crate) from: f64,
    pub(crate) span: f64,
    pub(crate) middle: f64,
}

impl Windows {
    /// Windows that close in odd ticks.
    pub(crate) fn of_odd_ticks() -> Self {
        Self { in_odd: true, ..Self::default() }
    }

    /// Reads the edges in a tick.
    pub(crate) fn read(&mut self, edges: Edges) -> Option<Mean> {
        let primed = *self.primed.get_or_insert(edges.count);
        self.odd = !self.odd;
        self.seen = edges.count;
        if edges.count == primed {
            return None;
        }
        let Some((count, from)) = self.opened else {
            self.opened = Some((edges.count, edges.last_us));
            return None;
        };
        let span_us = edges.last_us - from;
        if !self.is_turn() || edges.count == count || span_us < 15_000 {
            return None;
        }
        self.opened = Some((edges.count, edges.last_us));
        let (from, span) = (f64::from(from) * 1e-6, f64::from(span_us) * 1e-6);
        let rate = f64::from(edges.count - count) / span;
        Some(Mean { rate, from, span, middle: from + span / 2.0 })
    }

    /// Whether the last reading was one in which a window may close.
    pub(crate) const fn is_turn(&self) -> bool {
        self.odd == self.in_odd
    }

    /// Whether a window is open.
    pub(crate) const fn is_open(&self) -> bool {
        self.opened.is_some()
    }
}
