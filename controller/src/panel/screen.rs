//! A screen of text: two rows of 16 signs or four of 20, always full.

use super::line::Line;
use heapless::{String, Vec};

/// Most rows and signs of a row.
pub(super) const ROWS: usize = 4;
/// Signs of the longest row.
pub(super) const SIGNS: usize = 20;

/// Size of a character display.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Size {
    /// Two rows of 16.
    Two16,
    /// Four rows of 20.
    #[default]
    Four20,
}

impl Size {
    /// Rows.
    #[must_use]
    pub const fn rows(self) -> usize {
        match self {
            Self::Two16 => 2,
            Self::Four20 => 4,
        }
    }

    /// Signs of a row.
    #[must_use]
    pub const fn width(self) -> usize {
        match self {
            Self::Two16 => 16,
            Self::Four20 => 20,
        }
    }
}

/// What a display shows: every row has its full width in printable ASCII.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Screen {
    rows: Vec<String<SIGNS>, ROWS>,
    size: Size,
}

impl Screen {
    /// A screen without a row yet.
    pub(super) const fn new(size: Size) -> Self {
        Self { rows: Vec::new(), size }
    }

    /// Adds a row, filled up; a row too many is left out.
    pub(super) fn push(&mut self, mut line: Line<SIGNS>) {
        if self.rows.len() < self.size.rows() {
            line.pad(self.size.width());
            let _full = self.rows.push(line.into_text()).is_err();
        }
    }

    /// Adds a row with one text.
    pub(super) fn say(&mut self, text: &str) {
        let mut line = Line::default();
        line.text(text);
        self.push(line);
    }

    /// Fills the rest with blank rows.
    pub(super) fn filled(mut self) -> Self {
        for _ in 0..ROWS {
            self.push(Line::default());
        }
        self
    }

    /// Its size.
    pub const fn size(&self) -> Size {
        self.size
    }

    /// The rows, from the top.
    pub fn rows(&self) -> impl Iterator<Item = &str> {
        self.rows.iter().map(String::as_str)
    }
}
