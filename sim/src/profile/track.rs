//! Reads a recorded track: CSV, a line a sample.
//!
//! | column | unit | |
//! |---|---|---|
//! | `t_s` | s, rising | needed |
//! | `speed_mps` | m/s, 0..40 | needed |
//! | `in_work` | 1 when the implement was working, else 0 | |
//! | `heading_deg` | degrees clockwise from north, 0..360 | |
//! | `lat`, `lon` | degrees WGS 84 | where the ground lies |
//! | `engine_rpm` | turns/min | not used |
//!
//! A gap above 5 s splits the track; pieces of 30 samples or fewer are dropped.

use super::{Piece, Profile, Sample};
use crate::input::{InputError, InputFile, Trouble, nearest};
use std::path::Path;

/// Names of the columns; the first two are needed.
const COLUMNS: [&str; 7] =
    ["t_s", "speed_mps", "in_work", "heading_deg", "lat", "lon", "engine_rpm"];

/// A longer gap splits the track, s.
const GAP_S: f64 = 5.0;
/// A piece must have more samples than this.
const FEW_SAMPLES: usize = 30;
/// Nothing that sows is faster, m/s.
const FASTEST_MPS: f64 = 40.0;

/// A recorded position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fix {
    /// Instant, s.
    pub t_s: f64,
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Longitude, degrees.
    pub lon_deg: f64,
}

/// Reads the track at `path`.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn read(path: &Path) -> Result<Profile, InputError> {
    let pieces = pieces(path, |_, _, sample| Ok(sample))?;
    Ok(Profile { pieces: pieces.into_iter().map(|samples| Piece { samples }).collect() })
}

/// Reads the positions of the track at `path`, for the same pieces; none without columns for them, or
/// where a piece has none.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn positions(path: &Path) -> Result<Option<Vec<Vec<Fix>>>, InputError> {
    let pieces = pieces(path, |columns, row, sample| columns.fix(row, sample.t_s))?;
    let pieces: Vec<Vec<Fix>> =
        pieces.into_iter().map(|fixes| fixes.into_iter().flatten().collect()).collect();
    Ok(Some(pieces).filter(|pieces| pieces.iter().all(|fixes| fixes.len() > 1)))
}

/// Reads the pieces of a track, `take` of every row.
fn pieces<T>(
    path: &Path,
    take: impl Fn(&Columns, &Row<'_>, Sample) -> Result<T, InputError>,
) -> Result<Vec<Vec<T>>, InputError> {
    let file = InputFile::read(path)?;
    let mut rows = Rows { file: &file, next: 0 };
    let columns =
        rows.next().ok_or_else(|| file.complain(0, Trouble::Empty, no_row(), header()))?;
    let columns = Columns::read(&columns)?;
    let mut pieces: Vec<Vec<T>> = Vec::new();
    let mut last: Option<f64> = None;
    for row in rows {
        let sample = columns.sample(&row, last)?;
        let goes_on = last.is_some_and(|last| sample.t_s - last <= GAP_S);
        last = Some(sample.t_s);
        let taken = take(&columns, &row, sample)?;
        match pieces.last_mut().filter(|_| goes_on) {
            Some(piece) => piece.push(taken),
            None => pieces.push(vec![taken]),
        }
    }
    pieces.retain(|piece| piece.len() > FEW_SAMPLES);
    if pieces.is_empty() {
        let what = "no piece of it has more than 30 samples without a gap above 5 s".to_owned();
        let remedy = "a longer recording".to_owned();
        return Err(file.complain(file.text().len(), Trouble::BadRow, what, remedy));
    }
    Ok(pieces)
}

/// There is no header.
fn no_row() -> String {
    "the file has no row".to_owned()
}

/// What a header looks like.
fn header() -> String {
    format!("begin with a header of {}", COLUMNS.join(","))
}

/// A field and its first byte in the file.
type Field<'a> = (&'a str, usize);

/// The rows of a file that are not blank.
struct Rows<'a> {
    file: &'a InputFile,
    next: usize,
}

/// A row.
struct Row<'a> {
    file: &'a InputFile,
    fields: Vec<Field<'a>>,
}

impl<'a> Iterator for Rows<'a> {
    type Item = Row<'a>;

    fn next(&mut self) -> Option<Row<'a>> {
        while self.next < self.file.text().len() {
            let start = self.next;
            let rest = &self.file.text()[start..];
            let line = rest.split('\n').next().unwrap_or_default();
            self.next = start + line.len() + 1;
            if !line.trim().is_empty() {
                return Some(Row { file: self.file, fields: fields(line, start) });
            }
        }
        None
    }
}

/// The fields of a line that begins at byte `start`, without blanks and quotes around them. No
/// column holds a comma, so none is looked for inside quotes.
fn fields(line: &str, start: usize) -> Vec<Field<'_>> {
    let mut at = start;
    let mut fields = Vec::new();
    for field in line.split(',') {
        let bare = field.trim();
        let lead = field.len() - field.trim_start().len();
        let unquoted = bare.strip_prefix('"').and_then(|it| it.strip_suffix('"')).unwrap_or(bare);
        fields.push((unquoted, at + lead));
        at += field.len() + 1;
    }
    fields
}

impl Row<'_> {
    /// A complaint about a field.
    fn refuse(&self, (text, at): Field<'_>, why: &str, remedy: String) -> InputError {
        self.file.complain(at, Trouble::BadRow, format!("{text:?} {why}"), remedy)
    }

    /// 0 or 1.
    fn flag(&self, index: usize) -> Result<bool, InputError> {
        match self.fields[index].0 {
            "0" => Ok(false),
            "1" => Ok(true),
            _ => Err(self.refuse(self.fields[index], "is neither 0 nor 1", "0 or 1".to_owned())),
        }
    }

    /// A finite number in `low..=high`.
    fn number(&self, index: usize, low: f64, high: f64) -> Result<f64, InputError> {
        let field = self.fields[index];
        let remedy = || format!("a number, {low} to {high}");
        let number = field.0.parse::<f64>();
        let number = number.map_err(|_| self.refuse(field, "is not a number", remedy()))?;
        if !number.is_finite() {
            return Err(self.refuse(field, "is not a finite number", remedy()));
        }
        let good = (low..=high).contains(&number).then_some(number);
        good.ok_or_else(|| self.refuse(field, "is out of range", remedy()))
    }
}

/// Where the columns stand that are used.
struct Columns {
    count: usize,
    t_s: usize,
    speed_mps: usize,
    in_work: Option<usize>,
    heading_deg: Option<usize>,
    place: Option<(usize, usize)>,
}

impl Columns {
    /// Reads and checks the header.
    fn read(header: &Row<'_>) -> Result<Self, InputError> {
        for (index, &field) in header.fields.iter().enumerate() {
            if !COLUMNS.contains(&field.0) {
                return Err(unknown(header.file, field));
            }
            if header.fields[..index].iter().any(|(name, _)| *name == field.0) {
                let remedy = "each column once".to_owned();
                return Err(header.refuse(field, "stands there twice", remedy));
            }
        }
        let find = |name: &str| header.fields.iter().position(|(text, _)| *text == name);
        let need = |name: &str| find(name).ok_or_else(|| missing(header, name));
        Ok(Self {
            count: header.fields.len(),
            t_s: need("t_s")?,
            speed_mps: need("speed_mps")?,
            in_work: find("in_work"),
            heading_deg: find("heading_deg"),
            place: find("lat").zip(find("lon")),
        })
    }

    /// Reads the position at `t_s`, if there is one.
    fn fix(&self, row: &Row<'_>, t_s: f64) -> Result<Option<Fix>, InputError> {
        let said = |&(lat, lon): &(usize, usize)| {
            !row.fields[lat].0.is_empty() && !row.fields[lon].0.is_empty()
        };
        let Some((lat, lon)) = self.place.filter(said) else { return Ok(None) };
        let (lat_deg, lon_deg) = (row.number(lat, -90.0, 90.0)?, row.number(lon, -180.0, 180.0)?);
        Ok(Some(Fix { t_s, lat_deg, lon_deg }))
    }

    /// Reads a sample that must be later than `last`.
    fn sample(&self, row: &Row<'_>, last: Option<f64>) -> Result<Sample, InputError> {
        if row.fields.len() != self.count {
            let what = format!("the row has {} columns", row.fields.len());
            let remedy = format!("{} columns, as in the header", self.count);
            return Err(row.file.complain(row.fields[0].1, Trouble::BadRow, what, remedy));
        }
        let t_s = row.number(self.t_s, 0.0, 1.0e9)?;
        if last.is_some_and(|last| t_s <= last) {
            let remedy = "each row later than the one before".to_owned();
            return Err(row.refuse(
                row.fields[self.t_s],
                "is not later than the row before",
                remedy,
            ));
        }
        let said = |column: Option<usize>| column.filter(|&at| !row.fields[at].0.is_empty());
        let flag = said(self.in_work).map(|at| row.flag(at)).transpose()?;
        let heading = said(self.heading_deg).map(|at| row.number(at, 0.0, 360.0)).transpose()?;
        Ok(Sample {
            t_s,
            speed_mps: row.number(self.speed_mps, 0.0, FASTEST_MPS)?,
            in_work: flag,
            heading_deg: heading,
        })
    }
}

/// A column of another name.
fn unknown(file: &InputFile, (name, at): Field<'_>) -> InputError {
    let remedy =
        nearest(name, &COLUMNS).map_or_else(header, |near| format!("did you mean {near}?"));
    file.complain(at, Trouble::UnknownKey, format!("{name:?} is not a column of a track"), remedy)
}

/// A needed column is not there.
fn missing(header_row: &Row<'_>, name: &str) -> InputError {
    let what = format!("the header has no column {name}");
    header_row.file.complain(header_row.fields[0].1, Trouble::MissingKey, what, header())
}
