//! A switch that bounces: believed when it has read the same for the debounce time.
//!
//! The delay is the same for both changes; it counts in the start and stop errors. A contact that goes on changing is
//! not believed either way: each change adds, each reading takes off, and a bounce of a few changes never gets there.

use crate::quantity::{Instant, Micros};

/// Checked settings of a debounced switch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Debounce {
    /// The input must read the same for so long.
    pub steady_for: Micros,
}

/// What a debounced switch remembers; `Default` is off.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DebounceState {
    believed: bool,
    /// Since when it reads otherwise.
    changing: Option<Instant>,
    /// The last reading.
    read: bool,
    /// A change adds 16, a reading takes one off.
    restless: u8,
    chatters: bool,
}

impl Debounce {
    /// Reads the switch at `now`; returns what is believed.
    pub fn update(&self, state: &mut DebounceState, reads: bool, now: Instant) -> bool {
        let change = if reads == state.read { 0 } else { CHANGE };
        state.read = reads;
        state.restless = state.restless.saturating_sub(1).saturating_add(change);
        state.chatters = state.restless > if state.chatters { CALM } else { CHATTERS };
        if reads == state.believed {
            state.changing = None;
            return state.believed;
        }
        let since = *state.changing.get_or_insert(now);
        if now.since(since) >= self.steady_for {
            state.believed = reads;
            state.changing = None;
        }
        state.believed
    }
}

/// What a change adds to the restlessness.
const CHANGE: u8 = 16;

/// Eight changes within a quarter of a second are a contact that chatters ...
const CHATTERS: u8 = 110;

/// ... until it has read the same for a second or two.
const CALM: u8 = 20;

impl DebounceState {
    /// The contact changes without end: it says nothing.
    #[must_use]
    pub const fn chatters(&self) -> bool {
        self.chatters
    }
}

#[cfg(test)]
mod tests {
    use super::{Debounce, DebounceState};
    use crate::quantity::{Instant, Micros};

    #[test]
    fn a_bounce_is_not_believed_and_a_change_is_after_its_time() {
        let debounce = Debounce { steady_for: Micros::from_millis(20) };
        let mut state = DebounceState::default();
        let mut read =
            |ms: u32, reads| debounce.update(&mut state, reads, Instant::from_micros(ms * 1000));
        assert!(!read(0, true), "at once");
        assert!(!read(10, false), "bounce back");
        assert!(!read(20, true), "again");
        assert!(!read(30, true), "10 ms are not enough");
        assert!(read(40, true), "20 ms are");
    }

    #[test]
    fn a_contact_that_goes_on_changing_chatters_and_a_bounce_does_not() {
        let debounce = Debounce { steady_for: Micros::from_millis(20) };
        let mut state = DebounceState::default();
        let mut at = Instant::from_micros(0);
        let mut read = |state: &mut DebounceState, reads| {
            at = at.plus(Micros::from_millis(10));
            debounce.update(state, reads, at);
            state.chatters()
        };
        for bounce in [true, false, true, false, true, true, true] {
            assert!(!read(&mut state, bounce), "50 ms of bounce");
        }
        let first = (0_u8..100).find(|tick| read(&mut state, tick.is_multiple_of(2)));
        assert!(first.is_some_and(|tick| tick < 12), "told after {first:?} ticks");
        let calm = (0_u8..255).find(|_| !read(&mut state, true));
        assert!(calm.is_some_and(|tick| tick > 50), "calm after {calm:?} ticks");
    }
}
