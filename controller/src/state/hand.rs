//! A start by hand: the hold button, with the master on and the drill down, meters at the set speed until the ground
//! speed is trusted.
//!
//! ```text
//!  let go ──► pressed afresh ──► active ──► 3 s, let go, lifted, backwards, off ──► over until let go and pressed again
//! ```

use crate::quantity::{Instant, Micros};

/// A start by hand lasts no longer.
pub(crate) const BY_HAND_FOR: Micros = Micros::from_millis(3_000);

/// What is remembered of the hold button while the master is on.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct HandStart {
    /// The button was held when it was looked at last; before the first look it is taken for held.
    held: bool,
    since: Option<Instant>,
}

impl Default for HandStart {
    fn default() -> Self {
        Self { held: true, since: None }
    }
}

impl HandStart {
    /// The button is not held.
    pub(super) const fn let_go(&mut self) {
        self.held = false;
        self.since = None;
    }

    /// The button is held; whether the shafts may be started by hand in this tick.
    #[inline(never)]
    pub(super) fn press(&mut self, may: bool, now: Instant) -> bool {
        if !self.held && may {
            self.since = Some(now);
        }
        self.held = true;
        if !may {
            self.since = None;
        }
        // Over is over: the clock's wrap must not bring it back.
        self.since = self.since.filter(|since| now.since(*since) < BY_HAND_FOR);
        self.since.is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::HandStart;
    use crate::quantity::Instant;

    fn at(tick: u32) -> Instant {
        Instant::from_micros(tick.wrapping_mul(10_000))
    }

    #[test]
    fn it_lasts_three_seconds_and_needs_a_fresh_press() {
        let mut hand = HandStart::default();
        assert!(!hand.press(true, at(0)), "held since power-up");
        hand.let_go();
        let active = (2..1_000_000).take_while(|tick| hand.press(true, at(*tick))).count();
        assert_eq!(active, 300, "ticks");
        assert!(!hand.press(true, at(430_000)), "not again by the clock's wrap");
        hand.let_go();
        assert!(hand.press(true, at(430_002)));
        assert!(!hand.press(false, at(430_003)), "lifted");
        assert!(!hand.press(true, at(430_004)), "lowered with the button held: no press");
    }
}
