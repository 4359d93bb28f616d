//! Acts: what the panel makes of a press, and of the answer to a wish.

use super::buttons::Press;
use super::cab::Panel;
use super::event::EventKind;
use super::history::Entry;
use super::lots::Lot;
use super::pages::{Page, pages};
use super::question::{Matter, Next, Question};
use super::wish::{Answer, Why, Wish};
use crate::quantity::divide_wide;
use crate::watch::Item;

impl Panel {
    /// What became of the last wish.
    pub fn answer(&mut self, answer: Answer) {
        let Some(wish) = self.asked.take() else { return };
        let kind = match wish {
            Wish::Rate { .. } => EventKind::Rate,
            Wish::Lot(_) => EventKind::Lot,
            Wish::Filled { .. } => EventKind::Filled,
            Wish::FieldBegins => EventKind::FieldBegins,
            Wish::FieldEnds => EventKind::FieldEnds,
            Wish::ByMap(_) => EventKind::ByMap,
            Wish::Mended => EventKind::Mended,
        };
        if answer.is_ok() {
            self.granted(wish, kind);
        } else {
            let entry = Entry::of_all(EventKind::Refused, u32::from(kind.number()));
            self.history.enter(entry, &self.seen, self.at_ms);
        }
        // A rate that was set is seen on the page itself.
        let seen = matches!((wish, answer), (Wish::Rate { .. }, Ok(())));
        self.message = (!seen).then_some((wish, answer, self.at_ms));
    }

    fn granted(&mut self, wish: Wish, kind: EventKind) {
        let entry = match wish {
            // Entered as the drill shows it, whoever changed it.
            Wish::Rate { .. } => return,
            Wish::Lot(index) => {
                let product = self.lots.get(index).map_or(0, Lot::product);
                if let Some(chosen) = self.chosen.get_mut(product) {
                    *chosen = Some(index);
                }
                let number = u32::try_from(index.saturating_add(1)).unwrap_or(u32::MAX);
                Entry::of(kind, number, product)
            }
            Wish::Filled { product, content_ug } => Entry::of(kind, part(content_ug), product),
            Wish::FieldBegins => {
                self.field.begin(&self.seen);
                Entry::of_all(kind, u32::from(self.field.number))
            }
            Wish::FieldEnds => {
                self.field.open = false;
                Entry::of_all(kind, part(self.field.of_all(&self.seen).area_mm2))
            }
            Wish::ByMap(side) => Entry::of(kind, 1, side),
            Wish::Mended => Entry::of_all(kind, 0),
        };
        self.history.enter(entry, &self.seen, self.at_ms);
    }

    /// A fresh press.
    pub(super) fn pressed(&mut self, press: Press) -> Option<Wish> {
        if let Some((question, _)) = self.question.take() {
            match self.matter().pressed(question, press) {
                Next::Ask(question) => self.question = Some((question, self.at_ms)),
                Next::Wish(wish) => return Some(wish),
                Next::Drop => {}
            }
            return None;
        }
        if let Some(question) = self.matter().opened_by(press) {
            self.message = None;
            self.question = Some((question, self.at_ms));
            return None;
        }
        if self.message.take().is_some() {
            return None;
        }
        match press {
            Press::Next => self.turn(),
            Press::Up | Press::Down => return self.step(press == Press::Up),
            Press::Choose | Press::Filled | Press::Field => {}
        }
        None
    }

    fn matter(&self) -> Matter<'_> {
        let barred = self.seen.alarm == Some(Item::CorrectionAtLimit);
        let held_by = self.seen.lost.map(Question::ByMap);
        let held_by = held_by.or(barred.then_some(Question::Mended));
        Matter {
            held_by: held_by.filter(|_| !self.seen.master),
            config: &self.config,
            lots: &self.lots,
            chosen: self.chosen,
            boxes: self.seen.boxes,
            in_field: self.field.open,
        }
    }

    /// The alarm was noticed; else the next page that this drill has.
    fn turn(&mut self) {
        if let Some(item) = self.told.unnoticed() {
            self.told.notice();
            let entry = Entry::of_all(EventKind::Noticed, u32::from(item.number()));
            return self.history.enter(entry, &self.seen, self.at_ms);
        }
        let all = pages(self.config.size);
        for _ in all {
            self.page = self.page.saturating_add(1).checked_rem(all.len()).unwrap_or(0);
            if self.shown_page().is_some_and(|page| page.is_there(&self.view())) {
                return;
            }
        }
    }

    /// A step of the rate that is seen; where none is seen, it is shown first.
    fn step(&mut self, up: bool) -> Option<Wish> {
        let product = self.shown_page().and_then(Page::rate_of);
        let product = product.filter(|product| *product < self.seen.boxes);
        let Some(product) = product.filter(|_| self.told.unnoticed().is_none()) else {
            self.told.notice();
            self.page = 0;
            return None;
        };
        let rate = self.seen.rates.get(product).copied().filter(|_| self.seen.sides > 0)?;
        let next = self.config.rates.get(product).and_then(|steps| steps.from(rate, up));
        if next.is_none() {
            let wish = Wish::Rate { product, rate };
            self.message = Some((wish, Err(Why::AtLimit), self.at_ms));
        }
        next.map(|rate| Wish::Rate { product, rate })
    }
}

/// A millionth, held at the end of 32 bits: g of µg, m² of mm².
fn part(value: u64) -> u32 {
    let part = divide_wide(u128::from(value), 1_000_000).unwrap_or(0);
    u32::try_from(part).unwrap_or(u32::MAX)
}
