//! From the frames of a bus to the speed that the tractor drove.

use super::words::{GROUPS, course_deg, in_work, opened, speed_mps};
use super::{Logged, frames};
use crate::input::{InputError, InputFile, Trouble};
use crate::profile::{Piece, Profile, Sample};
use std::collections::BTreeMap;
use std::path::Path;

/// A longer gap splits the track, s.
const GAP_S: f64 = 5.0;
/// A piece must have more samples than this.
const FEW_SAMPLES: usize = 30;
/// Nothing that sows is faster, m/s.
const FASTEST_MPS: f64 = 40.0;
/// A course is known for so long, s.
const COURSE_HOLDS_S: f64 = 1.0;

/// Where a speed comes from: place of its group among [`GROUPS`], bus, sender.
type Stream<'a> = (usize, &'a str, u8);

/// Reads the speed from the bus log at `path`; its first frame is the instant 0.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn read(path: &Path) -> Result<Profile, InputError> {
    let file = InputFile::read(path)?;
    let frames = frames(&file)?;
    let streams = streams(&file, &frames)?;
    let mut ranked: Vec<(&Stream<'_>, &Vec<Sample>)> = streams.iter().collect();
    ranked.sort_by_key(|((rank, ..), samples)| (*rank, usize::MAX - samples.len()));
    let profiles = ranked.into_iter().map(|(_, samples)| split(samples));
    profiles.into_iter().find(|profile| !profile.pieces.is_empty()).ok_or_else(|| {
        let what = "no speed in it goes on for more than 30 samples without a gap above 5 s";
        let groups = GROUPS.map(|group| group.to_string()).join(", ");
        let remedy = format!("a recording of a bus with one of the groups {groups}");
        file.complain(file.text().len(), Trouble::BadRow, what.to_owned(), remedy)
    })
}

/// The samples of every group and sender.
fn streams<'a>(
    file: &InputFile,
    frames: &'a [Logged],
) -> Result<BTreeMap<Stream<'a>, Vec<Sample>>, InputError> {
    let start_s = frames.first().map_or(0.0, |first| first.t_s);
    let hitch = hitch(frames);
    let (mut working, mut course) = (None, None);
    let mut streams: BTreeMap<Stream<'a>, Vec<Sample>> = BTreeMap::new();
    for logged in frames {
        let Some((group, sender, bytes)) = opened(&logged.frame) else { continue };
        let t_s = logged.t_s - start_s;
        working = in_work(hitch, group, bytes).or(working);
        course = course_deg(group, bytes).map(|deg| (deg, t_s)).or(course);
        let Some(rank) = GROUPS.iter().position(|it| *it == group) else { continue };
        let Some(speed_mps) = speed_mps(group, bytes) else { continue };
        if speed_mps.abs() > FASTEST_MPS {
            let what = format!("a speed of {speed_mps:.3} m/s is out of range");
            let remedy = format!("at most {FASTEST_MPS} m/s");
            return Err(file.complain(logged.at, Trouble::BadRow, what, remedy));
        }
        let fresh = course.filter(|(_, at_s)| t_s - at_s <= COURSE_HOLDS_S);
        let heading_deg = fresh.map(|(deg, _)| deg);
        let sample = Sample { t_s, speed_mps, in_work: working, heading_deg };
        let samples = streams.entry((rank, &logged.bus, sender)).or_default();
        if samples.last().is_none_or(|last| last.t_s < t_s) {
            samples.push(sample);
        }
    }
    Ok(streams)
}

/// The hitch that tells: the rear one where it says anything at all.
fn hitch(frames: &[Logged]) -> u32 {
    let tells = |hitch: u32| {
        let mut opened = frames.iter().filter_map(|logged| opened(&logged.frame));
        opened.any(|(group, _, bytes)| in_work(hitch, group, bytes).is_some())
    };
    if tells(65_093) { 65_093 } else { 65_094 }
}

/// The pieces between the gaps.
fn split(samples: &[Sample]) -> Profile {
    let pieces = samples.chunk_by(|one, next| next.t_s - one.t_s <= GAP_S);
    let pieces = pieces.filter(|piece| piece.len() > FEW_SAMPLES);
    Profile { pieces: pieces.map(|piece| Piece { samples: piece.to_vec() }).collect() }
}
