//! Reads what is fitted beyond the first speed source.

use super::points::{points, rising};
use super::section::Section;
use super::source;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{BusGroup, Fitted, Line, LineInput, Lines, Silence, Slip, Source, YawFrom};
use crate::unit::{FREQUENCY, LENGTH, RATIO, SPEED, TIME};

/// Keys of `[slip]`.
const SLIP_KEYS: [&str; 2] = ["corrected", "points"];
/// Keys of `[lines]`.
const LINES_KEYS: [&str; 3] = ["rate", "latency", "noise"];
/// Keys of `[[line]]`.
const LINE_KEYS: [&str; 2] = ["at", "beyond"];
/// Keys of `[[silence]]`.
const SILENCE_KEYS: [&str; 3] = ["source", "at", "for"];

const INSTANT: Wanted = Wanted::new(&TIME, 0.0, 86_400.0);
const SLIP: Wanted = Wanted::new(&RATIO, -0.5, 0.9);
const RATE: Wanted = Wanted::new(&FREQUENCY, 0.5, 50.0);
const LATENCY: Wanted = Wanted::new(&TIME, 0.0, 1.0);
const NOISE: Wanted = Wanted::new(&LENGTH, 0.0, 5.0);
const TRAVEL: Wanted = Wanted::new(&LENGTH, 0.0, 100_000.0);
const FOR: Wanted = Wanted::new(&TIME, 0.01, 86_400.0);
const BY_HAND: Wanted = Wanted::new(&SPEED, 0.05, 15.0);

/// Reads what is fitted; `first` is the first speed source.
pub(super) fn fitted(root: &Section<'_>, first: &Source) -> Result<Fitted, InputError> {
    let also = also(root, first)?;
    let yaw = [("gyro", YawFrom::Gyro), ("course", YawFrom::Course), ("none", YawFrom::None)];
    let known = [("known", true), ("unknown", false)];
    let sources = 1 + also.len() as u64;
    let every: Vec<&Source> = core::iter::once(first).chain(&also).collect();
    let receiver = every.iter().any(|source| matches!(source, Source::Gnss(_)));
    let yaw_entry = root.find("yaw")?;
    let yaw = yaw_entry.as_ref().map_or(Ok(YawFrom::Gyro), |entry| entry.choice(&yaw))?;
    if let (Some(entry), YawFrom::Course, false) = (yaw_entry, yaw, receiver) {
        let what = "the course comes from a receiver, and there is none".to_owned();
        let remedy = "add [[also]] with kind = \"gnss\", or write \"gyro\" or \"none\"".to_owned();
        return Err(entry.complain(Trouble::WrongForm, what, remedy));
    }
    Ok(Fitted {
        slip: slip(root, &every)?,
        yaw,
        direction_known: root.find("direction")?.map_or(Ok(false), |entry| entry.choice(&known))?,
        lines: lines(root)?,
        silences: silences(root, sources)?,
        by_hand_mps: root
            .find("speed_by_hand")?
            .map(|entry| entry.quantity(BY_HAND))
            .transpose()?,
        also,
    })
}

/// Further sources: each kind once.
fn also(root: &Section<'_>, first: &Source) -> Result<Vec<Source>, InputError> {
    let mut all = vec![first.clone()];
    for section in root.children("also", &source::KEYS)? {
        let kind = section.need("kind")?;
        let next = source::source(Some(section))?;
        if all.iter().any(|other| other.kind() == next.kind()) {
            let what = format!("{} is a source already", next.kind());
            let remedy = "each kind of source is there once".to_owned();
            return Err(kind.complain(Trouble::WrongForm, what, remedy));
        }
        if all.len() == 4 {
            let what = "a fifth speed source".to_owned();
            return Err(kind.complain(Trouble::OutOfRange, what, "1 to 4 work".to_owned()));
        }
        all.push(next);
    }
    all.remove(0);
    Ok(all)
}

fn slip(root: &Section<'_>, sources: &[&Source]) -> Result<Slip, InputError> {
    let Some(section) = root.child("slip", &SLIP_KEYS)? else { return Ok(Slip::default()) };
    let list = section.find("points")?;
    let list = list.map_or_else(
        || Ok(Vec::new()),
        |entry| {
            let list = points(&entry, [INSTANT, SLIP], 1..=1000)?;
            rising(&list, "time", |point| point.x)?;
            Ok(list.iter().map(super::points::Point::pair).collect())
        },
    )?;
    let entry = section.find("corrected")?;
    let corrected = entry.as_ref().map_or(Ok(false), super::entry::Entry::flag)?;
    let over_ground = |source: &&Source| match source {
        Source::Gnss(_) => true,
        Source::Bus(bus) => bus.group == BusGroup::Ground,
        Source::Pulses => false,
    };
    let pulses = sources.iter().any(|source| matches!(source, Source::Pulses));
    if let (Some(entry), true, false) =
        (entry, corrected, pulses && sources.iter().any(over_ground))
    {
        let what = "slip is corrected by a source over ground beside pulses".to_owned();
        let remedy =
            "have one source of kind = \"pulses\" and one \"gnss\" or \"bus-ground\"".to_owned();
        return Err(entry.complain(Trouble::WrongForm, what, remedy));
    }
    Ok(Slip { corrected, points: list })
}

fn lines(root: &Section<'_>) -> Result<Lines, InputError> {
    let input = root.child("lines", &LINES_KEYS)?.map(|section| {
        Ok(LineInput {
            interval_s: 1.0 / section.quantity("rate", RATE)?,
            latency_s: section.quantity_or("latency", LATENCY, 0.0)?,
            noise_m: section.quantity_or("noise", NOISE, 0.0)?,
        })
    });
    let beyond = [("sow", true), ("rest", false)];
    let mut lines: Vec<Line> = Vec::new();
    for section in root.children("line", &LINE_KEYS)? {
        let at = section.need("at")?;
        let at_m = at.quantity(TRAVEL)?;
        if lines.last().is_some_and(|before| before.at_m >= at_m) {
            let what = format!("{} is not beyond the line before", at.shown());
            let remedy = "write the lines in order of travel".to_owned();
            return Err(at.complain(Trouble::OutOfRange, what, remedy));
        }
        lines.push(Line { at_m, sow_beyond: section.need("beyond")?.choice(&beyond)? });
    }
    Ok(Lines { input: input.transpose()?, lines })
}

fn silences(root: &Section<'_>, sources: u64) -> Result<Vec<Silence>, InputError> {
    let read = |section: &Section<'_>| {
        let number = section.need("source")?.whole(1..=sources)?;
        Ok(Silence {
            source: usize::try_from(number - 1).unwrap_or(0),
            at_s: section.quantity("at", INSTANT)?,
            for_s: section.quantity("for", FOR)?,
        })
    };
    root.children("silence", &SILENCE_KEYS)?.iter().map(read).collect()
}
