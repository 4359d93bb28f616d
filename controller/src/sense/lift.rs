//! A switch that bounces: believed when it has read the same for the debounce time.
//!
//! The delay is the same for both changes; it counts in the start and stop errors.

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
    changing: bool,
    since: Instant,
}

impl Debounce {
    /// Reads the switch at `now`; returns what is believed.
    pub fn update(&self, state: &mut DebounceState, reads: bool, now: Instant) -> bool {
        if reads == state.believed {
            state.changing = false;
        } else if !state.changing {
            state.changing = true;
            state.since = now;
        }
        if state.changing && now.since(state.since) >= self.steady_for {
            state.believed = reads;
            state.changing = false;
        }
        state.believed
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
}
