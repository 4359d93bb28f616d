//! What is said about a file that is wrong: where, what, and what would be right.

use std::fmt;
use std::path::PathBuf;
use thiserror::Error;

/// An input file is wrong. The command ends with exit code 3.
///
/// Reads as one sentence:
/// `failed to read demo.toml:12:9: "4.0 kg" is a mass; width wants a length such as "4.0 m" or "13 ft"`.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
#[error("failed to read {}{}: {what}; {remedy}", file.display(), At(*place))]
pub struct InputError {
    /// The file, as it was named.
    pub file: PathBuf,
    /// Where in the file; none when the complaint is about the file as a whole.
    pub place: Option<Place>,
    /// The kind of trouble.
    pub trouble: Trouble,
    /// What is wrong, with the offending text in quotes.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl InputError {
    /// Line of the complaint, from 1.
    pub fn line(&self) -> Option<usize> {
        self.place.map(|place| place.line)
    }

    /// Column of the complaint in characters, from 1.
    pub fn column(&self) -> Option<usize> {
        self.place.map(|place| place.column)
    }
}

/// A place in a text file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Kinds of trouble with an input file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Trouble {
    /// No file of that name.
    MissingFile,
    /// The name is that of a directory.
    Directory,
    /// The system refuses to hand the file over.
    Unreadable,
    /// Nothing in it.
    Empty,
    /// Not text: bytes that are not UTF-8, or NUL.
    Binary,
    /// Text that breaks the rules of its format, a file cut short included.
    Syntax,
    /// A key or column that means nothing here.
    UnknownKey,
    /// A key or column that is needed is not there.
    MissingKey,
    /// A value of another form than wanted: text for a list, a word that is not among the choices.
    WrongForm,
    /// No unit, or the unit of another quantity.
    WrongUnit,
    /// Not a number where one is wanted, NaN and infinity included.
    NotANumber,
    /// Outside the range that works, or not rising where it must rise.
    OutOfRange,
    /// A row of a log that cannot be used.
    BadRow,
}

/// Writes `:line:column`, or nothing.
struct At(Option<Place>);

impl fmt::Display for At {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.map_or(Ok(()), |Place { line, column }| write!(f, ":{line}:{column}"))
    }
}
