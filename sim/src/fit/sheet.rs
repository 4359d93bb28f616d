//! The run sheet: which log is of which run, and what the tape read.
//!
//! ```text
//!  sheet.toml ─► drill (names of the sides, nominal numbers)
//!    │ [[spin]] [[ground]] [[delivery]] [[flag]] ─► log ─► fit of the run ─► Built
//! ```

use super::as_built::{Built, BuiltSide};
use super::delivery::{Known, delivery};
use super::error::FitError;
use super::flag::{Tape, flags, together};
use super::ground::{Way, ground, pass};
use super::run_log::RunLog;
use super::spin::{Wanted as Asked, spin};
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::read::{Section, Wanted, as_built_of, drill, parse, referred};
use crate::scenario::{Drill, is_day};
use crate::unit::{LENGTH, SHAFT_SPEED};
use controller::measure::RunKind;
use std::path::{Path, PathBuf};
use thiserror::Error;

/// Keys of the sheet and its tables.
const KEYS: [&str; 7] = ["date", "demo", "drill", "spin", "ground", "delivery", "flag"];
const SPIN_KEYS: [&str; 5] = ["side", "log", "lowest_wanted", "highest_wanted", "seen_turning"];
const GROUND_KEYS: [&str; 3] = ["log", "tape", "way"];
const DELIVERY_KEYS: [&str; 3] = ["side", "log", "seeds_per_turn"];
const FLAG_KEYS: [&str; 5] = ["log", "furrow_start", "furrow_end", "whole", "seed_start"];

const TAPE: Wanted = Wanted::new(&LENGTH, 20.0, 1000.0);
const PLACE: Wanted = Wanted::new(&LENGTH, 0.1, 1000.0);
const SHAFT: Wanted = Wanted::new(&SHAFT_SPEED, 0.001, 10.0);

/// Why a sheet tells nothing.
#[derive(Debug, Error)]
pub enum SheetError {
    /// The sheet or a log is wrong.
    #[error("{0}")]
    Input(#[from] InputError),
    /// A log does not show what it should.
    #[error("failed to fit {}: {why}", file.display())]
    Unfit {
        /// The log.
        file: PathBuf,
        /// What it lacks.
        why: FitError,
    },
}

/// Reads the sheet at `path` and fits every run it lists.
///
/// # Errors
///
/// [`SheetError`] says what is wrong, in which file, where, and what would be right.
pub fn measure(path: &Path) -> Result<Built, SheetError> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &KEYS)?;
    let drill_file = referred(&root.need("drill")?, &file)?;
    let drill = drill(&drill_file)?;
    let mut sheet = Sheet { drill: &drill, logs: Vec::new(), sides: Vec::new() };
    sheet.sides = (drill.sides.iter())
        .map(|side| BuiltSide { name: side.name.clone(), spin: None, delivery: None })
        .collect();
    sheet.spins(&root)?;
    let passes = sheet.passes(&root)?;
    sheet.deliveries(&root)?;
    let drives = sheet.drives(&root)?;
    if sheet.logs.is_empty() {
        return Err(root.missing("[[spin]], [[ground]], [[delivery]] or [[flag]]").into());
    }
    let built = Built {
        date: day(&root)?,
        drill: drill.name.clone(),
        demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
        runs: sheet.logs.len(),
        files: core::iter::once(drill_file).chain(sheet.logs).collect(),
        sides: sheet.sides,
        ground: ground(passes),
        flags: together(drives),
    };
    usable(&file, &drill, &built)?;
    Ok(built)
}

/// The day of the runs: year, month and day as ISO 8601 has them.
fn day(root: &Section<'_>) -> Result<String, InputError> {
    let entry = root.need("date")?;
    let text = entry.text()?;
    if is_day(text) {
        return Ok(text.to_owned());
    }
    Err(entry.wants(Trouble::WrongForm, "a day such as 2026-04-02"))
}

/// What was measured must be what a drill file can be told: an as-built file that is refused helps nobody.
fn usable(file: &InputFile, drill: &Drill, built: &Built) -> Result<(), InputError> {
    as_built_of(drill, file.path(), built.to_toml()).map_err(|error| {
        let what = format!("the runs tell what no drill has: {}", error.what);
        let remedy = format!("{}; look at that run and what was taped", error.remedy);
        file.complain(0, Trouble::OutOfRange, what, remedy)
    })
}

/// What has been measured so far.
struct Sheet<'a> {
    drill: &'a Drill,
    logs: Vec<PathBuf>,
    sides: Vec<BuiltSide>,
}

impl Sheet<'_> {
    /// The spin runs.
    fn spins(&mut self, root: &Section<'_>) -> Result<(), SheetError> {
        for section in root.children("spin", &SPIN_KEYS)? {
            let side = self.side(&section, "side")?;
            if self.sides[side].spin.is_some() {
                return Err(twice(&section, &self.sides[side].name).into());
            }
            let speed = |key| -> Result<Option<f64>, InputError> {
                section.find(key)?.map(|entry| entry.quantity(SHAFT)).transpose()
            };
            let seen = section.find("seen_turning")?.is_some();
            let (lowest, highest) = (speed("lowest_wanted")?, speed("highest_wanted")?);
            if lowest.zip(highest).is_some_and(|(lowest, highest)| lowest >= highest) {
                return Err(not_rising(&section).into());
            }
            let asked = Asked {
                lowest_turns_per_s: lowest,
                highest_turns_per_s: highest,
                seen_turning: if seen { Some(self.side(&section, "seen_turning")?) } else { None },
            };
            if self.drill.told_of(&self.drill.sides[side]).motor.is_some() {
                return Err(motorised(&section).into());
            }
            let (file, log) = self.log(&section, RunKind::Spin)?;
            self.same_side(&section, &log, side, &file)?;
            let fit = spin(&log, asked).map_err(|why| SheetError::Unfit { file, why })?;
            self.sides[side].spin = Some(fit);
        }
        Ok(())
    }

    /// The passes of the ground run.
    fn passes(&mut self, root: &Section<'_>) -> Result<Vec<super::ground::Pass>, SheetError> {
        let mut passes = Vec::new();
        for section in root.children("ground", &GROUND_KEYS)? {
            let tape_m = section.quantity("tape", TAPE)?;
            let way = section.need("way")?.choice(&[("there", Way::There), ("back", Way::Back)])?;
            let (file, log) = self.log(&section, RunKind::Ground)?;
            passes.push(pass(&log, tape_m, way).map_err(|why| SheetError::Unfit { file, why })?);
        }
        Ok(passes)
    }

    /// The delivery runs, by the dead time that was measured, or that of the drill file.
    fn deliveries(&mut self, root: &Section<'_>) -> Result<(), SheetError> {
        for section in root.children("delivery", &DELIVERY_KEYS)? {
            let side = self.side(&section, "side")?;
            let told = self.drill.told_of(&self.drill.sides[side]);
            let spin = self.sides[side].spin.as_ref();
            let measured = spin.map(|it| (it.fit.dead_time_s.value, it.fit.lag_s.value));
            let (dead_time_s, lag_s) = measured.unwrap_or((told.dead_time_s, told.lag_s));
            let seeds = section.find("seeds_per_turn")?;
            #[expect(clippy::cast_precision_loss, reason = "at most a million")]
            let seeds = seeds.map(|it| it.whole(1..=1_000_000).map(|it| it as f64)).transpose()?;
            let known = Known { dead_time_s, lag_s, seeds_per_turn: seeds };
            let (file, log) = self.log(&section, RunKind::Delivery)?;
            self.same_side(&section, &log, side, &file)?;
            let fit = delivery(&log, known);
            let fit = fit.map_err(|why| SheetError::Unfit { file, why })?;
            let before = self.sides[side].delivery.take();
            self.sides[side].delivery = Some(match before {
                Some(before) => before.with(&fit),
                None => fit,
            });
        }
        Ok(())
    }

    /// The drives between the flags.
    fn drives(&mut self, root: &Section<'_>) -> Result<Vec<super::flag::Flags>, SheetError> {
        let mut drives = Vec::new();
        for section in root.children("flag", &FLAG_KEYS)? {
            let tape = Tape {
                furrow_start_m: section.quantity("furrow_start", PLACE)?,
                furrow_end_m: section.quantity("furrow_end", PLACE)?,
                whole_m: section.quantity("whole", PLACE)?,
                seed_start_m: section
                    .find("seed_start")?
                    .map(|entry| entry.quantity(PLACE))
                    .transpose()?,
            };
            if !(tape.furrow_start_m < tape.furrow_end_m && tape.furrow_end_m < tape.whole_m) {
                let what = "the flags are not in order".to_owned();
                let remedy = "furrow_start < furrow_end < whole, all from flag A".to_owned();
                return Err(section.complain(Trouble::OutOfRange, what, remedy).into());
            }
            let (file, log) = self.log(&section, RunKind::Flag)?;
            drives.push(flags(&log, tape).map_err(|why| SheetError::Unfit { file, why })?);
        }
        Ok(drives)
    }

    /// The log that a table names.
    fn log(
        &mut self,
        section: &Section<'_>,
        kind: RunKind,
    ) -> Result<(PathBuf, RunLog), SheetError> {
        let entry = section.need("log")?;
        let path = referred(&entry, section.file())?;
        let same = |other: &PathBuf| match (other.canonicalize(), path.canonicalize()) {
            (Ok(other), Ok(path)) => other == path,
            _ => *other == path,
        };
        if self.logs.iter().any(same) {
            let what = format!("{} is listed already", entry.shown());
            let remedy = "one log a run; the same run twice hides its scatter".to_owned();
            return Err(entry.complain(Trouble::WrongForm, what, remedy).into());
        }
        let log = RunLog::read(&InputFile::read(&path)?)?;
        self.logs.push(path.clone());
        if log.kind == kind {
            return Ok((path, log));
        }
        let why = FitError::OtherRun { have: log.kind.word(), want: kind.word() };
        Err(SheetError::Unfit { file: path, why })
    }

    /// The side that a key names; of a drill with one side it need not.
    fn side(&self, section: &Section<'_>, key: &'static str) -> Result<usize, InputError> {
        let Some(entry) = section.find(key)? else {
            return if self.sides.len() == 1 { Ok(0) } else { Err(section.missing(key)) };
        };
        let names: Vec<(&str, usize)> =
            self.sides.iter().enumerate().map(|(at, side)| (side.name.as_str(), at)).collect();
        entry.choice(&names)
    }

    /// The log must be of the side that the sheet says, and of the encoder that the drill file says.
    fn same_side(
        &self,
        section: &Section<'_>,
        log: &RunLog,
        side: usize,
        file: &Path,
    ) -> Result<(), SheetError> {
        if log.side != side {
            let why = FitError::NotThatSide { have: log.side + 1, want: side + 1 };
            return Err(SheetError::Unfit { file: file.to_owned(), why });
        }
        let (have, want) =
            (log.encoder_pulses_per_turn, self.drill.sides[side].encoder_pulses_per_turn);
        if have == want {
            return Ok(());
        }
        let what =
            format!("the log's encoder has {have} pulses per turn, that of the drill file {want}");
        let remedy = "put the wrong one right: every measured shaft speed hangs on it".to_owned();
        Err(section.need("log")?.complain(Trouble::OutOfRange, what, remedy).into())
    }
}

/// A spin run of a valve that moves for seconds tells neither its stroke nor its lag.
fn motorised(section: &Section<'_>) -> InputError {
    let what =
        "the drill's valve is motorised, and a spin run measures a proportional one".to_owned();
    let remedy = "leave [[spin]] out; its numbers stay those of the drill file".to_owned();
    section.complain(Trouble::WrongForm, what, remedy)
}

/// Shaft speeds the wrong way round.
fn not_rising(section: &Section<'_>) -> InputError {
    let what = "lowest_wanted is not below highest_wanted".to_owned();
    section.complain(Trouble::OutOfRange, what, "write the slower one as lowest_wanted".to_owned())
}

/// A side that is there twice.
fn twice(section: &Section<'_>, name: &str) -> InputError {
    let what = format!("side {name:?} is there twice");
    section.complain(Trouble::OutOfRange, what, "list each side once; take its best run".to_owned())
}
