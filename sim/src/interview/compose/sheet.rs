//! A TOML file in the making.

use super::super::answers::Answers;
use std::fmt::Write as _;

/// The text so far.
#[derive(Debug)]
pub(super) struct Sheet<'a> {
    answers: &'a Answers,
    text: String,
}

impl<'a> Sheet<'a> {
    /// A file with a first line that says what it is.
    pub(super) fn new(answers: &'a Answers, title: &str) -> Self {
        Self { answers, text: format!("# {title}\n") }
    }

    /// The next section: `[drive]`, `[[side]]`.
    pub(super) fn section(&mut self, heading: &str, comment: &str) {
        let _ = writeln!(self.text, "\n# {comment}\n{heading}");
    }

    /// A value in quotes.
    pub(super) fn quoted(&mut self, key: &str, value: &str, comment: &str) {
        self.bare(key, &quoted(value), comment);
    }

    /// A value as it stands.
    pub(super) fn bare(&mut self, key: &str, value: &str, comment: &str) {
        let _ = writeln!(self.text, "# {comment}\n{key} = {value}");
    }

    /// An answer in quotes, said to be a default where it is one; nothing where it was not asked.
    pub(super) fn answer(&mut self, key: &str, comment: &str) {
        self.answer_as(key, key, comment);
    }

    /// The same under another key.
    pub(super) fn answer_as(&mut self, key: &str, asked: &str, comment: &str) {
        if self.answers.has(asked) {
            let comment = format!("{comment}{}", self.mark(asked));
            self.quoted(key, self.answers.text(asked), &comment);
        }
    }

    /// An answer that is a number without unit.
    pub(super) fn number(&mut self, key: &str, asked: &str, comment: &str) {
        let comment = format!("{comment}{}", self.mark(asked));
        self.bare(key, self.answers.text(asked), &comment);
    }

    /// Says so where an answer is the default.
    pub(super) fn mark(&self, asked: &str) -> &'static str {
        if self.answers.is_usual(asked) { " Default: put yours here." } else { "" }
    }

    /// A comment alone, after an empty line.
    pub(super) fn remark(&mut self, comment: &str) {
        let _ = writeln!(self.text, "\n# {comment}");
    }

    /// A comment on the key that follows.
    pub(super) fn caution(&mut self, comment: &str) {
        let _ = writeln!(self.text, "# {comment}");
    }

    /// The whole file.
    pub(super) fn done(self) -> String {
        self.text
    }
}

/// A text as a TOML string; control characters never come this far.
pub(in super::super) fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
