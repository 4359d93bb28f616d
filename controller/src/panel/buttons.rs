//! Buttons: plain inputs, debounced; a press counts once, and only after the button was seen let go.

use crate::quantity::{Instant, Micros};
use crate::sense::{Debounce, DebounceState};

/// The buttons of the panel as read: `true` is pressed.
#[expect(clippy::struct_excessive_bools, reason = "each is a reading of its own")]
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Buttons {
    /// More.
    pub up: bool,
    /// Less.
    pub down: bool,
    /// Next page; also no, and "I have seen the alarm".
    pub next: bool,
    /// Choose a lot; also yes.
    pub choose: bool,
    /// The box was filled.
    pub filled: bool,
    /// The field begins or ends.
    pub field: bool,
}

/// A fresh press.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) enum Press {
    Up,
    Down,
    Next,
    Choose,
    Filled,
    Field,
}

/// A button must read the same for so long.
const STEADY: Debounce = Debounce { steady_for: Micros::from_millis(30) };

/// What an input remembers that is read once in a while.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Contact {
    state: DebounceState,
    pressed: bool,
    /// It was seen let go since power-up.
    free: bool,
}

impl Contact {
    /// Whether it was freshly pressed. One that is found pressed at power-up was not.
    fn press(&mut self, reads: bool, now: Instant) -> bool {
        let pressed = STEADY.update(&mut self.state, reads, now);
        let fresh = pressed && !self.pressed && self.free;
        self.pressed = pressed;
        self.free |= !reads && !pressed;
        fresh
    }

    /// Whether it changed, and to what.
    pub(super) fn change(&mut self, reads: bool, now: Instant) -> Option<bool> {
        let pressed = STEADY.update(&mut self.state, reads, now);
        let changed = pressed != self.pressed;
        self.pressed = pressed;
        changed.then_some(pressed)
    }
}

/// What the buttons remember.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct ButtonState([Contact; 6]);

impl ButtonState {
    /// The fresh press of this reading; none when two come at once, for then nobody knows what is meant.
    pub(super) fn update(&mut self, buttons: Buttons, now: Instant) -> Option<Press> {
        let Buttons { up, down, next, choose, filled, field } = buttons;
        let reads = [up, down, next, choose, filled, field];
        let presses =
            [Press::Up, Press::Down, Press::Next, Press::Choose, Press::Filled, Press::Field];
        let mut found = None;
        let mut two = false;
        for ((contact, reads), press) in self.0.iter_mut().zip(reads).zip(presses) {
            if contact.press(reads, now) {
                two |= found.is_some();
                found = Some(press);
            }
        }
        found.filter(|_| !two)
    }
}

#[cfg(test)]
mod tests {
    use super::{ButtonState, Buttons, Press};
    use crate::quantity::{Instant, Micros};

    /// Reads every 20 ms; the presses that were found.
    fn presses(readings: &[Buttons]) -> heapless::Vec<Press, 16> {
        let mut state = ButtonState::default();
        let mut now = Instant::from_micros(u32::MAX - 50_000);
        let mut found = heapless::Vec::new();
        for buttons in readings {
            now = now.plus(Micros::from_millis(20));
            if let Some(press) = state.update(*buttons, now) {
                found.push(press).unwrap();
            }
        }
        found
    }

    const NONE: Buttons =
        Buttons { up: false, down: false, next: false, choose: false, filled: false, field: false };
    const UP: Buttons = Buttons { up: true, ..NONE };

    #[test]
    fn a_press_counts_once_and_a_bounce_not_at_all() {
        assert_eq!(presses(&[NONE, UP, UP, UP, UP, UP, UP]).as_slice(), [Press::Up], "held");
        assert_eq!(presses(&[NONE, UP, NONE, UP, NONE]).as_slice(), [], "bounce");
        let twice = [NONE, UP, UP, UP, NONE, NONE, NONE, UP, UP, UP];
        assert_eq!(presses(&twice).as_slice(), [Press::Up, Press::Up], "pressed twice");
    }

    #[test]
    fn a_button_that_is_down_at_power_up_is_not_pressed() {
        assert_eq!(presses(&[UP, UP, UP, UP]).as_slice(), []);
        let again = [UP, UP, UP, UP, NONE, NONE, NONE, UP, UP, UP];
        assert_eq!(presses(&again).as_slice(), [Press::Up], "after it was let go");
    }

    #[test]
    fn quick_presses_one_after_the_other_all_count() {
        let mut readings = heapless::Vec::<Buttons, 64>::new();
        for _ in 0..10 {
            readings.extend([NONE, NONE, NONE, UP, UP, UP]);
        }
        assert_eq!(presses(&readings).len(), 10);
    }

    #[test]
    fn two_at_once_are_none() {
        let both = Buttons { down: true, ..UP };
        assert_eq!(presses(&[NONE, both, both, both]).as_slice(), []);
    }
}
