//! Reads a drill file: what the controller is told, and under `[truth]` the bench's machine.

use super::as_built;
use super::drive::{self, drive};
use super::hydraulics;
use super::limits;
use super::section::{Section, parse};
use super::speed::referred;
use super::truth::{self, truth_over};
use super::wanted::Wanted;
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::{Drill, Limits, Side};
use crate::unit::{LENGTH, PULSES_PER_LENGTH, SPEED, TIME};
use std::path::Path;

/// Keys of a drill file.
const KEYS: [&str; 16] = [
    "name",
    "demo",
    "side",
    "ground_pulses",
    "lowest_speed",
    "delivery_delay",
    "lift_debounce",
    "drive",
    "truth",
    "antenna_to_opener",
    "lowering",
    "lifting",
    "least_gap",
    "as_built",
    "limits",
    "hydraulics",
];

/// Keys of a side.
const SIDE_KEYS: [&str; 7] =
    ["name", "width", "offset", "encoder_pulses", "encoder_channels", "product", "outlets"];

/// Edges of an encoder per turn of the meter shaft.
pub(crate) const ENCODER_PULSES: std::ops::RangeInclusive<u64> = 1..=4096;

/// Outlets of a side.
const OUTLETS: std::ops::RangeInclusive<u64> = 1..=512;

pub(crate) const WIDTH: Wanted = Wanted::new(&LENGTH, 0.1, 18.0);
const OFFSET: Wanted = Wanted::new(&LENGTH, -20.0, 20.0);
pub(crate) const GROUND_PULSES: Wanted = Wanted::new(&PULSES_PER_LENGTH, 1.0, 2000.0);
pub(crate) const LOWEST_SPEED: Wanted = Wanted::new(&SPEED, 0.05, 2.0);
pub(crate) const DELIVERY_DELAY: Wanted = Wanted::new(&TIME, 0.0, 2.0);
pub(crate) const LIFT_DEBOUNCE: Wanted = Wanted::new(&TIME, 0.0, 0.5);

pub(crate) const ANTENNA: Wanted = Wanted::new(&LENGTH, -20.0, 20.0);
pub(crate) const OPENER_WAY: Wanted = Wanted::new(&LENGTH, 0.0, 10.0);
pub(crate) const LEAST_GAP: Wanted = Wanted::new(&LENGTH, 0.1, 50.0);

/// Least gap where none is named, m.
const DEFAULT_GAP_M: f64 = 0.5;

/// Lift debounce where none is named, s.
const DEFAULT_DEBOUNCE_S: f64 = 0.02;

/// Reads the drill file at `path`.
///
/// # Errors
///
/// [`InputError`] says what is wrong, where, and what would be right.
pub fn drill(path: &Path) -> Result<Drill, InputError> {
    drill_of(&InputFile::read(path)?)
}

/// Reads a drill file that is already taken in.
pub(super) fn drill_of(file: &InputFile) -> Result<Drill, InputError> {
    let document = parse(file)?;
    let root = Section::root(file, &document, &KEYS)?;
    let told = root.child("drive", &drive::KEYS)?.ok_or_else(|| root.missing("[drive]"))?;
    let told = drive(&told)?;
    let machine = truth::off(told.clone());
    let truth = match root.child("truth", &truth::KEYS)? {
        Some(section) => truth_over(&section, machine)?,
        None => machine,
    };
    let lowest_speed_mps = root.quantity("lowest_speed", LOWEST_SPEED)?;
    let limits = match root.child("limits", &limits::KEYS)? {
        Some(section) => limits::limits(&section, lowest_speed_mps)?,
        None => Limits::default(),
    };
    let mut drill = Drill {
        name: root.need("name")?.text()?.to_owned(),
        demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
        sides: sides(&root)?,
        ground_pulses_per_m: root.quantity("ground_pulses", GROUND_PULSES)?,
        lowest_speed_mps,
        delivery_delay_s: root.quantity("delivery_delay", DELIVERY_DELAY)?,
        lift_debounce_s: root.quantity_or("lift_debounce", LIFT_DEBOUNCE, DEFAULT_DEBOUNCE_S)?,
        antenna_to_opener_m: root.quantity_or("antenna_to_opener", ANTENNA, 0.0)?,
        lowering_m: root.quantity_or("lowering", OPENER_WAY, 0.0)?,
        lifting_m: root.quantity_or("lifting", OPENER_WAY, 0.0)?,
        least_gap_m: root.quantity_or("least_gap", LEAST_GAP, DEFAULT_GAP_M)?,
        limits,
        hydraulics: root
            .child("hydraulics", &hydraulics::KEYS)?
            .map(|section| hydraulics::hydraulics(&section))
            .transpose()?,
        told,
        truth,
        as_built: None,
    };
    if let Some(entry) = root.find("as_built")? {
        let machine_told = root.has("truth");
        as_built::apply(&mut drill, &file.open(&referred(&entry, file)?)?, machine_told)?;
    }
    Ok(drill)
}

/// Reads the sides, left to right.
fn sides(root: &Section<'_>) -> Result<Vec<Side>, InputError> {
    let sections = root.children("side", &SIDE_KEYS)?;
    let Some(first) = sections.first() else { return Err(root.missing("[[side]]")) };
    if let Some(fifth) = sections.get(4) {
        let what = format!("the drill has {} sides", sections.len());
        return Err(fifth.complain(Trouble::OutOfRange, what, "1 to 4 sides work".to_owned()));
    }
    let mut sides: Vec<Side> = vec![side(first)?];
    for section in &sections[1..] {
        let next = side(section)?;
        check_ground(section, &sides, &next)?;
        let right_of = |left: &Side| {
            next.offset_m < left.offset_m || (next.product != left.product && next.lies_on(left))
        };
        if sides.last().is_some_and(|left| !right_of(left)) {
            let what = format!("side {:?} is not to the right of the one before", next.name);
            let remedy = "write sides left to right, offset positive to the left".to_owned();
            return Err(section.complain(Trouble::OutOfRange, what, remedy));
        }
        sides.push(next);
    }
    Ok(sides)
}

/// Ground that two products have in common must be that of one side of each, all of it.
fn check_ground(section: &Section<'_>, before: &[Side], next: &Side) -> Result<(), InputError> {
    let mut others = before.iter().filter(|other| other.product != next.product);
    let in_part = others.find(|other| !next.lies_on(other) && !next.lies_apart(other));
    if let Some(other) = in_part {
        let what = format!(
            "sides {:?} and {:?} of the two products have part of their ground in common",
            other.name, next.name
        );
        let remedy = "give them the same width and offset, or ground of their own".to_owned();
        return Err(section.complain(Trouble::OutOfRange, what, remedy));
    }
    Ok(())
}

/// Reads one side.
fn side(section: &Section<'_>) -> Result<Side, InputError> {
    let pulses = section.need("encoder_pulses")?.whole(ENCODER_PULSES)?;
    let channels = section.find("encoder_channels")?.map(|entry| entry.whole(1..=2)).transpose()?;
    Ok(Side {
        name: section.need("name")?.text()?.to_owned(),
        product: product(section)?.unwrap_or(0),
        outlets: section.find("outlets")?.map_or(Ok(1), |entry| entry.whole(OUTLETS)).map(count)?,
        width_m: section.quantity("width", WIDTH)?,
        offset_m: section.quantity_or("offset", OFFSET, 0.0)?,
        encoder_pulses_per_turn: count(pulses),
        told: None,
        two_channel: channels == Some(2),
    })
}

fn count(number: u64) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

/// Reads `product`: 0 or 1, written 1 or 2.
pub(super) fn product(section: &Section<'_>) -> Result<Option<usize>, InputError> {
    let number = section.find("product")?.map(|entry| entry.whole(1..=2)).transpose()?;
    Ok(number.map(|number| usize::from(number == 2)))
}
