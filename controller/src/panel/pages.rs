//! The pages of the display, as data.
//!
//! A page takes as many of its rows as the drill has and the display holds, from the first; one of which the drill has
//! none, but for the state, is left out.

use super::row::Row;
use super::screen::{Screen, Size};
use super::view::View;

/// A page.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Page {
    /// Its name in the documents.
    pub name: &'static str,
    /// Its rows, the most wanted first.
    pub rows: &'static [Row],
}

const TWO: [Page; 9] = [
    Page { name: "work", rows: &[Row::State, Row::Rates(0)] },
    Page { name: "box 2", rows: &[Row::Left(1), Row::Rates(1)] },
    Page { name: "shafts", rows: &[Row::Shaft(0), Row::Shaft(1)] },
    Page { name: "more shafts", rows: &[Row::Shaft(2), Row::Shaft(3)] },
    Page { name: "map", rows: &[Row::Map(0), Row::Map(1)] },
    Page { name: "more map", rows: &[Row::Map(2), Row::Map(3)] },
    Page { name: "seed", rows: &[Row::Left(0), Row::Left(1), Row::Sown(0)] },
    Page { name: "field", rows: &[Row::Area, Row::Way] },
    Page { name: "lot", rows: &[Row::Lot(0), Row::Lot(1), Row::Field] },
];

const FOUR: [Page; 6] = [
    Page {
        name: "work",
        rows: &[Row::State, Row::Rates(0), Row::Rates(1), Row::Left(0), Row::Left(1), Row::Area],
    },
    Page { name: "box 2", rows: &[Row::Rates(1), Row::Left(1), Row::Sown(1), Row::Lot(1)] },
    Page { name: "shafts", rows: &[Row::Shaft(0), Row::Shaft(1), Row::Shaft(2), Row::Shaft(3)] },
    Page { name: "map", rows: &[Row::Map(0), Row::Map(1), Row::Map(2), Row::Map(3)] },
    Page { name: "seed", rows: &[Row::Left(0), Row::Sown(0), Row::Left(1), Row::Sown(1)] },
    Page { name: "field", rows: &[Row::Field, Row::Area, Row::Way, Row::Lot(0)] },
];

/// The pages of a display, in the order of the button.
#[must_use]
pub const fn pages(size: Size) -> &'static [Page] {
    match size {
        Size::Two16 => &TWO,
        Size::Four20 => &FOUR,
    }
}

impl Page {
    /// Whether this drill has anything of it.
    #[must_use]
    pub fn is_there(&self, view: &View<'_>) -> bool {
        self.rows.first().is_some_and(|row| row.is_there(view))
    }

    /// The box whose rate the page shows, if it shows one.
    #[must_use]
    pub fn rate_of(&self) -> Option<usize> {
        self.rows.iter().find_map(|row| match row {
            Row::Rates(product) => Some(*product),
            Row::State
            | Row::Shaft(_)
            | Row::Map(_)
            | Row::Left(_)
            | Row::Sown(_)
            | Row::Lot(_)
            | Row::Field
            | Row::Area
            | Row::Way => None,
        })
    }

    /// Its text.
    pub(super) fn screen(&self, view: &View<'_>) -> Screen {
        let mut screen = Screen::new(view.size);
        for row in self.rows.iter().filter(|row| row.is_there(view)) {
            screen.push(row.line(view));
        }
        screen.filled()
    }
}
