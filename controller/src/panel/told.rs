//! The alarm that is shown: the worst that was heard, for two seconds at the least, until it is noticed.

use crate::state::worse;
use crate::watch::Item;

/// An alarm is shown for so long at the least, ms: one tick is too short for an eye.
const SHOWN_MS: u32 = 2_000;

/// What is told now.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Told {
    item: Option<Item>,
    /// When it came, and when it was heard last.
    came_ms: u32,
    heard_ms: u32,
    noticed: bool,
}

impl Told {
    /// Hears the worst item since the last call; whether another one is told from now on.
    pub(super) fn hear(&mut self, heard: Option<Item>, at_ms: u32) -> bool {
        if heard == self.item {
            self.heard_ms = at_ms;
            return false;
        }
        let over = at_ms.saturating_sub(self.heard_ms) >= SHOWN_MS;
        if !over && worse(heard, self.item) == self.item {
            return false;
        }
        *self = Self { item: heard, came_ms: at_ms, heard_ms: at_ms, noticed: false };
        heard.is_some()
    }

    /// The item.
    pub(super) const fn item(&self) -> Option<Item> {
        self.item
    }

    /// The item, if nobody has noticed it.
    pub(super) fn unnoticed(&self) -> Option<Item> {
        self.item.filter(|_| !self.noticed)
    }

    /// Somebody has.
    pub(super) const fn notice(&mut self) {
        self.noticed = true;
    }

    /// Time since it came, ms.
    pub(super) const fn age_ms(&self, at_ms: u32) -> u32 {
        at_ms.saturating_sub(self.came_ms)
    }
}

#[cfg(test)]
mod tests {
    use super::Told;
    use crate::watch::Item;

    #[test]
    fn an_alarm_of_one_tick_is_shown_for_two_seconds() {
        let mut told = Told::default();
        assert!(told.hear(Some(Item::TickLate), 100));
        for at in [200, 1_000, 2_099] {
            assert!(!told.hear(None, at), "at {at}");
            assert_eq!(told.item(), Some(Item::TickLate), "at {at}");
        }
        told.hear(None, 2_100);
        assert_eq!(told.item(), None);
    }

    #[test]
    fn a_worse_one_is_told_at_once_and_must_be_noticed_anew() {
        let mut told = Told::default();
        told.hear(Some(Item::BoxLow), 0);
        told.notice();
        assert!(!told.hear(Some(Item::BoxLow), 100));
        assert_eq!(told.unnoticed(), None, "noticed");
        assert!(told.hear(Some(Item::ShaftSilent), 200));
        assert_eq!(told.unnoticed(), Some(Item::ShaftSilent));
        assert!(!told.hear(Some(Item::BoxLow), 300), "the worse one stays for its time");
        assert!(told.hear(Some(Item::BoxLow), 2_300));
        assert_eq!(told.unnoticed(), Some(Item::BoxLow), "and it is heard again");
    }
}
