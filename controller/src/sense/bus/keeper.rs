//! Whose word counts when several senders give the same quantity.
//!
//! ```text
//!             a value                            silent for 1 s, or error, or out of range
//!  nobody ──────────────► kept (sender, group) ──────────────────────────────────────────► nobody
//!    ▲ every message passes     │ only its messages pass, errors too
//!    │                          │ a value of a better group takes over at once
//!    └──────────────────────────┘
//! ```
//!
//! The first sender with a value is kept: two senders that differ by a little must not make the speed jump to and fro.
//! *Not available* does not count as a sign of life: a sender that says nothing else for 1 s is given up for one that
//! knows. Where the person sets an address, nothing else is heard. While nobody is kept every message passes, so that
//! the controller learns of an error or that nobody knows.

use super::Reading;
use crate::quantity::{Instant, Micros};

/// A kept sender that gave no value for so long is given up.
const SILENCE: Micros = Micros::from_millis(1_000);

/// Quantities that several senders may give.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Channel {
    /// Wheel-based speed: 65096, else 65265.
    Wheel,
    /// Ground-based speed: 65097, else 129026, else 65256.
    Ground,
    /// Machine selected speed: 61474.
    Selected,
    /// The hitch that the drill hangs on: 65093 or 65094.
    Hitch,
    /// Yaw rate: 61449.
    Yaw,
    /// Course over ground: 129026.
    Course,
}

/// A message as a keeper sees it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Offer {
    /// Place of its group among those of the channel, 0 the best.
    pub(super) rank: u8,
    /// Who sent it.
    pub(super) sender: u8,
    /// What it says.
    pub(super) answer: Reading<()>,
    /// When it came.
    pub(super) now: Instant,
}

/// What is remembered of a channel; `Default` keeps nobody.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Keeper {
    kept: Option<Kept>,
}

#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Kept {
    rank: u8,
    sender: u8,
    /// When its last value came.
    heard: Instant,
}

impl Keeper {
    /// Whether the message passes; `only` is the address that the person set.
    pub(super) fn admits(&mut self, only: Option<u8>, offer: Offer) -> bool {
        if only.is_some_and(|only| only != offer.sender) {
            return false;
        }
        // A wrap of the clock later the silence may look short: then a new sender waits for a second at most.
        let kept = self.kept.filter(|kept| offer.now.since_or_zero(kept.heard) <= SILENCE);
        let itself = kept.is_none_or(|kept| (kept.rank, kept.sender) == (offer.rank, offer.sender));
        let value = matches!(offer.answer, Reading::Value(()));
        let better = value && kept.is_some_and(|kept| offer.rank < kept.rank);
        if itself || better {
            self.kept = match offer.answer {
                Reading::Value(()) => Some(Kept::by(offer)),
                Reading::NotAvailable => kept,
                Reading::Error | Reading::OutOfRange => None,
            };
        }
        itself || better
    }

    /// The address that is kept, be it silent by now.
    pub(super) fn sender(&self) -> Option<u8> {
        self.kept.map(|kept| kept.sender)
    }
}

impl Kept {
    const fn by(offer: Offer) -> Self {
        Self { rank: offer.rank, sender: offer.sender, heard: offer.now }
    }
}

#[cfg(test)]
mod tests {
    use super::{Keeper, Offer, Reading};
    use crate::quantity::{Instant, Micros};

    const VALUE: Reading<()> = Reading::Value(());

    fn offer(millis: u32, rank: u8, sender: u8, answer: Reading<()>) -> Offer {
        // Across the wrap of the clock.
        let now = Instant::from_micros(u32::MAX - 100_000).plus(Micros::from_millis(millis));
        Offer { rank, sender, answer, now }
    }

    #[test]
    fn the_first_sender_with_a_value_is_kept_until_it_is_silent_for_a_second() {
        let mut keeper = Keeper::default();
        assert!(keeper.admits(None, offer(0, 0, 1, Reading::NotAvailable)), "nobody knows yet");
        assert!(keeper.admits(None, offer(10, 0, 2, VALUE)), "the first value");
        assert!(!keeper.admits(None, offer(20, 0, 1, VALUE)), "the second sender");
        assert!(keeper.admits(None, offer(500, 0, 2, Reading::NotAvailable)), "still the kept one");
        assert!(!keeper.admits(None, offer(1_010, 0, 1, VALUE)), "a second of silence, not more");
        assert!(keeper.admits(None, offer(1_011, 0, 1, VALUE)), "silent for more than a second");
        assert_eq!(keeper.sender(), Some(1), "the next is kept");
    }

    #[test]
    fn a_kept_sender_that_says_error_is_heard_once_and_given_up() {
        for answer in [Reading::Error, Reading::OutOfRange] {
            let mut keeper = Keeper::default();
            assert!(keeper.admits(None, offer(0, 0, 1, VALUE)), "kept");
            assert!(!keeper.admits(None, offer(5, 0, 2, answer)), "an error of another");
            assert!(keeper.admits(None, offer(10, 0, 1, answer)), "its error passes");
            assert!(keeper.admits(None, offer(20, 0, 2, VALUE)), "another has a value");
            assert!(!keeper.admits(None, offer(30, 0, 1, answer)), "no more errors of the first");
        }
    }

    #[test]
    fn a_better_group_takes_over_with_a_value_only() {
        let mut keeper = Keeper::default();
        assert!(keeper.admits(None, offer(0, 1, 1, VALUE)), "a stand-in");
        assert!(!keeper.admits(None, offer(10, 0, 1, Reading::NotAvailable)), "no value");
        assert!(keeper.admits(None, offer(20, 0, 3, VALUE)), "the group itself");
        assert!(!keeper.admits(None, offer(30, 1, 1, VALUE)), "the stand-in is no longer wanted");
    }

    #[test]
    fn an_address_that_is_set_is_the_only_one_heard() {
        let mut keeper = Keeper::default();
        assert!(!keeper.admits(Some(9), offer(0, 0, 1, VALUE)), "another address");
        assert!(keeper.admits(Some(9), offer(10, 0, 9, Reading::Error)), "the set one");
        assert!(!keeper.admits(Some(9), offer(20, 0, 1, VALUE)), "even when the set one erred");
    }
}
