//! A field: what was counted when it began, so that area, mass, rate and way are its own.

use super::boxes::BOXES;
use super::seen::Seen;
use crate::tally::Account;

/// What is remembered of a field. Plain numbers: the board may keep it and give it back.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Field {
    /// Running number, from 1; 0 before the first.
    pub number: u16,
    /// It goes on.
    pub open: bool,
    /// The counts at its begin, by box.
    pub accounts: [Account; BOXES],
    /// All boxes together, ground counted once.
    pub whole: Account,
}

/// What was added since.
const fn since(now: Account, then: Account) -> Account {
    Account {
        distance_um: now.distance_um.saturating_sub(then.distance_um),
        area_mm2: now.area_mm2.saturating_sub(then.area_mm2),
        mass_ug: now.mass_ug.saturating_sub(then.mass_ug),
    }
}

impl Field {
    /// A field begins.
    pub(super) const fn begin(&mut self, seen: &Seen) {
        self.number = self.number.saturating_add(1);
        self.open = true;
        self.accounts = seen.accounts;
        self.whole = seen.whole;
    }

    /// What was sown of a box since the field began; since the counts began, before the first.
    pub(super) fn of_box(&self, seen: &Seen, product: usize) -> Account {
        let then = self.accounts.get(product).copied().unwrap_or_default();
        since(seen.accounts.get(product).copied().unwrap_or_default(), then)
    }

    /// The same of all boxes.
    pub(super) const fn of_all(&self, seen: &Seen) -> Account {
        since(seen.whole, self.whole)
    }
}
