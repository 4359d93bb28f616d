//! Logs of the measuring runs, as the firmware writes them (`controller::measure`).
//!
//! ```text
//! # run = spin
//! # side = 1
//! # sides = 1
//! # encoder_pulses_per_turn = 180
//! t_s,command,edges,edge_s,back
//! ```

use crate::input::{InputError, InputFile, Trouble};
use controller::measure::RunKind;

/// A run log: numbers by column; an empty field is not a number.
#[derive(Clone, Debug)]
pub struct RunLog {
    /// Which run.
    pub kind: RunKind,
    /// The side that is watched, from 0.
    pub side: usize,
    /// Edges of its encoder per turn of the shaft.
    pub encoder_pulses_per_turn: u32,
    names: Vec<String>,
    values: Vec<f64>,
}

/// Columns that each run must have.
const fn wanted(kind: RunKind) -> &'static [&'static str] {
    match kind {
        RunKind::Spin => &["t_s", "command", "edges", "edge_s", "back"],
        RunKind::Ground => &["t_s", "ground", "ground_s", "speed_mps", "marks"],
        RunKind::Delivery => &["t_s", "command", "edges", "lamp", "marks", "seen"],
        RunKind::Flag => &["t_s", "ground", "ground_s", "lift", "edges", "marks"],
    }
}

/// Columns that may be empty.
const OPTIONAL: [&str; 2] = ["speed_mps", "seen"];
/// Columns that may fall.
const FREE: [&str; 5] = ["command", "speed_mps", "lamp", "seen", "lift"];
/// Columns of zero or one.
const SHARES: [&str; 4] = ["command", "lamp", "seen", "lift"];

/// The run a log says it is of; none if it is a step log, or no log at all.
pub fn kind(file: &InputFile) -> Option<RunKind> {
    let kinds = [RunKind::Spin, RunKind::Ground, RunKind::Delivery, RunKind::Flag];
    let heads = file.text().lines().map_while(|line| line.trim().strip_prefix('#'));
    let mut named = heads.filter_map(|line| line.split_once('='));
    let word = named.find(|(key, _)| key.trim() == "run")?.1.trim();
    kinds.into_iter().find(|kind| kind.word() == word)
}

impl RunLog {
    /// Reads a log.
    ///
    /// # Errors
    ///
    /// [`InputError`] names the line of a bad row, the offending text and what would be right.
    pub fn read(file: &InputFile) -> Result<Self, InputError> {
        let refuse = |what: &str, remedy: &str| {
            file.complain(0, Trouble::MissingKey, what.to_owned(), remedy.to_owned())
        };
        let kind = kind(file).ok_or_else(|| {
            refuse("the file does not say which run it is of", "a first line such as # run = spin")
        })?;
        let mut log = Self {
            kind,
            side: 0,
            encoder_pulses_per_turn: 0,
            names: Vec::new(),
            values: Vec::new(),
        };
        let mut at = 0;
        for line in file.text().split('\n') {
            log.line(file, line.trim(), at)?;
            at += line.len() + 1;
        }
        if log.encoder_pulses_per_turn == 0 {
            let remedy = "a line # encoder_pulses_per_turn = 180";
            return Err(refuse("the file does not name the encoder", remedy));
        }
        if log.values.is_empty() {
            return Err(refuse("the file has no row", "a row every 10 ms"));
        }
        Ok(log)
    }

    fn line(&mut self, file: &InputFile, line: &str, at: usize) -> Result<(), InputError> {
        if let Some(comment) = line.strip_prefix('#') {
            return self.comment(file, comment, at);
        }
        if line.is_empty() {
            return Ok(());
        }
        if !self.names.is_empty() {
            return self.row(file, line, at);
        }
        self.names = line.split(',').map(|name| name.trim().to_owned()).collect();
        let missing = wanted(self.kind).iter().find(|name| self.column(name).is_none());
        missing.map_or(Ok(()), |name| {
            let what = format!("the header of the {} log has no {name}", self.kind.word());
            let remedy = format!("the columns {}", wanted(self.kind).join(","));
            Err(file.complain(at, Trouble::MissingKey, what, remedy))
        })
    }

    /// A comment may say which side it is and what its encoder gives.
    fn comment(&mut self, file: &InputFile, comment: &str, at: usize) -> Result<(), InputError> {
        let Some((key, value)) = comment.split_once('=') else { return Ok(()) };
        let number = |range: std::ops::RangeInclusive<u32>| {
            let good = value.trim().parse().ok().filter(|number| range.contains(number));
            good.ok_or_else(|| {
                let what = format!("{:?} cannot be used", value.trim());
                let remedy = format!("a whole number, {} to {}", range.start(), range.end());
                file.complain(at, Trouble::OutOfRange, what, remedy)
            })
        };
        match key.trim() {
            "side" => self.side = number(1..=4)? as usize - 1,
            "encoder_pulses_per_turn" => self.encoder_pulses_per_turn = number(1..=4096)?,
            _ => {}
        }
        Ok(())
    }

    fn row(&mut self, file: &InputFile, line: &str, at: usize) -> Result<(), InputError> {
        let bad = |what: String, remedy: &str| {
            Err(file.complain(at, Trouble::BadRow, what, remedy.to_owned()))
        };
        let width = self.names.len();
        let found = line.split(',').count();
        if found != width {
            let remedy = format!("{width} columns: {}", self.names.join(","));
            return bad(format!("the row has {found} columns"), &remedy);
        }
        let last = self.values.len().checked_sub(width);
        let mut next = at;
        for (column, text) in line.split(',').enumerate() {
            let name = self.names[column].as_str();
            let at = next;
            next += text.len() + 1;
            let text = text.trim();
            let bad = |what: String, remedy: &str| {
                Err(file.complain(at, Trouble::BadRow, what, remedy.to_owned()))
            };
            if text.is_empty() && OPTIONAL.contains(&name) {
                self.values.push(f64::NAN);
                continue;
            }
            let number = text.parse::<f64>().ok().filter(|it| it.is_finite() && *it >= 0.0);
            let high = if SHARES.contains(&name) { 1.0 } else { 1e10 };
            let Some(number) = number.filter(|it| *it <= high) else {
                let what = format!("{text:?} cannot be used as {name}");
                return bad(what, &format!("a number from 0 to {high}"));
            };
            let before = last.map_or(f64::NEG_INFINITY, |last| self.values[last + column]);
            if column == 0 && number <= before {
                return bad(
                    format!("{text:?} is not later than the row before"),
                    "each row later than the one before",
                );
            }
            if !FREE.contains(&name) && number < before {
                let what = format!("{name} {text} is less than the row before");
                return bad(what, "a cumulative count; check the sensor's wiring");
            }
            self.values.push(number);
        }
        Ok(())
    }

    /// The place of a column.
    fn column(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|it| it == name)
    }

    /// The rows, each with the values of these columns; nothing if one is missing.
    pub(super) fn rows<const N: usize>(
        &self,
        names: [&str; N],
    ) -> impl DoubleEndedIterator<Item = [f64; N]> {
        let columns = names.map(|name| self.column(name).unwrap_or(usize::MAX));
        let width = self.names.len().max(1);
        let pick =
            move |row: &[f64]| columns.map(|column| row.get(column).copied().unwrap_or(f64::NAN));
        self.values.chunks_exact(width).map(pick)
    }

    /// The other sides and how many edges each gave in all.
    pub(super) fn others(&self) -> Vec<(usize, f64)> {
        let last = self.values.chunks_exact(self.names.len().max(1)).next_back();
        let side = |(column, name): (usize, &String)| {
            let number: usize = name.strip_prefix("edges_")?.parse().ok()?;
            Some((number.checked_sub(1)?, *last?.get(column)?))
        };
        self.names.iter().enumerate().filter_map(side).collect()
    }
}
