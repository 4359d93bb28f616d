//! Reads what happens during a run: acts, curves, disturbances.

use super::entry::Entry;
use super::section::Section;
use super::seed_lot::SEEDING_RATE;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{Act, Disturbance, Event, Turn};
use crate::unit::{LENGTH, RATIO, SHAFT_SPEED, TIME};

/// Keys of `[[act]]`.
const ACT_KEYS: [&str; 6] = ["at", "implement", "master", "side", "switch", "rate"];
/// Keys of `[[turn]]`.
const TURN_KEYS: [&str; 3] = ["at", "to", "radius"];
/// Keys of `[[disturb]]`.
const DISTURB_KEYS: [&str; 5] = ["at", "for", "edge", "gain", "limit"];

const RADIUS: Wanted = Wanted::new(&LENGTH, 3.0, 10_000.0);
const LENGTH_OF_TIME: Wanted = Wanted::new(&TIME, 0.01, 86_400.0);
const EDGE: Wanted = Wanted::new(&TIME, 0.0, 86_400.0);
const GAIN: Wanted = Wanted::new(&RATIO, 0.05, 5.0);
const LIMIT: Wanted = Wanted::new(&SHAFT_SPEED, 0.0, 10.0);

/// Reads the acts, in order of time; `end_s` is the profile's end, `sides` the drill's sides.
pub(super) fn acts(root: &Section<'_>, end_s: f64, sides: usize) -> Result<Vec<Event>, InputError> {
    let read = |section: &Section<'_>| {
        Ok(Event { at_s: instant(section, end_s)?, act: act(section, sides)? })
    };
    let sections = root.children("act", &ACT_KEYS)?;
    let mut events = sections.iter().map(read).collect::<Result<Vec<_>, InputError>>()?;
    events.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    Ok(events)
}

/// Reads the curves, in order of time.
pub(super) fn turns(root: &Section<'_>, end_s: f64) -> Result<Vec<Turn>, InputError> {
    let read = |section: &Section<'_>| {
        let hands = [("left", 1.0), ("right", -1.0), ("straight", 0.0)];
        let hand: f64 = section.need("to")?.choice(&hands)?;
        let curvature_per_m = match (hand.abs() > 0.0, section.find("radius")?) {
            (true, Some(radius)) => hand / radius.quantity(RADIUS)?,
            (true, None) => return Err(section.missing("radius")),
            (false, None) => 0.0,
            (false, Some(radius)) => {
                let what = "a straight path has no radius".to_owned();
                return Err(radius.complain(Trouble::WrongForm, what, "drop the line".to_owned()));
            }
        };
        Ok(Turn { at_s: instant(section, end_s)?, curvature_per_m })
    };
    let sections = root.children("turn", &TURN_KEYS)?;
    let mut turns = sections.iter().map(read).collect::<Result<Vec<_>, InputError>>()?;
    turns.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
    Ok(turns)
}

/// Reads the disturbances.
pub(super) fn disturbances(root: &Section<'_>, end_s: f64) -> Result<Vec<Disturbance>, InputError> {
    let read = |section: &Section<'_>| {
        Ok(Disturbance {
            at_s: instant(section, end_s)?,
            for_s: section.quantity("for", LENGTH_OF_TIME)?,
            edge_s: section.quantity_or("edge", EDGE, 0.0)?,
            gain: section.quantity_or("gain", GAIN, 1.0)?,
            limit_turns_per_s: section.quantity_or("limit", LIMIT, f64::INFINITY)?,
        })
    };
    root.children("disturb", &DISTURB_KEYS)?.iter().map(read).collect()
}

/// Reads `at`: within the run.
fn instant(section: &Section<'_>, end_s: f64) -> Result<f64, InputError> {
    section.quantity("at", Wanted::new(&TIME, 0.0, end_s))
}

/// Reads the one act of a section.
fn act(section: &Section<'_>, sides: usize) -> Result<Act, InputError> {
    let keys = ["implement", "master", "side", "rate"];
    let found = keys.iter().map(|key| section.find(key)).collect::<Result<Vec<_>, _>>()?;
    let mut found = found.into_iter().flatten();
    let Some(entry) = found.next() else {
        return Err(section.missing("implement, master, side or rate"));
    };
    if let Some(second) = found.next() {
        let what = format!("{} and {} are two acts", entry.key, second.key);
        let remedy = "write one [[act]] for each".to_owned();
        return Err(second.complain(Trouble::WrongForm, what, remedy));
    }
    if let (Some(switch), true) = (section.find("switch")?, entry.key != "side") {
        let what = "switch belongs to a side".to_owned();
        return Err(switch.complain(Trouble::WrongForm, what, "add side = 1".to_owned()));
    }
    one_act(section, &entry, sides)
}

/// Reads the act that `entry` names.
fn one_act(section: &Section<'_>, entry: &Entry<'_>, sides: usize) -> Result<Act, InputError> {
    let switch = [("on", true), ("off", false)];
    Ok(match entry.key {
        "implement" => Act::Lower(entry.choice(&[("lowered", true), ("lifted", false)])?),
        "master" => Act::Master(entry.choice(&switch)?),
        "rate" => Act::Rate(entry.quantity(SEEDING_RATE)?),
        _ => {
            let number = entry.whole(1..=sides as u64)?;
            let index = usize::try_from(number - 1).unwrap_or(usize::MAX);
            Act::SideSwitch(index, section.need("switch")?.choice(&switch)?)
        }
    })
}
