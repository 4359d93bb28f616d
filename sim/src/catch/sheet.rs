//! The catch sheet: outlets, scale, rate and every catch.

use super::weighing::{GroundDrive, MASS_CAUGHT, RATE_WANTED, Raw, SCALE, Test, WISHED, Weighing};
use super::{Found, USUAL_WISHED, found};
use crate::input::{Clash, InputError, InputFile, Trouble};
use crate::scenario::read::{Section, Wanted, parse};
use crate::unit::{LENGTH, SHAFT_SPEED};
use std::path::Path;

/// Keys of a sheet and of a catch.
const KEYS: [&str; 12] = [
    "name",
    "demo",
    "date",
    "outlets",
    "caught",
    "tare",
    "scale",
    "rate",
    "wished_error",
    "width",
    "travel_per_turn",
    "catch",
];
const CATCH_KEYS: [&str; 6] = ["turns", "shaft", "masses", "total", "caught", "tare"];

/// Most outlets of a shaft.
const OUTLETS: u64 = 500;
/// Most catches of a sheet.
const CATCHES: usize = 100;

const SHAFT: Wanted = Wanted::new(&SHAFT_SPEED, 0.001, 10.0);
const WIDTH: Wanted = Wanted::new(&LENGTH, 0.05, 40.0);
const TRAVEL: Wanted = Wanted::new(&LENGTH, 0.01, 200.0);

/// Reads the sheet at `path` and works it out.
///
/// # Errors
///
/// [`InputError`] says what is wrong, where, and what would be right.
pub fn read(path: &Path) -> Result<Found, InputError> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &KEYS)?;
    let outlets = count(root.need("outlets")?.whole(1..=OUTLETS)?);
    let sections = root.children("catch", &CATCH_KEYS)?;
    if sections.is_empty() {
        return Err(root.missing("[[catch]]"));
    }
    if let Some(section) = sections.get(CATCHES) {
        let what = format!("{} catches are too many", sections.len());
        let remedy = format!("{CATCHES} catches at most in one sheet");
        return Err(section.complain(Trouble::OutOfRange, what, remedy));
    }
    let catches: Vec<Weighing> = sections
        .iter()
        .map(|section| weighing(&root, section, outlets))
        .collect::<Result<_, _>>()?;
    alike(&sections, &catches)?;
    let test = Test {
        name: Some(root.need("name")?.text()?.to_owned()),
        demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
        date: Some(root.need("date")?.day()?.to_owned()),
        outlets,
        catches,
        scale_kg: may(&root, "scale", SCALE)?,
        rate_kg_per_ha: may(&root, "rate", RATE_WANTED)?,
        wished: root.quantity_or("wished_error", WISHED, USUAL_WISHED)?,
        ground: ground(&root)?,
    };
    found(&test)
        .map_err(|fall| sections[fall.catch].complain(Trouble::OutOfRange, fall.what, fall.remedy))
}

/// A quantity that need not be there.
fn may(
    section: &Section<'_>,
    key: &'static str,
    wanted: Wanted,
) -> Result<Option<f64>, InputError> {
    section.find(key)?.map(|entry| entry.quantity(wanted)).transpose()
}

/// Reads one catch; what it does not say stands in the root.
fn weighing(
    root: &Section<'_>,
    section: &Section<'_>,
    outlets: u32,
) -> Result<Weighing, InputError> {
    let masses = match section.find("masses")? {
        Some(entry) => {
            let each = entry.list(1..=usize::try_from(OUTLETS).unwrap_or(usize::MAX))?;
            Some(each.iter().map(|it| it.quantity(MASS_CAUGHT)).collect::<Result<Vec<_>, _>>()?)
        }
        None => None,
    };
    let caught = section.find("caught")?.or(root.find("caught")?);
    let tare = may(section, "tare", MASS_CAUGHT)?.or(may(root, "tare", MASS_CAUGHT)?);
    let raw = Raw {
        turns: section.need("turns")?.number()?,
        outlets,
        caught: caught.map(|entry| entry.whole(0..=100_000)).transpose()?.map(count),
        masses_kg: masses,
        total_kg: may(section, "total", MASS_CAUGHT)?,
        tare_kg: tare.unwrap_or(0.0),
        shaft_turns_per_s: may(section, "shaft", SHAFT)?,
    };
    raw.weighing().map_err(|Clash { key, what, remedy }| {
        let place = match section.find(key) {
            Ok(Some(entry)) => Some(entry),
            _ => root.find(key).ok().flatten(),
        };
        match place {
            Some(entry) => entry.complain(Trouble::OutOfRange, what, remedy),
            None => section.complain(Trouble::OutOfRange, what, remedy),
        }
    })
}

/// Outlets are compared with themselves: every catch lists the same ones.
fn alike(sections: &[Section<'_>], catches: &[Weighing]) -> Result<(), InputError> {
    let listed = |it: &Weighing| it.each_kg.len();
    let Some(first) = catches.iter().map(listed).find(|&count| count > 0) else { return Ok(()) };
    let other = catches.iter().position(|it| listed(it) > 0 && listed(it) != first);
    other.map_or(Ok(()), |at| {
        let what = format!("{} masses here, {first} in the first catch", listed(&catches[at]));
        let remedy = "catch the same outlets each time and list them in one order".to_owned();
        Err(sections[at].need("masses")?.complain(Trouble::WrongForm, what, remedy))
    })
}

/// The ground wheel's drive, if it is told.
fn ground(root: &Section<'_>) -> Result<Option<GroundDrive>, InputError> {
    if root.find("width")?.is_none() && root.find("travel_per_turn")?.is_none() {
        return Ok(None);
    }
    let width_m = root.quantity("width", WIDTH)?;
    Ok(Some(GroundDrive { width_m, travel_per_turn_m: root.quantity("travel_per_turn", TRAVEL)? }))
}

/// A count that its range keeps small.
fn count(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}
