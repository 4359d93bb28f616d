//! Step logs: what a hold-to-run run writes down.
//!
//! ```text
//! # encoder_pulses_per_turn = 180
//! t_s,command,edges
//! 0.00,0.0,0
//! ```
//!
//! | column | unit | |
//! |---|---|---|
//! | `t_s` | s, rising, every 10 ms | instant of the row |
//! | `command` | 0..1 | valve command in force from this instant on |
//! | `edges` | whole | cumulative edges of the shaft encoder read at this instant |

use crate::input::{InputError, InputFile, Trouble};
use std::fmt::Write;
use std::path::Path;

/// Names of the columns.
const HEADER: &str = "t_s,command,edges";
/// Name of the encoder's line.
const ENCODER: &str = "encoder_pulses_per_turn";

/// One row.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Instant, s.
    pub t_s: f64,
    /// Valve command from this instant on, 0..1.
    pub command: f64,
    /// Cumulative edges at this instant.
    pub edges: u64,
}

/// A step log.
#[derive(Clone, Debug, PartialEq)]
pub struct StepLog {
    /// Edges of the encoder per turn of the meter shaft.
    pub encoder_pulses_per_turn: u32,
    /// The rows, in order of time.
    pub rows: Vec<Row>,
}

impl StepLog {
    /// The log as a file.
    pub fn to_csv(&self) -> String {
        let mut text = format!("# {ENCODER} = {}\n{HEADER}\n", self.encoder_pulses_per_turn);
        for Row { t_s, command, edges } in &self.rows {
            // Writing to a string cannot fail.
            let _ = writeln!(text, "{t_s:.3},{command},{edges}");
        }
        text
    }
}

/// Reads the step log at `path`. A number of pulses per turn that is given wins over the one in the file.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn read(path: &Path, pulses_per_turn: Option<u32>) -> Result<StepLog, InputError> {
    let file = InputFile::read(path)?;
    let mut reader = Reader { file: &file, encoder: None, headed: false, rows: Vec::new() };
    let mut at = 0;
    for line in file.text().split('\n') {
        reader.line(line, at)?;
        at += line.len() + 1;
    }
    reader.finish(pulses_per_turn)
}

/// What has been read so far.
struct Reader<'a> {
    file: &'a InputFile,
    encoder: Option<u32>,
    headed: bool,
    rows: Vec<Row>,
}

impl Reader<'_> {
    fn line(&mut self, line: &str, at: usize) -> Result<(), InputError> {
        let bare = line.trim();
        if let Some(comment) = bare.strip_prefix('#') {
            return self.comment(comment, at);
        }
        if bare.is_empty() {
            return Ok(());
        }
        if !self.headed {
            self.headed = true;
            let names: Vec<&str> = bare.split(',').map(str::trim).collect();
            return if names.join(",") == HEADER {
                Ok(())
            } else {
                let what = format!("{bare:?} is not the header of a step log");
                Err(self.refuse(at, Trouble::MissingKey, what, &format!("the header {HEADER}")))
            };
        }
        let row = self.row(line, at)?;
        self.rows.push(row);
        Ok(())
    }

    /// A comment may name the encoder.
    fn comment(&mut self, comment: &str, at: usize) -> Result<(), InputError> {
        let Some((key, value)) = comment.split_once('=') else { return Ok(()) };
        if key.trim() != ENCODER {
            return Ok(());
        }
        let good = value.trim().parse().ok().filter(|pulses| (1..=4096).contains(pulses));
        let what = || format!("{:?} is not a number of pulses", value.trim());
        let wrong = || self.refuse(at, Trouble::OutOfRange, what(), "a whole number, 1 to 4096");
        self.encoder = Some(good.ok_or_else(wrong)?);
        Ok(())
    }

    fn row(&self, line: &str, at: usize) -> Result<Row, InputError> {
        let fields: Vec<&str> = line.split(',').map(str::trim).collect();
        let [t_s, command, edges] = fields[..] else {
            let what = format!("the row has {} columns", fields.len());
            return Err(self.bad(at, what, &format!("3 columns: {HEADER}")));
        };
        let number = |text: &str, low: f64, high: f64, remedy: &str| {
            let value = text.parse::<f64>().ok().filter(|value| (low..=high).contains(value));
            value.ok_or_else(|| self.bad(at, format!("{text:?} cannot be used"), remedy))
        };
        let row = Row {
            t_s: number(t_s, -1e9, 1e9, "a finite number of seconds")?,
            command: number(command, 0.0, 1.0, "a command, 0 to 1")?,
            edges: edges.parse().map_err(|_| {
                let what = format!("{edges:?} cannot be used");
                self.bad(at, what, "a whole number of edges, zero or more")
            })?,
        };
        let Some(last) = self.rows.last() else { return Ok(row) };
        if row.t_s <= last.t_s {
            let what = format!("{t_s:?} is not later than the row before");
            return Err(self.bad(at, what, "each row later than the one before"));
        }
        if row.edges < last.edges {
            let what = format!("{edges:?} is less than the row before: the count runs backwards");
            return Err(self.bad(at, what, "a cumulative count; check the encoder's wiring"));
        }
        Ok(row)
    }

    fn finish(self, pulses_per_turn: Option<u32>) -> Result<StepLog, InputError> {
        let refuse =
            |what: &str, remedy: &str| self.refuse(0, Trouble::MissingKey, what.to_owned(), remedy);
        let encoder_pulses_per_turn = pulses_per_turn.or(self.encoder).ok_or_else(|| {
            refuse("the file does not name the encoder", &format!("a first line # {ENCODER} = 180"))
        })?;
        if self.rows.is_empty() {
            return Err(refuse("the file has no row", "a row every 10 ms"));
        }
        Ok(StepLog { encoder_pulses_per_turn, rows: self.rows })
    }

    fn bad(&self, at: usize, what: String, remedy: &str) -> InputError {
        self.refuse(at, Trouble::BadRow, what, remedy)
    }

    fn refuse(&self, at: usize, trouble: Trouble, what: String, remedy: &str) -> InputError {
        self.file.complain(at, trouble, what, remedy.to_owned())
    }
}
