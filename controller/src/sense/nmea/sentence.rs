//! The three sentences that are read, field by field.

use super::decimal::Decimal;
use super::utc::UtcTime;
use crate::quantity::{Course, MetresPerSecond, Position};

/// What a sentence says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Said {
    /// It has a status of its own, which holds for the whole epoch: RMC and GGA.
    pub(super) judges: bool,
    /// The time, if the sentence has one.
    pub(super) utc: Option<UtcTime>,
    pub(super) speed: Option<MetresPerSecond>,
    pub(super) course: Option<Course>,
    pub(super) position: Option<Position>,
}

/// What became of a sentence whose sum is right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Reading {
    /// It is none of the three.
    Other,
    /// It says so.
    Said(Said),
    /// An RMC or GGA says that the fix is not valid.
    NotValid,
    /// A VTG says so, of itself.
    VtgNotValid,
    /// Its fields are not where they should be.
    Layout,
}

/// Reads the text between `$` and `*`.
pub(super) fn read(text: &[u8]) -> Reading {
    let address = text.split(|byte| *byte == b',').next().unwrap_or_default();
    // Two letters of the talker and three of the sentence; `P` begins proprietary ones.
    let kind = match address {
        [b'P', ..] => return Reading::Other,
        [_, _, kind @ ..] => kind,
        _ => return Reading::Other,
    };
    match kind {
        b"RMC" => rmc(text),
        b"VTG" => vtg(text),
        b"GGA" => gga(text),
        _ => Reading::Other,
    }
}

/// A field by number; the address is number 0. None if the sentence is too short.
fn field(text: &[u8], number: usize) -> Option<&[u8]> {
    text.split(|byte| *byte == b',').nth(number)
}

/// Whether a mode letter says that the fix is valid; an empty one says nothing against it.
fn mode_is_valid(mode: Option<&[u8]>) -> bool {
    matches!(mode.unwrap_or_default(), b"" | b"A" | b"D" | b"P" | b"R" | b"F")
}

fn rmc(text: &[u8]) -> Reading {
    let Some(status) = field(text, 2) else { return Reading::Layout };
    let (Some(knots), Some(course)) = (field(text, 7), field(text, 8)) else {
        return Reading::Layout;
    };
    if status != b"A" || !mode_is_valid(field(text, 12)) {
        return Reading::NotValid;
    }
    let Ok(speed) = speed(knots, Decimal::knots) else { return Reading::Layout };
    Reading::Said(Said {
        judges: true,
        utc: field(text, 1).and_then(utc),
        speed,
        course: read_course(course),
        position: position([field(text, 3), field(text, 4), field(text, 5), field(text, 6)]),
    })
}

fn vtg(text: &[u8]) -> Reading {
    let Some(second) = field(text, 2) else { return Reading::Layout };
    let modern = second == b"T" || field(text, 8).is_some();
    let (knots, hours) = if modern { (5, 7) } else { (3, 4) };
    let Some(knots) = field(text, knots) else { return Reading::Layout };
    if !mode_is_valid(if modern { field(text, 9) } else { None }) {
        return Reading::VtgNotValid;
    }
    let hours = field(text, hours).unwrap_or_default();
    let (Ok(knots), Ok(hours)) =
        (speed(knots, Decimal::knots), speed(hours, Decimal::kilometres_per_hour))
    else {
        return Reading::Layout;
    };
    Reading::Said(Said {
        speed: knots.or(hours),
        course: field(text, 1).and_then(read_course),
        ..Said::default()
    })
}

fn gga(text: &[u8]) -> Reading {
    let Some(quality) = field(text, 6) else { return Reading::Layout };
    // 1 to 5: GNSS, differential, precise, real-time kinematic fixed and float. 6 to 8: reckoned, by hand, simulated.
    if !matches!(quality, b"1" | b"2" | b"3" | b"4" | b"5") {
        return Reading::NotValid;
    }
    Reading::Said(Said {
        judges: true,
        utc: field(text, 1).and_then(utc),
        position: position([field(text, 2), field(text, 3), field(text, 4), field(text, 5)]),
        ..Said::default()
    })
}

/// A speed, or none from an empty field. A field that is no number, or one that does not fit, is refused.
fn speed(
    field: &[u8],
    unit: fn(Decimal) -> Option<MetresPerSecond>,
) -> Result<Option<MetresPerSecond>, Reading> {
    if field.is_empty() {
        return Ok(None);
    }
    Decimal::read(field).and_then(unit).map(Some).ok_or(Reading::Layout)
}

fn read_course(field: &[u8]) -> Option<Course> {
    let millidegrees = Decimal::read(field)?.times(1_000, 1)?;
    let millidegrees = u32::try_from(millidegrees).ok().filter(|it| *it <= 360_000)?;
    Some(Course::from_millidegrees(millidegrees))
}

/// Latitude, its hemisphere, longitude, its hemisphere.
fn position(fields: [Option<&[u8]>; 4]) -> Option<Position> {
    let [Some(latitude), Some(north), Some(longitude), Some(east)] = fields else { return None };
    let latitude = signed(latitude, north, [b"N", b"S"])?;
    let longitude = signed(longitude, east, [b"E", b"W"])?;
    Position::new(latitude, longitude)
}

fn signed(field: &[u8], hemisphere: &[u8], letters: [&[u8]; 2]) -> Option<i32> {
    let value = i32::try_from(Decimal::read(field)?.degrees()?).ok()?;
    let [positive, negative] = letters;
    if hemisphere == positive {
        Some(value)
    } else {
        (hemisphere == negative).then_some(value.saturating_neg())
    }
}

/// `hhmmss.sss` in milliseconds of the day; second 60 is a leap second.
fn utc(field: &[u8]) -> Option<UtcTime> {
    let pair = |at: usize| {
        let digits = field.get(at..at.saturating_add(2))?;
        u32::try_from(Decimal::read(digits)?.times(1, 1)?).ok()
    };
    let (hours, minutes) = (pair(0)?, pair(2)?);
    let seconds = Decimal::read(field.get(4..)?)?.times(1_000, 1)?;
    let seconds = u32::try_from(seconds).ok()?;
    if hours > 23 || minutes > 59 || seconds >= 61_000 {
        return None;
    }
    let minutes = hours.saturating_mul(60).saturating_add(minutes);
    Some(UtcTime::from_millis(minutes.saturating_mul(60_000).saturating_add(seconds)))
}
