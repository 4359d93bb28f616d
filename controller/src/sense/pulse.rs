//! Speed from pulses: the time between whole edges (M/T), not edges in a window.
//!
//! ```text
//!  edges   |   |   |   |   |   |
//!          ^from           ^to        speed = edges / (to − from), true in the middle
//! ```
//!
//! An instant that lies ahead is taken for now, and a count that falls back is a counter that was set afresh:
//! it adds no edges.
//!
//! At 0.45 turns/s and 60 pulses per turn a 100 ms window has 2.7 edges and steps of 37 %; the time
//! between edges has steps of 1 µs.

use crate::quantity::{Instant, Micros, Scale, scaled_by};

/// A pulse channel as captured: a wrapping count of edges and the instant of the last one.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Pulses {
    /// Edges since power-up; wraps.
    pub count: u32,
    /// Instant of the last edge; meaningless before the first.
    pub edge_at: Instant,
}

impl Pulses {
    /// The same with no edge after `now`.
    const fn by(self, now: Instant) -> Self {
        if now.is_before(self.edge_at) { Self { edge_at: now, ..self } } else { self }
    }
}

/// Whole edges and the time they took.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Window {
    /// Edges in the window.
    pub edges: u32,
    /// Its length.
    pub span: Micros,
    /// The instant at which the mean speed of the window was true.
    pub middle: Instant,
}

/// What a pulse meter remembers.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct PulseState {
    from: Pulses,
    last: Pulses,
    waited: Micros,
    primed: bool,
    /// The tick is an odd one, counted from the first.
    odd: bool,
    /// An edge opened a window; the next one may close it.
    open: bool,
}

/// In which ticks a window may close: meters that take turns share the work of a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub enum Closing {
    /// In every tick.
    #[default]
    Every,
    /// In every second one.
    Even,
    /// In those between.
    Odd,
}

/// A pulse meter.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct PulseMeter {
    /// Windows are at least so long.
    pub least_window: Micros,
    /// After so long without an edge the next one opens a new window instead of closing an old one.
    pub silence: Micros,
    /// When they may close.
    pub closing: Closing,
}

impl PulseMeter {
    /// Reads the channel at `now`; returns the edges since the last reading and a window if one closed.
    pub fn update(
        &self,
        state: &mut PulseState,
        pulses: Pulses,
        now: Instant,
    ) -> (u32, Option<Window>) {
        let pulses = pulses.by(now);
        let odd = !state.odd;
        state.odd = odd;
        let closes = state.is_turn(self.closing);
        if !state.primed {
            *state = PulseState::of(pulses, self.silence, odd);
            return (0, None);
        }
        let edges = pulses.count.wrapping_sub(state.last.count);
        if edges.cast_signed() < 0 {
            state.from = pulses;
            state.last = pulses;
            return (0, None);
        }
        if edges == 0 {
            let age = if state.open { now.since_or_zero(state.last.edge_at) } else { self.silence };
            // Saturates: once silent, silent until a new edge comes, however long that takes.
            state.waited =
                if state.waited >= self.silence { self.silence } else { age.min(self.silence) };
            if state.waited >= self.silence {
                state.open = false;
            }
            // An edge that came when it was not its turn.
            let waits = closes && state.open && state.last.count != state.from.count;
            return (0, if waits { state.close(self.least_window) } else { None });
        }
        let was_silent = state.waited >= self.silence || !state.open;
        state.last = pulses;
        state.waited = now.since_or_zero(pulses.edge_at).min(self.silence);
        if was_silent {
            state.from = pulses;
            state.open = true;
            state.waited = Micros::ZERO;
            return (edges, None);
        }
        (edges, if closes { state.close(self.least_window) } else { None })
    }
}

impl PulseState {
    /// After the first reading.
    const fn of(pulses: Pulses, silence: Micros, odd: bool) -> Self {
        Self { from: pulses, last: pulses, waited: silence, primed: true, odd, open: false }
    }
    /// Closes the window at the last edge if it is long enough.
    fn close(&mut self, least: Micros) -> Option<Window> {
        let span = self.last.edge_at.since_or_zero(self.from.edge_at);
        if span < least || span.get() == 0 {
            return None;
        }
        let edges = self.last.count.wrapping_sub(self.from.count);
        let middle = self.from.edge_at.plus(span.half());
        self.from = self.last;
        Some(Window { edges, span, middle })
    }

    /// Whether the last reading was one in which a window may close.
    pub(crate) const fn is_turn(&self, closing: Closing) -> bool {
        match closing {
            Closing::Every => true,
            Closing::Even => !self.odd,
            Closing::Odd => self.odd,
        }
    }

    /// Forgets the open window: the next edge opens a new one.
    pub const fn reopen(&mut self) {
        self.open = false;
    }

    /// Time since the last edge, held at the meter's silence.
    pub const fn waited(&self) -> Micros {
        self.waited
    }

    /// Whether there has been no edge for the meter's silence.
    #[must_use]
    pub const fn is_silent(&self) -> bool {
        !self.open
    }
}

impl Window {
    /// Mean speed of the window: `scale · edges / span`, raw bits of the unit the scale was made for.
    pub(crate) fn speed(&self, scale: Scale) -> i32 {
        let bits = scaled_by(scale, self.edges, self.span.get());
        i32::try_from(bits).unwrap_or(i32::MAX)
    }
}

#[cfg(test)]
mod tests {
    use super::{Closing, PulseMeter, PulseState, Pulses};
    use crate::quantity::{Instant, Micros, Scale};

    const METER: PulseMeter = PulseMeter {
        least_window: Micros::from_millis(20),
        silence: Micros::from_millis(300),
        closing: Closing::Every,
    };

    #[test]
    fn a_window_of_whole_edges_has_the_exact_speed() {
        let mut state = PulseState::default();
        let scale = Scale::ratio(1_000_000 << 20, 100);
        let mut seen = 0;
        for k in 0..200_u32 {
            let now = Instant::from_micros((u32::MAX - 500_000).wrapping_add(k * 10_000));
            // An edge every 4 ms: 2.5 m/s at 100 per metre.
            let count = (k * 10_000) / 4_000;
            let edge_at = Instant::from_micros((u32::MAX - 500_000).wrapping_add(count * 4_000));
            let (_, window) = METER.update(&mut state, Pulses { count, edge_at }, now);
            if let Some(window) = window {
                seen += 1;
                assert_eq!(window.speed(scale), 2_621_440, "2.5 m/s in Q20");
            }
        }
        assert!(seen > 50, "windows closed across the wrap: {seen}");
    }

    #[test]
    fn silence_longer_than_the_clock_stays_silence() {
        let mut state = PulseState::default();
        let edge = Pulses { count: 1, edge_at: Instant::from_micros(100) };
        METER.update(&mut state, Pulses::default(), Instant::from_micros(0));
        METER.update(&mut state, edge, Instant::from_micros(200));
        for minute in 0..300_u32 {
            let now = Instant::from_micros(minute.wrapping_mul(30_000_000).wrapping_add(1_000_000));
            METER.update(&mut state, edge, now);
            assert!(state.is_silent(), "woke up by itself in minute {minute}");
        }
    }
}
