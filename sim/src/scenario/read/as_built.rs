//! Reads an as-built file, as `fit` writes it: what was measured takes the place of what the drill file says.
//!
//! Where the drill file has a `[truth]`, the machine of the bench stays what drill file and `[truth]` say; without one it
//! is as measured.

use super::drill::{DELIVERY_DELAY, GROUND_PULSES, OPENER_WAY};
use super::drive::{self, drive};
use super::section::{Section, parse};
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::{AsBuilt, Drill};
use std::path::Path;

/// Keys of the file and its tables; scatter is for people.
const KEYS: [&str; 7] = ["date", "drill", "demo", "runs", "ground", "openers", "side"];
const GROUND_KEYS: [&str; 3] = ["pulses", "scatter", "from"];
const OPENER_KEYS: [&str; 5] =
    ["lowering", "lowering_scatter", "lifting", "lifting_scatter", "from"];
const SIDE_KEYS: [&str; 5] = ["name", "drive", "scatter", "delivery_delay", "delivery_scatter"];

/// Puts the measured numbers of a file into the drill; `machine_told` is whether it has a `[truth]`.
pub(super) fn apply(
    drill: &mut Drill,
    file: &InputFile,
    machine_told: bool,
) -> Result<(), InputError> {
    take(drill, file, machine_told)
}

/// Tries an as-built file that is not written yet on `drill`; `path` is the name to blame.
pub(crate) fn of(drill: &Drill, path: &Path, text: String) -> Result<(), InputError> {
    take(&mut drill.clone(), &InputFile::from_bytes(path, text.into_bytes())?, true)
}

fn take(drill: &mut Drill, file: &InputFile, machine_told: bool) -> Result<(), InputError> {
    let document = parse(file)?;
    let any = Section::root(file, &document, &[])?;
    if any.has("as_built") || any.has("ground_pulses") {
        let what = "it is a drill file".to_owned();
        let remedy =
            "name an as-built file, as meterwright fit SHEET --out FILE writes it".to_owned();
        return Err(any.complain(Trouble::WrongForm, what, remedy));
    }
    let root = Section::root(file, &document, &KEYS)?;
    let date = root.need("date")?.text()?.to_owned();
    let runs = root.need("runs")?.whole(1..=10_000)?;
    if machine_told {
        keep_truth(drill);
    }
    let mut what = Vec::new();
    if let Some(ground) = root.child("ground", &GROUND_KEYS)? {
        drill.ground_pulses_per_m = ground.quantity("pulses", GROUND_PULSES)?;
        what.push("ground pulses");
    }
    if let Some(openers) = root.child("openers", &OPENER_KEYS)? {
        drill.lowering_m = openers.quantity("lowering", OPENER_WAY)?;
        drill.lifting_m = openers.quantity("lifting", OPENER_WAY)?;
        what.push("openers");
    }
    let delays = sides(drill, &root)?;
    if let Some(measured) = drill.sides.iter().find_map(|side| side.told.clone()) {
        what.insert(0, "drive");
        // One side's numbers stand for those that were not measured.
        drill.told = measured;
    }
    if !machine_told {
        drill.truth.drive = drill.told.clone();
    }
    if !delays.is_empty() {
        #[expect(clippy::cast_precision_loss, reason = "at most four sides")]
        let count = delays.len() as f64;
        drill.delivery_delay_s = delays.iter().sum::<f64>() / count;
        what.push("delivery delay");
    }
    if what.is_empty() {
        return Err(root.missing("[ground], [openers] or [[side]] with a measured number"));
    }
    // Invented numbers stay marked, whatever drill they are put into.
    drill.demo |= root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?;
    drill.as_built = Some(AsBuilt { date, runs, what });
    Ok(())
}

/// Takes over the drives of the sides; their delivery delays, s.
fn sides(drill: &mut Drill, root: &Section<'_>) -> Result<Vec<f64>, InputError> {
    let mut delays = Vec::new();
    let mut taken = Vec::new();
    for section in &root.children("side", &SIDE_KEYS)? {
        let entry = section.need("name")?;
        let name = entry.text()?;
        let Some(index) = drill.sides.iter().position(|side| side.name == name) else {
            let names: Vec<&str> = drill.sides.iter().map(|side| side.name.as_str()).collect();
            let remedy = format!("the drill's sides are {}", names.join(", "));
            let what = format!("the drill has no side {name:?}");
            return Err(entry.complain(Trouble::OutOfRange, what, remedy));
        };
        if taken.contains(&index) {
            let what = format!("side {name:?} is there twice");
            let remedy = "keep the [[side]] whose numbers hold".to_owned();
            return Err(entry.complain(Trouble::WrongForm, what, remedy));
        }
        taken.push(index);
        if let Some(section) = section.child("drive", &drive::KEYS)? {
            let measured = drive(&section)?;
            if measured.motor.is_some() != drill.told.motor.is_some() {
                let what = "one of drill file and as-built file has a motorised valve".to_owned();
                let remedy =
                    "write the kind of [drive] alike in both, or leave this table out".to_owned();
                return Err(section.complain(Trouble::WrongForm, what, remedy));
            }
            drill.sides[index].told = Some(measured);
        }
        if let Some(delay) = section.find("delivery_delay")? {
            delays.push(delay.quantity(DELIVERY_DELAY)?);
        }
    }
    Ok(delays)
}

/// What the drill file says is true of the bench's machine unless `[truth]` says otherwise.
fn keep_truth(drill: &mut Drill) {
    let (lowering_m, lifting_m) = drill.true_opener_ways_m();
    let ways = &mut drill.truth.ways;
    ways.delivery_delay_s = ways.delivery_delay_s.or(Some(drill.delivery_delay_s));
    ways.ground_pulses_per_m = ways.ground_pulses_per_m.or(Some(drill.ground_pulses_per_m));
    (ways.lowering_m, ways.lifting_m) = (Some(lowering_m), Some(lifting_m));
}
