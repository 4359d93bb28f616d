//! Reads the ground speed: a standard profile, points, or a recorded track.

use super::entry::Entry;
use super::points::{points, rising};
use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, InputFile, Trouble};
use crate::profile::{Piece, Profile, Sample, recorded, synthetic};
use crate::unit::{ACCELERATION, SPEED, TIME};

/// Keys of `[speed]`.
pub(super) const KEYS: [&str; 4] = ["profile", "acceleration", "points", "log"];

/// Instants of a run: a day at most.
const INSTANT: Wanted = Wanted::new(&TIME, 0.0, 86_400.0);
/// Negative backwards.
const GROUND_SPEED: Wanted = Wanted::new(&SPEED, -5.0, 15.0);
/// Quick enough that the ramp is down again (33 s + 2 m/s over a) before its end at 50 s.
const RAMP: Wanted = Wanted::new(&ACCELERATION, 0.125, 5.0);

/// Reads the profile.
pub(super) fn speed(section: &Section<'_>) -> Result<Profile, InputError> {
    let acceleration = section.find("acceleration")?;
    let ways = [section.find("profile")?, section.find("points")?, section.find("log")?];
    let mut ways = ways.into_iter().flatten();
    let Some(way) = ways.next() else { return Err(section.missing("profile, points or log")) };
    if let Some(second) = ways.next() {
        let what = format!("{} and {} both give the speed", way.key, second.key);
        return Err(second.complain(Trouble::WrongForm, what, "keep one of them".to_owned()));
    }
    match way.key {
        "log" => recorded::read(&referred(&way, section.file())?),
        "points" => pointed(&way),
        _ => standard(&way, section, acceleration),
    }
}

/// The file that `entry` names, which must be there.
pub(crate) fn referred(
    entry: &Entry<'_>,
    file: &InputFile,
) -> Result<std::path::PathBuf, InputError> {
    let path = file.beside(entry.text()?);
    if file.is_there(&path) {
        return Ok(path);
    }
    let (trouble, what) = if path.is_dir() {
        (Trouble::Directory, "is a directory")
    } else {
        (Trouble::MissingFile, "is not there")
    };
    let what = format!("{} {what}", entry.shown());
    let remedy =
        format!("{} wants a file beside this one; looked for {}", entry.key, path.display());
    Err(entry.complain(trouble, what, remedy))
}

/// A standard profile by name.
fn standard(
    way: &Entry<'_>,
    section: &Section<'_>,
    acceleration: Option<Entry<'_>>,
) -> Result<Profile, InputError> {
    if way.choice(&[("ramp", true), ("staircase", false)])? {
        let entry = acceleration.ok_or_else(|| section.missing("acceleration"))?;
        return Ok(synthetic::ramp(entry.quantity(RAMP)?));
    }
    acceleration.map_or_else(
        || Ok(synthetic::staircase()),
        |entry| {
            let what = "the staircase has its own acceleration".to_owned();
            Err(entry.complain(Trouble::WrongForm, what, "drop the line".to_owned()))
        },
    )
}

/// Points of instant and speed, linear between.
fn pointed(entry: &Entry<'_>) -> Result<Profile, InputError> {
    let points = points(entry, [INSTANT, GROUND_SPEED], 2..=100_000)?;
    rising(&points, "time", |point| point.x)?;
    let sample = |(t_s, speed_mps)| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
    let samples = points.iter().map(|point| sample(point.pair())).collect();
    Ok(Profile { pieces: vec![Piece { samples }] })
}
