//! Reads what happens during a run: acts, curves, disturbances.

use super::drill::product;
use super::entry::Entry;
use super::section::Section;
use super::seed_lot::SEEDING_RATE;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{Act, Disturbance, Drill, Event, Opened, Turn};
use crate::unit::{LENGTH, RATIO, SHAFT_SPEED, TIME};

/// Keys of `[[act]]`.
const ACT_KEYS: [&str; 9] =
    ["at", "implement", "master", "side", "switch", "rate", "product", "outlets", "shut"];
/// Keys of `[[turn]]`.
const TURN_KEYS: [&str; 3] = ["at", "to", "radius"];
/// Keys of `[[disturb]]`.
const DISTURB_KEYS: [&str; 5] = ["at", "for", "edge", "gain", "limit"];

const RADIUS: Wanted = Wanted::new(&LENGTH, 3.0, 10_000.0);
const LENGTH_OF_TIME: Wanted = Wanted::new(&TIME, 0.01, 86_400.0);
const EDGE: Wanted = Wanted::new(&TIME, 0.0, 86_400.0);
const GAIN: Wanted = Wanted::new(&RATIO, 0.05, 5.0);
const LIMIT: Wanted = Wanted::new(&SHAFT_SPEED, 0.0, 10.0);

/// Reads the acts, in order of time; `end_s` is the profile's end.
pub(super) fn acts(
    root: &Section<'_>,
    end_s: f64,
    drill: &Drill,
) -> Result<Vec<Event>, InputError> {
    let read = |section: &Section<'_>| {
        let act = act(section, drill)?;
        if matches!(act, Act::Outlets(_, opened) if opened.narrows) && root.has("field") {
            let what = "the survey of a field does not know at which edge outlets are shut";
            let remedy = "write shut = \"inside\", or [speed] instead of [field]".to_owned();
            let shut = section.need("shut")?;
            return Err(shut.complain(Trouble::WrongForm, what.to_owned(), remedy));
        }
        Ok(Event { at_s: instant(section, end_s)?, act })
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
fn act(section: &Section<'_>, drill: &Drill) -> Result<Act, InputError> {
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
    for (key, of, add) in [
        ("switch", "side", "side = 1"),
        ("outlets", "side", "side = 1"),
        ("shut", "side", "side = 1"),
        ("product", "rate", "rate = \"110 kg/ha\""),
    ] {
        if let (Some(alone), true) = (section.find(key)?, entry.key != of) {
            let what = format!("{key} belongs to a {of}");
            return Err(alone.complain(Trouble::WrongForm, what, format!("add {add}")));
        }
    }
    one_act(section, &entry, drill)
}

/// Reads the act that `entry` names.
fn one_act(section: &Section<'_>, entry: &Entry<'_>, drill: &Drill) -> Result<Act, InputError> {
    let switch = [("on", true), ("off", false)];
    Ok(match entry.key {
        "implement" => Act::Lower(entry.choice(&[("lowered", true), ("lifted", false)])?),
        "master" => Act::Master(entry.choice(&switch)?),
        "rate" => {
            let kg_per_ha = entry.quantity(SEEDING_RATE)?;
            Act::Rate { product: rated(section, drill)?, kg_per_ha }
        }
        _ => {
            let number = entry.whole(1..=drill.sides.len() as u64)?;
            let index = usize::try_from(number - 1).unwrap_or(usize::MAX);
            match (section.find("outlets")?, section.find("switch")?) {
                (None, None) => return Err(section.missing("switch or outlets")),
                (None, Some(state)) => Act::SideSwitch(index, state.choice(&switch)?),
                (Some(open), None) => Act::Outlets(index, opened(section, &open, drill, index)?),
                (Some(open), Some(_)) => {
                    let what = "outlets and switch are two acts".to_owned();
                    let remedy = "write one [[act]] for each".to_owned();
                    return Err(open.complain(Trouble::WrongForm, what, remedy));
                }
            }
        }
    })
}

/// Reads the product whose rate is set: the first where none is named.
fn rated(section: &Section<'_>, drill: &Drill) -> Result<usize, InputError> {
    let product = product(section)?.unwrap_or(0);
    if product >= drill.products() {
        let what = "no side of the drill meters product 2".to_owned();
        let remedy = "drop the line, or write product = 2 under a [[side]]".to_owned();
        return Err(section.need("product")?.complain(Trouble::OutOfRange, what, remedy));
    }
    Ok(product)
}

/// Reads how many outlets of a side are open, and where the others are.
fn opened(
    section: &Section<'_>,
    entry: &Entry<'_>,
    drill: &Drill,
    index: usize,
) -> Result<Opened, InputError> {
    let of = drill.sides.get(index).map_or(1, |side| side.outlets);
    let open = u32::try_from(entry.whole(1..=u64::from(of))?).unwrap_or(u32::MAX);
    let shut = section.find("shut")?;
    let narrows = match (open < of, &shut) {
        (true, Some(shut)) => shut.choice(&[("inside", false), ("edge", true)])?,
        (true, None) => return Err(section.missing("shut (\"inside\" or \"edge\")")),
        (false, None) => false,
        (false, Some(shut)) => {
            let what = format!("all {of} outlets are open and none is shut");
            return Err(shut.complain(Trouble::WrongForm, what, "drop the line".to_owned()));
        }
    };
    Ok(Opened { open, of, narrows })
}
