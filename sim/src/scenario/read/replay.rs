//! A scenario made of a recorded track.

use super::run::{stem, unsuited};
use super::{drill, seed_lot};
use crate::input::{InputError, Trouble};
use crate::profile::recorded;
use crate::scenario::{Fitted, Scenario, Source};
use std::path::Path;

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
        let remedy = "0.001 to 50 turns/m work; choose another seed lot or drill".to_owned();
        let (file, trouble) = (seed_file.to_owned(), Trouble::OutOfRange);
        return Err(InputError { file, place: None, trouble, what, remedy });
    }
    let name = stem(log);
    Ok(Scenario {
        title: format!("replay of {name}"),
        name,
        drill,
        seed_lot,
        second_lot: None,
        profile,
        source,
        events: Vec::new(),
        turns: Vec::new(),
        field: None,
        disturbances: Vec::new(),
        fitted: Fitted::default(),
        tolerances: Vec::new(),
    })
}
