//! A question and the part of the interview it belongs to.

use super::answers::Answers;
use super::kind::Kind;
use crate::unit::System;

/// Questions about one thing, asked together.
#[derive(Debug)]
pub struct Part {
    /// What they are about.
    pub title: &'static str,
    /// A drawing in text that is shown before the first of them.
    pub drawing: &'static str,
    /// The questions, in the order they are asked.
    pub questions: &'static [Question],
}

/// A question.
#[derive(Debug)]
pub struct Question {
    /// Its key in a file of answers.
    pub key: &'static str,
    /// What is asked.
    pub text: &'static str,
    /// Why it matters, in a line.
    pub why: &'static str,
    /// What may be answered.
    pub(super) kind: Kind,
    /// What is taken where nothing is answered.
    pub(super) usual: Usual,
    /// The side it is about, from 1 at the left; 0 where it is about the whole drill.
    pub(super) side: u64,
    /// Whether it is asked, after the answers before it.
    pub(super) when: fn(&Answers) -> bool,
    /// Whether it goes with the answers before it; its own is among them.
    pub(super) check: fn(&Answers) -> Result<(), Wrong>,
}

/// Why an answer does not go with others: what is wrong, and what would be right.
pub(super) type Wrong = (String, String);

/// The default of a question.
#[derive(Debug)]
pub(super) enum Usual {
    /// The same in every system of units.
    Same(&'static str),
    /// Metric, and US customary.
    Each([&'static str; 2]),
    /// It follows from the answers before.
    From(fn(&Answers) -> String),
}

/// A question that is always asked and goes with every answer; what is left is filled in.
pub(super) const PLAIN: Question = Question {
    key: "",
    text: "",
    why: "",
    kind: Kind::Line,
    usual: Usual::Same(""),
    side: 0,
    when: |_| true,
    check: |_| Ok(()),
};

impl Question {
    /// Its default after the answers before it.
    pub fn usual(&self, answers: &Answers) -> String {
        match self.usual {
            Usual::Same(text) => text.to_owned(),
            Usual::Each([_, us]) if answers.system() == System::Us => us.to_owned(),
            Usual::Each([metric, _]) => metric.to_owned(),
            Usual::From(work_out) => work_out(answers),
        }
    }

    /// Whether it is asked after the answers before it.
    pub fn is_asked(&self, answers: &Answers) -> bool {
        self.side <= answers.sides() && (self.when)(answers)
    }

    /// What is asked, with the side it is about where there are several, and the words to choose from.
    pub fn line(&self, answers: &Answers) -> String {
        let text = match (self.side, answers.sides()) {
            (0, _) | (_, 1) => self.text.to_owned(),
            (side, sides) => format!("Side {side} of {sides} from the left: {}", self.text),
        };
        match &self.kind {
            Kind::Word(words) => {
                let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                format!("{text} ({})", words.join(", "))
            }
            Kind::YesNo => format!("{text} (yes, no)"),
            Kind::Line | Kind::Whole(_) | Kind::Number(_) | Kind::Quantity(_) => text,
        }
    }
}
