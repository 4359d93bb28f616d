//! Reads a drive: kind of valve, valve map, lag, dead time.

use super::points::{points, rising};
use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::{Drive, Motor};
use crate::unit::{RATIO, SHAFT_SPEED, TIME};

/// Keys of a drive.
pub(super) const KEYS: [&str; 7] = ["kind", "map", "lag", "dead_time", "stroke", "play", "coast"];

/// Command of a map point.
const COMMAND: Wanted = Wanted::new(&RATIO, 0.0, 1.0);
/// Opening command: some command must be left above it.
pub(crate) const OPENING: Wanted = Wanted::new(&RATIO, 0.0, 0.9);
/// Shaft speed of a map point.
const SHAFT: Wanted = Wanted::new(&SHAFT_SPEED, 0.0, 10.0);
/// Lag τ1.
pub(crate) const LAG: Wanted = Wanted::new(&TIME, 0.01, 2.0);
/// Dead time θ.
pub(crate) const DEAD_TIME: Wanted = Wanted::new(&TIME, 0.001, 1.0);

/// Full travel of a motorised valve.
pub(crate) const STROKE: Wanted = Wanted::new(&TIME, 0.5, 20.0);
/// Play of a motorised valve.
pub(crate) const PLAY: Wanted = Wanted::new(&TIME, 0.0, 0.5);
/// Run-up and coasting of its motor.
const COAST: Wanted = Wanted::new(&TIME, 0.0, 0.2);
/// Dead time of a drive with a motorised valve.
const SHORT_DEAD_TIME: Wanted = Wanted::new(&TIME, 0.001, 0.3);

/// Reads a drive of which everything must be named.
pub(super) fn drive(section: &Section<'_>) -> Result<Drive, InputError> {
    let kinds = [("proportional", false), ("motorised", true)];
    let kind = section.find("kind")?.map(|entry| entry.choice(&kinds)).transpose()?;
    let motor = match kind {
        Some(true) => Some(Motor {
            stroke_s: section.quantity("stroke", STROKE)?,
            play_s: section.quantity_or("play", PLAY, 0.0)?,
            coast_s: section.quantity_or("coast", COAST, 0.0)?,
        }),
        Some(false) | None => unmotorised(section)?,
    };
    let dead_time = if motor.is_some() { SHORT_DEAD_TIME } else { DEAD_TIME };
    Ok(Drive {
        map: map(section)?.ok_or_else(|| section.missing("map"))?,
        lag_s: section.quantity("lag", LAG)?,
        dead_time_s: section.quantity("dead_time", dead_time)?,
        motor,
    })
}

/// A proportional valve has no motor to speak of.
fn unmotorised(section: &Section<'_>) -> Result<Option<Motor>, InputError> {
    let named = ["stroke", "play", "coast"].into_iter().find(|key| section.has(key));
    named.map_or(Ok(None), |key| {
        let what = format!("{key} is that of a motorised valve");
        let remedy = "write kind = \"motorised\" in [drive], or leave it out".to_owned();
        Err(section.complain(Trouble::UnknownKey, what, remedy))
    })
}

/// Reads a drive that is `base` where nothing is named.
pub(super) fn drive_over(section: &Section<'_>, base: Drive) -> Result<Drive, InputError> {
    let motor = match base.motor {
        Some(motor) => Some(Motor {
            stroke_s: section.quantity_or("stroke", STROKE, motor.stroke_s)?,
            play_s: section.quantity_or("play", PLAY, motor.play_s)?,
            coast_s: section.quantity_or("coast", COAST, motor.coast_s)?,
        }),
        None => unmotorised(section)?,
    };
    Ok(Drive {
        motor,
        lag_s: section.quantity_or("lag", LAG, base.lag_s)?,
        dead_time_s: section.quantity_or("dead_time", DEAD_TIME, base.dead_time_s)?,
        map: map(section)?.unwrap_or(base.map),
    })
}

/// Reads the valve map: from the opening command at rest to full command, both rising.
fn map(section: &Section<'_>) -> Result<Option<Vec<(f64, f64)>>, InputError> {
    let Some(entry) = section.find("map")? else { return Ok(None) };
    let points = points(&entry, [COMMAND, SHAFT], 2..=12)?;
    rising(&points, "command", |point| point.x)?;
    rising(&points, "shaft speed", |point| point.y)?;
    let (first, last) = (&points[0], &points[points.len() - 1]);
    if first.y > 0.0 {
        let remedy = "begin the map with the opening command at \"0 turns/s\"";
        return Err(first.refuse("is not at rest", remedy));
    }
    if last.x < 1.0 {
        return Err(last.refuse("is not full command", "end the map at command 1.0"));
    }
    if !OPENING.holds(first.x) {
        let remedy = format!("the opening command works from {}", OPENING.range_in(None));
        return Err(first.refuse("leaves too little command above it", &remedy));
    }
    Ok(Some(points.iter().map(super::points::Point::pair).collect()))
}
