//! Reads a scenario file and what it names.

use super::drill::drill_of;
use super::field::{self, Worked};
use super::section::{Section, parse};
use super::seed_lot::seed_lot_of;
use super::speed::{referred, speed};
use super::truth::{self, truth_over};
use super::wanted::Wanted;
use super::{event, fitted, source, tolerance};
use crate::input::{InputError, InputFile, Trouble};
use crate::profile::Profile;
use crate::scenario::{Drill, Drive, Motor, Scenario, SeedLot};
use crate::unit::RATIO;
use std::path::Path;

/// Keys of a scenario file.
const KEYS: [&str; 21] = [
    "title",
    "drill",
    "seed",
    "second_seed",
    "speed",
    "field",
    "source",
    "told",
    "machine",
    "act",
    "turn",
    "disturb",
    "tolerance",
    "also",
    "slip",
    "yaw",
    "direction",
    "lines",
    "line",
    "silence",
    "speed_by_hand",
];

/// Keys of `[told]`.
const TOLD_KEYS: [&str; 5] =
    ["gain_factor", "lag_factor", "dead_time_factor", "stroke_factor", "opening"];

const FACTOR: Wanted = Wanted::new(&RATIO, 0.1, 10.0);

/// Turns of the meter shaft per metre that work.
pub(crate) const TURNS_PER_METRE: std::ops::RangeInclusive<f64> = 0.001..=50.0;

/// Reads the scenario file at `path`, and the drill, seed and log it names.
///
/// # Errors
///
/// [`InputError`] says what is wrong, in which of the files, where, and what would be right.
pub fn scenario(path: &Path) -> Result<Scenario, InputError> {
    scenario_of(&InputFile::read(path)?)
}

/// Reads a scenario file that is already taken in, and the drill and seed it names where it came from. A log is read
/// from the disk.
///
/// # Errors
///
/// As [`scenario`].
pub fn scenario_of(file: &InputFile) -> Result<Scenario, InputError> {
    let document = parse(file)?;
    let root = Section::root(file, &document, &KEYS)?;
    let seed = root.need("seed")?;
    let mut drill = drill_of(&file.open(&referred(&root.need("drill")?, file)?)?)?;
    let first = seed_lot_of(&file.open(&referred(&seed, file)?)?)?;
    let second_lot = second_lot(&root, &drill)?;
    if let Some(machine) = root.child("machine", &truth::KEYS)? {
        drill.truth = truth_over(&machine, drill.truth)?;
    }
    if let Some(told) = root.child("told", &TOLD_KEYS)? {
        for drive in drill.told_mut() {
            *drive = mistold(&told, drive)?;
        }
    }
    for (product, lot) in core::iter::once(&first).chain(&second_lot).enumerate() {
        let named = if product == 0 { &seed } else { &root.need("second_seed")? };
        if let Some(what) = unsuited(&drill, lot, product) {
            let remedy = "0.001 to 50 turns/m work; change width, rate or mass per turn".to_owned();
            return Err(named.complain(Trouble::OutOfRange, what, remedy));
        }
    }
    let worked = root.child("field", &field::KEYS)?;
    let worked = worked.map(|section| field::field(&section, &root, &drill)).transpose()?;
    let (profile, mut events, field) = match worked {
        Some(Worked { profile, events, field }) => (profile, events, Some(field)),
        None => (straight(&root)?, Vec::new(), None),
    };
    let end_s = end_s(&profile);
    events.extend(event::acts(&root, end_s, &drill)?);
    events.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    let source = source::source(root.child("source", &source::KEYS)?)?;
    Ok(Scenario {
        name: stem(file.path()),
        title: root.need("title")?.text()?.to_owned(),
        fitted: fitted::fitted(&root, &source)?,
        source,
        events,
        turns: event::turns(&root, end_s)?,
        disturbances: event::disturbances(&root, end_s)?,
        tolerances: tolerance::tolerances(&root)?,
        field,
        drill,
        seed_lot: first,
        second_lot,
        profile,
    })
}

/// The lot of the second box: there exactly where a side of the drill meters it.
fn second_lot(root: &Section<'_>, drill: &Drill) -> Result<Option<SeedLot>, InputError> {
    match (root.find("second_seed")?, drill.products()) {
        (None, 1) => Ok(None),
        (None, _) => {
            let what = format!("drill {:?} has two boxes and there is one seed file", drill.name);
            let remedy = "add a line second_seed = ...".to_owned();
            Err(root.need("drill")?.complain(Trouble::MissingKey, what, remedy))
        }
        (Some(entry), 1) => {
            let what = format!("drill {:?} has one box", drill.name);
            let remedy = "drop the line, or write product = 2 under a [[side]]".to_owned();
            Err(entry.complain(Trouble::WrongForm, what, remedy))
        }
        (Some(entry), _) => {
            let file = root.file();
            Ok(Some(seed_lot_of(&file.open(&referred(&entry, file)?)?)?))
        }
    }
}

/// The speed of a run without a field.
fn straight(root: &Section<'_>) -> Result<Profile, InputError> {
    speed(&root.child("speed", &super::speed::KEYS)?.ok_or_else(|| root.missing("[speed]"))?)
}

/// Short name of a file: its stem.
pub(super) fn stem(path: &Path) -> String {
    path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Last instant of a profile, s.
fn end_s(profile: &Profile) -> f64 {
    profile.pieces.last().map_or(0.0, crate::profile::Piece::end_s)
}

/// What the controller is told when its numbers are wrong: the map's gain, lag and dead time times a
/// factor, or another opening command with the map drawn together above it.
fn mistold(section: &Section<'_>, right: &Drive) -> Result<Drive, InputError> {
    let factor = |key| section.quantity_or(key, FACTOR, 1.0);
    let gain = factor("gain_factor")?;
    let was = right.opening();
    let is = section.quantity_or("opening", super::drive::OPENING, was)?;
    let command = |old: f64| 1.0 - (1.0 - old) * (1.0 - is) / (1.0 - was);
    Ok(Drive {
        map: right.map.iter().map(|&(old, turns)| (command(old), turns * gain)).collect(),
        lag_s: right.lag_s * factor("lag_factor")?,
        dead_time_s: right.dead_time_s * factor("dead_time_factor")?,
        motor: match right.motor {
            Some(motor) => {
                Some(Motor { stroke_s: motor.stroke_s * factor("stroke_factor")?, ..motor })
            }
            None => None,
        },
    })
}

/// Says so when a side would need too few or too many turns per metre.
pub(super) fn unsuited(drill: &Drill, seed_lot: &SeedLot, product: usize) -> Option<String> {
    let masses = || seed_lot.curve.iter().map(|point| point.1);
    let (least, most) = (masses().fold(f64::MAX, f64::min), masses().fold(0.0, f64::max));
    drill.sides.iter().filter(|side| side.product == product).find_map(|side| {
        let kg_per_m = side.width_m * seed_lot.rate_kg_per_ha / 10_000.0;
        let turns = [kg_per_m / most, kg_per_m / least];
        let bad = turns.into_iter().find(|turns| !TURNS_PER_METRE.contains(turns))?;
        Some(format!(
            "seed lot {:?} wants {bad:.3e} turns/m on side {:?}",
            seed_lot.name, side.name
        ))
    })
}
