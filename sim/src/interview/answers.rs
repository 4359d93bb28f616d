//! What was answered so far, in the order of the questions.

use super::question::Question;
use super::questions::PARTS;
use crate::unit::System;
use thiserror::Error;

/// Answers, each understood and checked against those before it.
#[derive(Debug)]
pub struct Answers {
    /// Units of the defaults, unless the first question is answered otherwise.
    chosen: System,
    list: Vec<Answer>,
}

/// An answer.
#[derive(Debug)]
struct Answer {
    question: &'static Question,
    text: String,
    usual: bool,
}

/// An answer that cannot be used.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("{what}; {remedy}")]
pub struct Refusal {
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl Answers {
    /// None yet.
    pub const fn new(chosen: System) -> Self {
        Self { chosen, list: Vec::new() }
    }

    /// The next question; none when all are answered.
    pub fn next(&self) -> Option<&'static Question> {
        let mut questions = PARTS.iter().flat_map(|part| part.questions);
        questions.find(|question| question.is_asked(self) && !self.has(question.key))
    }

    /// Answers a question.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why the answer cannot be used; then there is none.
    pub fn give(&mut self, question: &'static Question, text: &str) -> Result<(), Refusal> {
        self.put(question, text, false)
    }

    /// Takes the default of a question.
    ///
    /// # Errors
    ///
    /// As of [`Answers::give`]: a default may not go with the answers before it.
    pub fn take_usual(&mut self, question: &'static Question) -> Result<(), Refusal> {
        self.put(question, &question.usual(self), true)
    }

    fn put(&mut self, question: &'static Question, text: &str, usual: bool) -> Result<(), Refusal> {
        let refusal = |(what, remedy)| Refusal { what, remedy };
        let text = question.kind.understood(text).map_err(refusal)?;
        self.list.push(Answer { question, text, usual });
        (question.check)(self).map_err(|wrong| {
            self.list.pop();
            refusal(wrong)
        })
    }

    /// Takes the last answer back; `false` where there is none.
    pub fn take_back(&mut self) -> bool {
        self.list.pop().is_some()
    }

    /// Whether there is an answer.
    pub fn has(&self, key: &str) -> bool {
        self.answer(key).is_some()
    }

    /// The answer as it was written; empty where the question was not asked.
    pub fn text(&self, key: &str) -> &str {
        self.answer(key).map_or("", |answer| &answer.text)
    }

    /// Whether this word was answered.
    pub fn is(&self, key: &str, word: &str) -> bool {
        self.text(key) == word
    }

    /// The number answered, in the bench's own unit; 0 where the question was not asked.
    pub fn number(&self, key: &str) -> f64 {
        let number = |answer: &Answer| answer.question.kind.number(&answer.text);
        self.answer(key).and_then(number).unwrap_or(0.0)
    }

    /// The whole number answered; 0 where the question was not asked.
    pub fn whole(&self, key: &str) -> u64 {
        self.text(key).parse().unwrap_or(0)
    }

    /// Number of driven sides; 1 as long as it is not known.
    pub fn sides(&self) -> u64 {
        self.whole("sides").max(1)
    }

    /// The units of defaults and of what is worked out.
    pub fn system(&self) -> System {
        match self.text("units") {
            "metric" => System::Metric,
            "us" => System::Us,
            _ => self.chosen,
        }
    }

    /// Whether the default was taken.
    pub fn is_usual(&self, key: &str) -> bool {
        self.answer(key).is_some_and(|answer| answer.usual)
    }

    /// Number of answers that were given, and of defaults that were taken.
    pub fn counts(&self) -> [usize; 2] {
        let usual = self.list.iter().filter(|answer| answer.usual).count();
        [self.list.len() - usual, usual]
    }

    /// Questions, answers, and whether each is the default.
    pub fn each(&self) -> impl Iterator<Item = (&'static Question, &str, bool)> {
        self.list.iter().map(|answer| (answer.question, answer.text.as_str(), answer.usual))
    }

    fn answer(&self, key: &str) -> Option<&Answer> {
        self.list.iter().find(|answer| answer.question.key == key)
    }
}
