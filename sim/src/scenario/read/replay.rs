//! A scenario made of a recorded track.

use super::run::{stem, unsuited};
use super::{drill, seed_lot};
use crate::input::{InputError, Trouble};
use crate::profile::{Profile, recorded};
use crate::scenario::{Drill, Fitted, Scenario, SeedLot, Source};
use std::path::Path;

/// Reads a drill and seed files into a scenario that nothing is driven in: what the controller would be told.
///
/// # Errors
///
/// [`InputError`] says what is wrong, in which of the files, where, and what would be right.
pub fn standing(
    drill_file: &Path,
    seed_files: (&Path, Option<&Path>),
    source: Source,
) -> Result<Scenario, InputError> {
    let drill = drill(drill_file)?;
    let (first, second) = (seed_lot(seed_files.0)?, seed_files.1.map(seed_lot).transpose()?);
    let lots = core::iter::once((&first, seed_files.0)).chain(second.as_ref().zip(seed_files.1));
    for (product, (lot, file)) in lots.enumerate() {
        if let Some(what) = unsuited(&drill, lot, product) {
            return Err(not_of_this_drill(file, what));
        }
    }
    let refuse = |what: String, remedy: &str| {
        let (file, remedy) = (drill_file.to_owned(), remedy.to_owned());
        Err(InputError { file, place: None, trouble: Trouble::WrongForm, what, remedy })
    };
    match (drill.products() > 1, second.is_some()) {
        (true, false) => {
            let what = format!("drill {:?} has two boxes, and one seed file was named", drill.name);
            return refuse(what, "name the second box's seed file as well");
        }
        (false, true) => {
            let what = format!("drill {:?} has one box, and two seed files were named", drill.name);
            return refuse(what, "leave the second seed file out");
        }
        _ => {}
    }
    Ok(of(stem(drill_file), drill, (first, second), (Profile { pieces: Vec::new() }, source)))
}

/// A seed lot that asks for turns this drill cannot make.
fn not_of_this_drill(seed_file: &Path, what: String) -> InputError {
    let remedy = "0.001 to 50 turns/m work; choose another seed lot or drill".to_owned();
    let (file, trouble) = (seed_file.to_owned(), Trouble::OutOfRange);
    InputError { file, place: None, trouble, what, remedy }
}

/// A scenario without acts, curves, field, disturbances and tolerances.
fn of(
    name: String,
    drill: Drill,
    (seed_lot, second_lot): (SeedLot, Option<SeedLot>),
    (profile, source): (Profile, Source),
) -> Scenario {
    Scenario {
        title: format!("replay of {name}"),
        name,
        drill,
        seed_lot,
        second_lot,
        profile,
        source,
        events: Vec::new(),
        turns: Vec::new(),
        field: None,
        disturbances: Vec::new(),
        fitted: Fitted::default(),
        tolerances: Vec::new(),
    }
}

/// Reads a track, a drill and a seed file into a scenario: straight, no acts of the operator, no
/// tolerances. Where the track tells when the implement was in work, the bench lifts it by that.
///
/// # Errors
///
/// [`InputError`] says what is wrong, in which of the files, where, and what would be right.
pub fn replay(
    log: &Path,
    drill_file: &Path,
    seed_file: &Path,
    source: Source,
) -> Result<Scenario, InputError> {
    let profile = recorded::read(log)?;
    let drill = drill(drill_file)?;
    let seed_lot = seed_lot(seed_file)?;
    if drill.products() > 1 {
        let what = format!("drill {:?} has two boxes, and a replay has one seed file", drill.name);
        let remedy = "write a scenario with the log under [speed] and a second_seed".to_owned();
        let (file, trouble) = (drill_file.to_owned(), Trouble::WrongForm);
        return Err(InputError { file, place: None, trouble, what, remedy });
    }
    if let Some(what) = unsuited(&drill, &seed_lot, 0) {
        return Err(not_of_this_drill(seed_file, what));
    }
    Ok(of(stem(log), drill, (seed_lot, None), (profile, source)))
}
