//! Reads a seed file: rate asked for and mass per shaft turn.

use super::points::{points, rising};
use super::section::{Section, parse};
use super::wanted::Wanted;
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::{Caught, SeedLot};
use crate::unit::{MASS_PER_TURN, RATE, RATIO, SHAFT_SPEED};
use std::path::Path;

/// Keys of a seed file.
const KEYS: [&str; 6] = ["name", "demo", "rate", "mass_per_turn", "meter_curve", "caught"];

/// Keys of `[caught]`.
const CAUGHT_KEYS: [&str; 3] = ["date", "catches", "uncertainty"];

/// Seeding rate.
pub(crate) const SEEDING_RATE: Wanted = Wanted::new(&RATE, 0.5, 500.0);
pub(crate) const TURN: Wanted = Wanted::new(&MASS_PER_TURN, 0.0002, 5.0);
const SHAFT: Wanted = Wanted::new(&SHAFT_SPEED, 0.001, 10.0);

const UNCERTAINTY: Wanted = Wanted::new(&RATIO, 0.0, 1.0);

/// Shaft speed at which a constant mass per turn is noted; it holds at every other too, turns/s.
const ANY_SPEED: f64 = 1.0;

/// Reads the seed file at `path`.
///
/// # Errors
///
/// [`InputError`] says what is wrong, where, and what would be right.
pub fn seed_lot(path: &Path) -> Result<SeedLot, InputError> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &KEYS)?;
    Ok(SeedLot {
        name: root.need("name")?.text()?.to_owned(),
        demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
        rate_kg_per_ha: root.quantity("rate", SEEDING_RATE)?,
        curve: curve(&root)?,
        caught: root.child("caught", &CAUGHT_KEYS)?.map(|section| caught(&section)).transpose()?,
    })
}

/// Reads where the mass per turn comes from.
fn caught(section: &Section<'_>) -> Result<Caught, InputError> {
    Ok(Caught {
        date: section.need("date")?.text()?.to_owned(),
        catches: section.need("catches")?.whole(1..=1000)?,
        uncertainty: section
            .find("uncertainty")?
            .map(|entry| entry.quantity(UNCERTAINTY))
            .transpose()?,
    })
}

/// Reads the meter curve, or the constant mass per turn.
fn curve(root: &Section<'_>) -> Result<Vec<(f64, f64)>, InputError> {
    let Some(entry) = root.find("meter_curve")? else {
        return Ok(vec![(ANY_SPEED, root.quantity("mass_per_turn", TURN)?)]);
    };
    if root.find("mass_per_turn")?.is_some() {
        let what = "mass_per_turn and meter_curve both stand in the file".to_owned();
        let remedy = "keep one of them".to_owned();
        return Err(entry.complain(Trouble::WrongForm, what, remedy));
    }
    let points = points(&entry, [SHAFT, TURN], 1..=6)?;
    rising(&points, "shaft speed", |point| point.x)?;
    rising(&points, "mass flow", |point| point.x * point.y)?;
    Ok(points.iter().map(super::points::Point::pair).collect())
}
