//! Reads where the controller tells, disarms, or goes no further. What is not named is usual.

use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::Limits;
use crate::unit::{LENGTH, RATIO, SPEED, TIME};

/// Keys of the limits.
pub(super) const KEYS: [&str; 7] = [
    "start_speed",
    "road_speed",
    "raised_for",
    "correction_told",
    "correction_limit",
    "rate_band",
    "rate_way",
];

pub(crate) const START: Wanted = Wanted::new(&SPEED, 0.0, 3.0);
pub(crate) const ROAD: Wanted = Wanted::new(&SPEED, 0.1, 30.0);
pub(crate) const RAISED: Wanted = Wanted::new(&TIME, 30.0, 3600.0);
pub(crate) const CORRECTION: Wanted = Wanted::new(&RATIO, 0.05, 1.0);
pub(crate) const BAND: Wanted = Wanted::new(&RATIO, 0.02, 0.5);
pub(crate) const WAY: Wanted = Wanted::new(&LENGTH, 1.0, 200.0);

/// Reads the limits of a drill whose lowest sowing speed is `lowest_mps`.
pub(super) fn limits(section: &Section<'_>, lowest_mps: f64) -> Result<Limits, InputError> {
    let usual = Limits::default();
    let or = |key, wanted, usual| section.quantity_or(key, wanted, usual);
    let limits = Limits {
        start_mps: or("start_speed", START, usual.start_mps)?,
        road_mps: or("road_speed", ROAD, usual.road_mps)?,
        raised_s: or("raised_for", RAISED, usual.raised_s)?,
        correction_told: or("correction_told", CORRECTION, usual.correction_told)?,
        correction_limit: or("correction_limit", CORRECTION, usual.correction_limit)?,
        rate_band: or("rate_band", BAND, usual.rate_band)?,
        rate_way_m: or("rate_way", WAY, usual.rate_way_m)?,
    };
    let wrong = |what: &str, remedy: &str| {
        Err(section.complain(Trouble::OutOfRange, what.to_owned(), remedy.to_owned()))
    };
    if limits.start_mps > 0.0 && limits.start_mps < lowest_mps {
        return wrong("start_speed is below the lowest sowing speed", "raise it, or leave it out");
    }
    if limits.road_mps <= lowest_mps {
        return wrong("road_speed is not above the lowest sowing speed", "raise it");
    }
    if limits.correction_limit < limits.correction_told {
        return wrong("correction_limit is below correction_told", "raise it");
    }
    Ok(limits)
}
