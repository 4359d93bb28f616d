//! The ranges file: which scenarios are run, what is varied within which ranges, and what must hold.
//!
//! ```toml
//! title = "Told wrong in every way"
//! cases = 500
//!
//! [[scenario]]
//! file = "../scenarios/ramp-0.5-pulses.toml"
//! tolerance = { within_10_pct = { at_least = 80 } }
//!
//! [vary]
//! lag = { from = "0.08 s", to = "0.3 s", spread = "log-uniform" }
//! ```

use super::{FIGURES, Needs, PARAMETERS, Parameter};
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::read::{Entry, Section, Wanted, parse, referred, scenario, tolerances};
use crate::scenario::{Scenario, Source};
use std::path::{Path, PathBuf};

/// What a sweep runs.
#[derive(Clone, Debug)]
pub struct Ranges {
    /// The file, as it was named.
    pub file: PathBuf,
    /// One line that says what is tried.
    pub title: String,
    /// Invented for demonstration.
    pub demo: bool,
    /// Number of cases where the command line names none.
    pub cases: u32,
    /// Seed where the command line names none.
    pub seed: u64,
    /// Cases share each range evenly among them.
    pub hypercube: bool,
    /// The scenarios, with the sweep's own tolerances in place of theirs.
    pub scenarios: Vec<Scenario>,
    /// What is varied, in the order of the table of parameters.
    pub varied: Vec<Varied>,
    /// Word that tells whether two sweeps are of the same files.
    pub fingerprint: u64,
}

/// A parameter with the range it is drawn from.
#[derive(Clone, Debug)]
pub struct Varied {
    /// The parameter.
    pub parameter: &'static Parameter,
    /// Smallest value.
    pub from: f64,
    /// Largest value.
    pub to: f64,
    /// How the values lie between them.
    pub spread: Spread,
}

/// How drawn values lie between their ends.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spread {
    /// Everywhere alike.
    Uniform,
    /// Alike in the logarithm.
    LogUniform,
    /// Normal, cut off at the ends.
    Normal {
        /// Mean before it is cut off.
        mean: f64,
        /// Standard deviation before it is cut off.
        deviation: f64,
    },
}

/// Keys of the file.
const KEYS: [&str; 7] = ["title", "demo", "cases", "seed", "hypercube", "scenario", "vary"];
/// Keys of `[[scenario]]`.
const SCENARIO_KEYS: [&str; 2] = ["file", "tolerance"];
/// Keys of a parameter.
const SPREAD_KEYS: [&str; 5] = ["from", "to", "spread", "mean", "deviation"];
/// Words of a spread.
const SPREADS: [(&str, usize); 3] = [("uniform", 0), ("log-uniform", 1), ("normal", 2)];

/// Most cases.
pub(crate) const MOST_CASES: u32 = 1_000_000;

/// Reads the ranges file at `path`, and the scenarios it names.
///
/// # Errors
///
/// [`InputError`] says what is wrong, in which of the files, where, and what would be right.
pub fn read(path: &Path) -> Result<Ranges, InputError> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &KEYS)?;
    let scenarios = scenarios(&root, &file)?;
    let varied = vary(&root, &scenarios)?;
    let whole = |key, range, otherwise| {
        root.find(key)?.map_or(Ok(otherwise), |entry: Entry<'_>| entry.whole(range))
    };
    let flag = |key| root.find(key)?.map_or(Ok(false), |entry: Entry<'_>| entry.flag());
    let cases = whole("cases", 1..=u64::from(MOST_CASES), 1000)?;
    Ok(Ranges {
        file: path.to_owned(),
        title: root.need("title")?.text()?.to_owned(),
        demo: flag("demo")?,
        cases: u32::try_from(cases).unwrap_or(MOST_CASES),
        seed: whole("seed", 0..=u64::MAX >> 1, 1)?,
        hypercube: flag("hypercube")?,
        fingerprint: fingerprint(file.text(), &scenarios),
        scenarios,
        varied,
    })
}

/// Reads the scenarios; the sweep's tolerances take the place of theirs.
fn scenarios(root: &Section<'_>, file: &InputFile) -> Result<Vec<Scenario>, InputError> {
    let mut all: Vec<Scenario> = Vec::new();
    for section in root.children("scenario", &SCENARIO_KEYS)? {
        let entry = section.need("file")?;
        let mut next = scenario(&referred(&entry, file)?)?;
        let twice = all.iter().any(|before| before.name == next.name);
        let refused = match (next.drill.truth.physical, twice) {
            (true, _) => Some((
                "has its drive as physics, which has no lag or gain to vary",
                "name one with a drive in its reduced form",
            )),
            (_, true) => Some(("is there twice", "name each scenario once")),
            (false, false) => None,
        };
        if let Some((what, remedy)) = refused {
            let what = format!("{} {what}", entry.shown());
            return Err(entry.complain(Trouble::OutOfRange, what, remedy.to_owned()));
        }
        next.tolerances = tolerances(&section)?;
        let stray = next.tolerances.iter().find(|it| !FIGURES.contains(&it.figure.as_str()));
        if let Some(stray) = stray {
            let what = format!("{} is no figure of a sweep", stray.figure);
            let remedy = format!("its figures are {}", FIGURES.join(", "));
            return Err(section.complain(Trouble::OutOfRange, what, remedy));
        }
        all.push(next);
    }
    if all.is_empty() { Err(root.missing("[[scenario]]")) } else { Ok(all) }
}

/// Reads what is varied.
fn vary(root: &Section<'_>, scenarios: &[Scenario]) -> Result<Vec<Varied>, InputError> {
    let section = root.child("vary", &[])?.ok_or_else(|| root.missing("[vary]"))?;
    let known: Vec<&str> = PARAMETERS.iter().map(|parameter| parameter.key).collect();
    let mut ranges = section.each(&SPREAD_KEYS)?;
    if let Some((stray, _)) = ranges.iter().find(|(key, _)| !known.contains(&key.as_str())) {
        return Err(section.unknown(stray, &known));
    }
    if ranges.is_empty() {
        let what = "[vary] names no parameter".to_owned();
        let remedy = "vary one, such as gain = { from = 0.8, to = 1.2 }".to_owned();
        return Err(section.complain(Trouble::MissingKey, what, remedy));
    }
    ranges.sort_by_key(|(key, _)| known.iter().position(|known| known == key));
    let keys: Vec<String> = ranges.iter().map(|(key, _)| key.clone()).collect();
    let read = |(key, section): &(String, Section<'_>)| {
        let parameter = Parameter::of(key).ok_or_else(|| root.unknown(key, &known))?;
        match idle(parameter, scenarios, &keys) {
            Some(lack) => {
                let what = format!("{key} changes nothing without {lack}");
                let remedy = "drop it, or add what it needs".to_owned();
                Err(section.complain(Trouble::WrongForm, what, remedy))
            }
            None => varied(parameter, section),
        }
    };
    ranges.iter().map(read).collect()
}

/// What a parameter lacks to have any effect.
fn idle(parameter: &Parameter, scenarios: &[Scenario], keys: &[String]) -> Option<String> {
    let varies = |key: &str| keys.iter().any(|it| it == key);
    let mut all = scenarios.iter().flat_map(Scenario::sources);
    let truth = || scenarios.iter().map(|it| &it.drill.truth);
    let (there, lack) = match parameter.needs {
        Needs::Nothing => (true, "anything"),
        Needs::Pulses => (all.any(|it| matches!(it, Source::Pulses)), "a scenario with pulses"),
        Needs::Gnss => (all.any(|it| matches!(it, Source::Gnss(_))), "a scenario with GNSS"),
        Needs::Flutes => (truth().any(|it| it.meter.flutes > 0), "flutes of the meter"),
        Needs::Swing => (varies("swing") || truth().any(|it| it.swing > 0.0), "swing"),
        Needs::Parameter(key) => (varies(key), key),
    };
    (!there).then(|| lack.to_owned())
}

/// Reads the range of a parameter.
fn varied(parameter: &'static Parameter, section: &Section<'_>) -> Result<Varied, InputError> {
    let (low, high) = parameter.works;
    let value = |key| number(parameter, &section.need(key)?, (low, high));
    let (from, to) = (value("from")?, value("to")?);
    if from >= to {
        let entry = section.need("to")?;
        let what = format!("{} is not above from", entry.shown());
        return Err(entry.complain(Trouble::OutOfRange, what, "write from, then to".to_owned()));
    }
    let spread = section.find("spread")?.map_or(Ok(0), |entry| entry.choice(&SPREADS))?;
    if spread != 2 {
        for key in ["mean", "deviation"] {
            if let Some(entry) = section.find(key)? {
                let what = format!("{key} means nothing with this spread");
                let remedy = "drop the line, or write spread = \"normal\"".to_owned();
                return Err(entry.complain(Trouble::WrongForm, what, remedy));
            }
        }
    }
    let spread = match spread {
        0 => Spread::Uniform,
        1 if from > 0.0 => Spread::LogUniform,
        1 => {
            let entry = section.need("from")?;
            let what = format!("{} has no logarithm", entry.shown());
            return Err(entry.complain(Trouble::OutOfRange, what, "begin above 0".to_owned()));
        }
        _ => Spread::Normal {
            mean: number(parameter, &section.need("mean")?, (from, to))?,
            deviation: deviation(parameter, &section.need("deviation")?, to - from)?,
        },
    };
    Ok(Varied { parameter, from, to, spread })
}

/// Reads a value of a parameter.
fn number(
    parameter: &Parameter,
    entry: &Entry<'_>,
    (low, high): (f64, f64),
) -> Result<f64, InputError> {
    if !parameter.whole {
        return entry.quantity(Wanted::new(parameter.kind, low, high));
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "small whole numbers"
    )]
    entry.whole(low as u64..=high as u64).map(|whole| whole as f64)
}

/// Reads a standard deviation: above zero, and no more than the range is long.
fn deviation(parameter: &Parameter, entry: &Entry<'_>, most: f64) -> Result<f64, InputError> {
    let value = if parameter.whole {
        entry.number()?
    } else {
        entry.quantity(Wanted::new(parameter.kind, 0.0, most))?
    };
    if value > 0.0 && value <= most {
        return Ok(value);
    }
    let what = format!("{} is no scatter within the range", entry.shown());
    let remedy = "a deviation is above 0 and at most to - from".to_owned();
    Err(entry.complain(Trouble::OutOfRange, what, remedy))
}

/// Hash (FNV-1a, 64 bits) of the text and of everything that was read from the files it names.
fn fingerprint(text: &str, scenarios: &[Scenario]) -> u64 {
    let read = format!("{}\n{text}\n{scenarios:?}", env!("CARGO_PKG_VERSION"));
    read.bytes().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3)
    })
}
