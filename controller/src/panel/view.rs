//! What is shown, before it is text.

use super::boxes::BOXES;
use super::field::Field;
use super::lots::LotBook;
use super::screen::Size;
use super::seen::Seen;
use super::units::Units;
use crate::tally::Account;
use crate::watch::Item;

/// Everything that a page shows.
#[derive(Clone, Copy, Debug)]
pub struct View<'p> {
    /// The drill.
    pub seen: &'p Seen,
    /// The field.
    pub field: &'p Field,
    /// The lots.
    pub lots: &'p LotBook,
    /// The lot in force of each box.
    pub chosen: [Option<usize>; BOXES],
    /// The alarm that is told.
    pub alarm: Option<Item>,
    /// Units.
    pub units: Units,
    /// Display.
    pub size: Size,
}

impl View<'_> {
    /// What a box sowed in this field.
    pub fn of_box(&self, product: usize) -> Account {
        self.field.of_box(self.seen, product)
    }

    /// What was sown in this field, ground counted once.
    pub const fn of_all(&self) -> Account {
        self.field.of_all(self.seen)
    }

    /// Name of the lot in force of a box.
    #[must_use]
    pub fn lot_name(&self, product: usize) -> &str {
        let index = self.chosen.get(product).copied().flatten();
        index.and_then(|index| self.lots.get(index)).map_or("none", |lot| lot.name())
    }
}
