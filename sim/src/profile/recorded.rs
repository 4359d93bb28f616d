//! Reads a recorded speed, whatever recorded it: the ending of the file's name tells.
//!
//! | ending | what it is |
//! |---|---|
//! | `.log`, `.candump` | a tractor's bus, [candump text](super::candump) |
//! | `.nmea` | a receiver, [NMEA 0183](super::nmea) |
//! | any other | a track (`super::track`) in CSV |

use super::{Profile, candump, nmea, track};
use crate::input::InputError;
use std::path::Path;

/// Reads the file at `path`.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row, the offending text and what would be right.
pub fn read(path: &Path) -> Result<Profile, InputError> {
    let ending = path.extension().map(|it| it.to_string_lossy().to_lowercase());
    match ending.as_deref() {
        Some("log" | "candump") => candump::read(path),
        Some("nmea") => nmea::read(path),
        _ => track::read(path),
    }
}
