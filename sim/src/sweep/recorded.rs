//! Reads results files and puts shards together.

use super::results::{TITLE, head, start};
use super::{Draws, FIGURES, Plan, Ranges, Row, Shard, read};
use crate::input::{InputError, InputFile, Trouble};
use std::path::{Path, PathBuf};

/// A results file that was read.
#[derive(Clone, Debug)]
pub struct Recorded {
    /// The ranges file it names.
    pub ranges: PathBuf,
    /// Its plan.
    pub plan: Plan,
    /// Its rows.
    pub rows: Vec<Row>,
    file: InputFile,
}

/// Reads a results file.
///
/// # Errors
///
/// [`InputError`] says what is wrong, where, and what would be right.
pub fn read_results(path: &Path) -> Result<(Ranges, Recorded), InputError> {
    let file = InputFile::read(path)?;
    let ranges = PathBuf::from(named(&file, "ranges")?.1);
    let plan = Plan {
        seed: value(&file, "seed")?,
        cases: value(&file, "cases")?,
        shard: value(&file, "shard")?,
    };
    let read = read(&ranges)?;
    let wanted = head(&read, plan);
    if !file.text().starts_with(&wanted) {
        return Err(other(&file, &wanted));
    }
    let rows = rows(&file, &read, plan, wanted.len())?;
    Ok((read, Recorded { ranges, plan, rows, file }))
}

/// Puts shards together: the rows of the whole sweep.
///
/// # Errors
///
/// Shards of different sweeps, or not every case once.
pub fn merge(paths: &[PathBuf]) -> Result<(Ranges, Plan, Vec<Row>), InputError> {
    let mut first: Option<(Ranges, Plan)> = None;
    let mut files = Vec::new();
    for path in paths {
        let (ranges, recorded) = read_results(path)?;
        let plan = Plan { shard: Shard::WHOLE, ..recorded.plan };
        let (before, same) = first.get_or_insert((ranges, plan));
        if *same != plan || before.file != recorded.ranges {
            let what = "it is of another sweep than the first file".to_owned();
            let remedy = "give shards with the same ranges file, --seed and --cases".to_owned();
            return Err(recorded.file.complain(0, Trouble::BadRow, what, remedy));
        }
        files.push(recorded);
    }
    let Some((ranges, plan)) = first else { return Err(none()) };
    let mut rows: Vec<(Row, usize)> = Vec::new();
    for (index, recorded) in files.iter().enumerate() {
        rows.extend(recorded.rows.iter().map(|row| (row.clone(), index)));
    }
    rows.sort_by_key(|(row, _)| (row.case, row.scenario));
    if let Some(pair) = rows.windows(2).find(|pair| is_same(&pair[0].0, &pair[1].0)) {
        let what = format!("case {} is in {} too", pair[1].0.case, paths[pair[0].1].display());
        let remedy = "give each shard once".to_owned();
        return Err(files[pair[1].1].file.complain(0, Trouble::BadRow, what, remedy));
    }
    let rows: Vec<Row> = rows.into_iter().map(|(row, _)| row).collect();
    complete(&files, &ranges, plan, &rows)?;
    Ok((ranges, plan, rows))
}

/// Complains about the last file where a case is in none.
fn complete(
    files: &[Recorded],
    ranges: &Ranges,
    plan: Plan,
    rows: &[Row],
) -> Result<(), InputError> {
    let there = |case: u32| rows.binary_search_by_key(&case, |row| row.case).is_ok();
    let lacking: Vec<u32> = (1..=plan.cases).filter(|&case| !there(case)).collect();
    let whole = rows.len() == plan.cases as usize * ranges.scenarios.len();
    let (Some(last), false) = (files.last(), lacking.is_empty() && whole) else { return Ok(()) };
    let case = lacking.first().map_or_else(|| "a row".to_owned(), |case| format!("case {case}"));
    let what = format!("with it {case} of {} is still missing", plan.cases);
    let remedy = "give every shard of the sweep".to_owned();
    Err(last.file.complain(0, Trouble::BadRow, what, remedy))
}

fn is_same(a: &Row, b: &Row) -> bool {
    (a.case, a.scenario) == (b.case, b.scenario)
}

/// No file at all; the command line asks for one at least.
fn none() -> InputError {
    InputError {
        file: PathBuf::new(),
        place: None,
        trouble: Trouble::Empty,
        what: "there is no results file".to_owned(),
        remedy: "name the results files of all shards".to_owned(),
    }
}

/// The value of `# key = value` above the rows, with its first byte.
fn named<'a>(file: &'a InputFile, key: &str) -> Result<(usize, &'a str), InputError> {
    let start = format!("# {key} = ");
    let mut at = 0;
    for line in file.text().split_inclusive('\n').take_while(|line| line.starts_with('#')) {
        if let Some(value) = line.strip_prefix(&start) {
            return Ok((at + start.len(), value.trim_end()));
        }
        at += line.len();
    }
    let what = format!("there is no line {start:?} at its head");
    let remedy = format!("a file that begins with {TITLE:?}, as sweep -o writes it");
    Err(file.complain(0, Trouble::MissingKey, what, remedy))
}

/// The same as a number or a shard.
fn value<T: std::str::FromStr>(file: &InputFile, key: &str) -> Result<T, InputError> {
    let (at, text) = named(file, key)?;
    text.parse().map_err(|_| {
        let remedy = format!("leave the line {key} as sweep wrote it");
        file.complain(at, Trouble::NotANumber, format!("{text:?} does not fit"), remedy)
    })
}

/// The head is not that of the ranges file as it is now.
fn other(file: &InputFile, wanted: &str) -> InputError {
    let mut at = 0;
    for (have, want) in file.text().split_inclusive('\n').zip(wanted.split_inclusive('\n')) {
        if have != want {
            break;
        }
        at += have.len();
    }
    let line = file.text().get(at..).and_then(|rest| rest.lines().next()).unwrap_or_default();
    let shown: String = line.chars().take(60).collect();
    let what = format!("{shown:?} does not fit the ranges file as it is now");
    let remedy = "run the shard again, with the same files and the same program".to_owned();
    file.complain(at, Trouble::BadRow, what, remedy)
}

/// Reads the rows, which begin at byte `at`.
fn rows(
    file: &InputFile,
    ranges: &Ranges,
    plan: Plan,
    mut at: usize,
) -> Result<Vec<Row>, InputError> {
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let pairs = plan
        .shard
        .cases(plan.cases)
        .flat_map(|case| (0..ranges.scenarios.len()).map(move |scenario| (case, scenario)));
    let mut rows = Vec::new();
    for (case, scenario) in pairs {
        let rest = file.text().get(at..).unwrap_or_default();
        let Some(line) = rest.split_inclusive('\n').next() else {
            let what = format!("it ends before case {case}");
            return Err(file.complain(at, Trouble::BadRow, what, AGAIN.to_owned()));
        };
        let start = start(&draws, case, scenario);
        let figures =
            line.strip_suffix('\n').and_then(|line| line.strip_prefix(&start)).and_then(figures);
        let figures = figures.ok_or_else(|| {
            let what = format!("the line is not that of case {case}, scenario {scenario}");
            file.complain(at, Trouble::BadRow, what, AGAIN.to_owned())
        })?;
        rows.push(Row { case, scenario, figures });
        at += line.len();
    }
    if at < file.text().len() {
        let what = "there are lines after the last case".to_owned();
        return Err(file.complain(at, Trouble::BadRow, what, AGAIN.to_owned()));
    }
    Ok(rows)
}

/// What to do about a damaged file.
const AGAIN: &str = "run the shard again";

/// The figures of a line, after what stands before them: `,91.25,,0.3`.
fn figures(rest: &str) -> Option<Vec<f64>> {
    let number = |text: &str| if text.is_empty() { Ok(f64::NAN) } else { text.parse::<f64>() };
    let figures: Vec<f64> =
        rest.strip_prefix(',')?.split(',').map(number).collect::<Result<_, _>>().ok()?;
    (figures.len() == FIGURES.len()).then_some(figures)
}
