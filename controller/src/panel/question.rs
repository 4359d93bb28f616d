//! Acts of two presses: what is asked after the first, and what the next press makes of it.
//!
//! ```text
//!  choose ─► which lot? ─┐
//!  filled ─► holds so much? ─┼─ choose within 5 s ─► wish       up, down: another lot, a bag more or less; 5 s anew
//!  field ──► begins, ends? ─┘  next, another button, 5 s ─► nothing
//! ```
//!
//! With the master off *choose* asks first about what holds the drill up: a lost encoder (go on by the map?), a map
//! whose correction is at its limit (mended?).

use super::boxes::BOXES;
use super::buttons::Press;
use super::config::PanelConfig;
use super::lots::LotBook;
use super::wish::Wish;
use crate::quantity::Micros;

/// A question is open for so long.
pub const QUESTION_FOR: Micros = Micros::from_millis(5_000);

/// What is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) enum Question {
    /// Take this lot?
    Lot(usize),
    /// Does this box hold so much now?
    Filled { product: usize, content_ug: u64 },
    /// Does a field begin?
    FieldBegins,
    /// Does it end?
    FieldEnds,
    /// May this side go on by its map alone?
    ByMap(usize),
    /// Was the drive mended, whose map's correction was at its limit?
    Mended,
}

/// What becomes of a question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Next {
    /// It is asked, or asked anew.
    Ask(Question),
    /// It is a wish.
    Wish(Wish),
    /// Nothing.
    Drop,
}

/// What a question is asked about.
#[derive(Clone, Copy, Debug)]
pub(super) struct Matter<'p> {
    pub(super) config: &'p PanelConfig,
    pub(super) lots: &'p LotBook,
    /// The lot in force of each box.
    pub(super) chosen: [Option<usize>; BOXES],
    pub(super) boxes: usize,
    pub(super) in_field: bool,
    /// What holds the drill up, while the master is off.
    pub(super) held_by: Option<Question>,
}

impl Matter<'_> {
    /// The question that a press opens.
    pub(super) fn opened_by(self, press: Press) -> Option<Question> {
        match press {
            Press::Choose if self.held_by.is_some() => self.held_by,
            Press::Choose if !self.lots.is_empty() => {
                let first = self.chosen.iter().flatten().next();
                Some(Question::Lot(first.copied().unwrap_or(0)))
            }
            Press::Filled => Some(self.full(0)),
            Press::Field if self.in_field => Some(Question::FieldEnds),
            Press::Field => Some(Question::FieldBegins),
            Press::Choose | Press::Up | Press::Down | Press::Next => None,
        }
    }

    fn full(self, product: usize) -> Question {
        let content_ug = self.config.boxes.get(product).map_or(0, |one| one.full_ug);
        Question::Filled { product, content_ug }
    }

    /// What a press makes of an open question.
    pub(super) fn pressed(self, question: Question, press: Press) -> Next {
        match (question, press) {
            (_, Press::Choose) => self.granted(question),
            (Question::Lot(index), Press::Up | Press::Down) => {
                Next::Ask(Question::Lot(self.lots.beside(index, press == Press::Up)))
            }
            (Question::Filled { product, content_ug }, Press::Up | Press::Down) => {
                let content_ug = self
                    .config
                    .boxes
                    .get(product)
                    .map_or(content_ug, |one| one.step(content_ug, press == Press::Up));
                Next::Ask(Question::Filled { product, content_ug })
            }
            // The next box, round and round.
            (Question::Filled { product, .. }, Press::Filled) if self.boxes > 1 => {
                let next = product.saturating_add(1);
                Next::Ask(self.full(if next < self.boxes { next } else { 0 }))
            }
            (_, Press::Up | Press::Down | Press::Next | Press::Filled | Press::Field) => Next::Drop,
        }
    }

    fn granted(self, question: Question) -> Next {
        match question {
            // The lot that is in force already: two presses by mistake change nothing.
            Question::Lot(index) if self.chosen.contains(&Some(index)) => Next::Drop,
            Question::Lot(index) => Next::Wish(Wish::Lot(index)),
            // The drill has no such box any more.
            Question::Filled { product, .. } if product >= self.boxes.max(1) => Next::Drop,
            Question::Filled { product, content_ug } => {
                Next::Wish(Wish::Filled { product, content_ug })
            }
            Question::FieldBegins => Next::Wish(Wish::FieldBegins),
            Question::FieldEnds => Next::Wish(Wish::FieldEnds),
            // It no longer holds the drill up, or the master is on.
            Question::ByMap(_) | Question::Mended if self.held_by != Some(question) => Next::Drop,
            Question::ByMap(side) => Next::Wish(Wish::ByMap(side)),
            Question::Mended => Next::Wish(Wish::Mended),
        }
    }
}
