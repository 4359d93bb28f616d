//! What of the panel is on the display: a question before a message, before an alarm, before the settings' fingerprint at
//! start, before the page.

use super::advice::Advice;
use super::cab::Panel;
use super::line::Line;
use super::question::Question;
use super::row::mass;
use super::screen::{Screen, Size};
use super::wish::{Answer, Wish};
use crate::settings::image::spell;
use crate::watch::Item;

/// On the narrow display a row of what to do stands for so long, ms.
const ROW_MS: u32 = 2_000;

impl Panel {
    /// What the display shows now.
    pub fn screen(&self) -> Screen {
        if let Some((question, _)) = self.question() {
            return self.asking(question);
        }
        if let Some((wish, answer, _)) = self.message() {
            return self.answering(wish, answer);
        }
        if let Some(item) = self.told.unnoticed() {
            return self.alarming(item);
        }
        if let Some(fingerprint) = self.greeting() {
            return self.greeted(fingerprint);
        }
        let view = self.view();
        self.shown_page().map_or_else(|| self.blank().filled(), |page| page.screen(&view))
    }

    /// Which settings are loaded.
    fn greeted(&self, fingerprint: u32) -> Screen {
        let mut screen = self.blank();
        screen.say("Settings loaded");
        let mut line = Line::default();
        spell(fingerprint).signs().for_each(|sign| line.sign(sign));
        screen.push(line);
        screen.say("Same as proved?");
        screen.filled()
    }

    const fn blank(&self) -> Screen {
        Screen::new(self.view().size)
    }

    fn asking(&self, question: Question) -> Screen {
        let mut screen = self.blank();
        let view = self.view();
        match question {
            Question::Lot(index) => {
                screen.say("Take this lot?");
                screen.say(self.lots().get(index).map_or("none", |lot| lot.name()));
            }
            Question::Filled { product, content_ug } => {
                let mut line = Line::default();
                line.text("Box ");
                line.number(u64::try_from(product.saturating_add(1)).unwrap_or(u64::MAX));
                line.text(" now ");
                line.text(match view.size {
                    Size::Two16 => "has?",
                    Size::Four20 => "holds?",
                });
                screen.push(line);
                screen.push(mass(&view, content_ug));
            }
            Question::FieldBegins => confirmed(&mut screen, "Field begins?"),
            Question::FieldEnds => confirmed(&mut screen, "Field ends?"),
            Question::Mended => confirmed(&mut screen, "Drive mended?"),
            Question::ByMap(side) => {
                let mut line = Line::default();
                line.text("Side ");
                line.number(u64::try_from(side.saturating_add(1)).unwrap_or(u64::MAX));
                line.text(" by map?");
                screen.push(line);
                screen.say("choose = yes");
            }
        }
        screen.say("");
        screen.say("choose=yes next=no");
        screen.filled()
    }

    fn answering(&self, wish: Wish, answer: Answer) -> Screen {
        let mut screen = self.blank();
        match answer {
            Ok(()) => {
                screen.say("Done");
                screen.say(wish.words());
            }
            Err(why) => {
                screen.say("Not done");
                screen.say(why.words());
            }
        }
        screen.filled()
    }

    fn alarming(&self, item: Item) -> Screen {
        let advice = Advice::of(item);
        let mut screen = self.blank();
        screen.say(advice.name);
        let width = screen.size().width();
        let first = match screen.size() {
            Size::Four20 => 0,
            // One row after the other.
            Size::Two16 => {
                let turn = usize::try_from(self.told.age_ms(self.at_ms()) / ROW_MS).unwrap_or(0);
                turn.checked_rem(advice.rows(width)).unwrap_or(0)
            }
        };
        for row in (0..screen.size().rows()).filter_map(|row| {
            let row = row.saturating_add(first);
            advice.row(row, width)
        }) {
            screen.push(row);
        }
        screen.filled()
    }
}

/// A question that asks for nothing but a yes.
fn confirmed(screen: &mut Screen, question: &str) {
    screen.say(question);
    screen.say("choose = yes");
}
