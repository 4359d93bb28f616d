//! Reads a recorded receiver: NMEA 0183 text.
//!
//! RMC gives speed (knots, 1852/3600 m/s), course and time; sentences with a wrong sum, a status V or a mode that is no
//! measurement are no samples. The time is UTC from the first sample on; midnight goes on. A gap above 5 s, or a time
//! that runs back, splits the track; pieces of 30 samples or fewer are dropped. A second RMC of the same time is passed
//! over, and so is whatever is no text.
//!
//! The text is read here on its own, in f64: the bench does not ask the controller what it means.

use super::{Piece, Profile, Sample};
use crate::input::{InputError, InputFile, Trouble};
use std::path::Path;

/// A longer gap splits the track, s.
const GAP_S: f64 = 5.0;
/// A piece must have more samples than this.
const FEW_SAMPLES: usize = 30;
/// Nothing that sows is faster, m/s.
const FASTEST_MPS: f64 = 40.0;
/// Seconds of a day.
const DAY_S: f64 = 86_400.0;

/// What a valid RMC says.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rmc {
    /// Time of day, s.
    pub utc_s: f64,
    /// Speed, m/s, if there is one.
    pub speed_mps: Option<f64>,
    /// Course, degrees clockwise from north, if there is one.
    pub course_deg: Option<f64>,
    /// Latitude and longitude, degrees, if there are.
    pub place_deg: Option<[f64; 2]>,
}

/// Reads the recording at `path`.
///
/// # Errors
///
/// [`InputError`] says that nothing in it goes on for long enough, or names the line of a speed no tractor has.
pub fn read(path: &Path) -> Result<Profile, InputError> {
    let file = InputFile::read_noisy(path)?;
    let mut samples: Vec<Sample> = Vec::new();
    let (mut start, mut at) = (None, 0);
    for line in file.text().split_inclusive('\n') {
        let here = at;
        at += line.len();
        let Some(rmc) = rmc(line) else { continue };
        let Some(speed_mps) = rmc.speed_mps else { continue };
        if speed_mps > FASTEST_MPS {
            let what = format!("a speed of {speed_mps:.1} m/s is out of range");
            let remedy = format!("at most {FASTEST_MPS} m/s");
            return Err(file.complain(here, Trouble::BadRow, what, remedy));
        }
        let since = rmc.utc_s - *start.get_or_insert(rmc.utc_s);
        let t_s = samples.last().map_or(since, |last| unwrapped(since, last.t_s));
        if samples.last().is_some_and(|last| (t_s - last.t_s).abs() < 1e-6) {
            // Another talker says the same epoch.
            continue;
        }
        samples.push(Sample { t_s, speed_mps, in_work: None, heading_deg: rmc.course_deg });
    }
    let pieces = pieces(&samples);
    if pieces.is_empty() {
        let what =
            "no 31 RMC sentences with a valid speed follow each other without a gap above 5 s";
        let remedy = "a recording of RMC sentences ($GPRMC, $GNRMC, ...)".to_owned();
        return Err(file.complain(file.text().len(), Trouble::BadRow, what.to_owned(), remedy));
    }
    Ok(Profile { pieces })
}

/// A time of day carried on across midnight: the day that brings it nearest to the last.
fn unwrapped(t_s: f64, last_s: f64) -> f64 {
    t_s + DAY_S * libm::round((last_s - t_s) / DAY_S)
}

/// The pieces between gaps and steps back.
fn pieces(samples: &[Sample]) -> Vec<Piece> {
    let pieces = samples.chunk_by(|one, next| next.t_s > one.t_s && next.t_s - one.t_s <= GAP_S);
    let pieces = pieces.filter(|piece| piece.len() > FEW_SAMPLES);
    pieces.map(|piece| Piece { samples: piece.to_vec() }).collect()
}

/// Reads a line, if it is a valid RMC.
pub fn rmc(line: &str) -> Option<Rmc> {
    let fields = fields(line)?;
    let valid = fields.get(2) == Some(&"A") && fields.get(12).is_none_or(|it| "ADPRF".contains(it));
    if !(fields[0].get(2..) == Some("RMC") && valid && fields.len() > 8) {
        return None;
    }
    Some(Rmc {
        utc_s: utc_s(fields[1])?,
        speed_mps: unsigned(fields[7]).map(|knots| knots * 1852.0 / 3600.0),
        course_deg: unsigned(fields[8]).filter(|deg| (0.0..=360.0).contains(deg)),
        place_deg: place_deg(&fields[3..7]),
    })
}

/// Reads a line, if it is a GGA with a fix: its place, degrees.
pub fn gga(line: &str) -> Option<[f64; 2]> {
    let fields = fields(line)?;
    let fix = fields.get(6).is_some_and(|it| ["1", "2", "3", "4", "5"].contains(it));
    (fields[0].get(2..) == Some("GGA") && fix).then(|| place_deg(&fields[2..6])).flatten()
}

/// The fields of a sentence whose sum is right.
fn fields(line: &str) -> Option<Vec<&str>> {
    // A sentence begins at the last `$`: what was before it is noise, or was cut off.
    let (body, sum) = line.rsplit_once('$')?.1.split_once('*')?;
    let sum = u8::from_str_radix(sum.get(..2)?, 16).ok()?;
    let right = body.bytes().fold(0, |sum, byte| sum ^ byte) == sum;
    right.then(|| body.split(',').collect())
}

/// A number of digits and at most one point: neither `nan` nor `-4` is a measurement.
fn unsigned(text: &str) -> Option<f64> {
    let digits = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    digits.then(|| text.parse().ok()).flatten()
}

/// `hhmmss.sss` in seconds of the day.
fn utc_s(text: &str) -> Option<f64> {
    let pair = |from: usize| unsigned(text.get(from..from + 2)?);
    Some(pair(0)? * 3600.0 + pair(2)? * 60.0 + unsigned(text.get(4..)?)?)
}

/// Latitude, its hemisphere, longitude, its hemisphere: `ddmm.mmmm`.
fn place_deg(fields: &[&str]) -> Option<[f64; 2]> {
    let angle = |text: &str, turned: bool| {
        let number = unsigned(text)?;
        let degrees = libm::floor(number / 100.0);
        let angle = degrees + (number - degrees * 100.0) / 60.0;
        Some(if turned { -angle } else { angle })
    };
    Some([angle(fields[0], fields[1] == "S")?, angle(fields[2], fields[3] == "W")?])
}

#[cfg(test)]
mod tests {
    use super::{Rmc, rmc, unwrapped};

    #[test]
    fn a_valid_rmc_is_read_and_a_void_one_is_not() {
        // NMEA.adoc of the gpsd project.
        let line = "$GNRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,,A,V*0B\r\n";
        let Some(Rmc { utc_s, speed_mps, course_deg, place_deg }) = rmc(line) else {
            panic!("it is valid")
        };
        assert!((utc_s - 33_303.0).abs() < 1e-9 && course_deg == Some(175.87));
        assert!(speed_mps.is_some_and(|mps| (mps - 3.374_76).abs() < 1e-5), "{speed_mps:?}");
        let place = place_deg.expect("a place");
        assert!((place[0] - 48.217_515).abs() < 1e-6 && (place[1] - 8.414_498).abs() < 1e-6);
        assert_eq!(super::unsigned("6.56"), Some(6.56));
        for wrong in ["nan", "-4.0", "inf", "1e3", "", "1.2.3"] {
            assert_eq!(super::unsigned(wrong), None, "{wrong}");
        }
        assert_eq!(rmc("$GPRMC,,V,,,,,,,,,,N*53"), None);
        assert_eq!(rmc(&line.replace("6.56", "6.57")), None, "the sum is wrong");
    }

    #[test]
    fn midnight_goes_on() {
        assert!((unwrapped(-86_390.0, 5.0) - 10.0).abs() < 1e-9);
        assert!((unwrapped(5.2, 5.0) - 5.2).abs() < 1e-9);
    }
}
