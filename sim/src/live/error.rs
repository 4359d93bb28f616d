//! Why the live bench came to no result.

use std::io;
use thiserror::Error;

/// Why the live bench came to no result. Completes “failed to use the board at PORT: ”.
#[derive(Debug, Error)]
pub enum LiveError {
    /// The port cannot be opened.
    #[error(
        "the port cannot be opened: {0}; name the board's serial device, or tcp:HOST:PORT of an emulated board"
    )]
    Port(io::Error),
    /// The port broke.
    #[error("the line broke: {0}; look at plug and cable, and start again")]
    Line(io::Error),
    /// Nobody answered a hello.
    #[error(
        "nobody answers at {baud} bit/s{}; it wants a board with a live build (docs/live.md), its serial pins crossed, \
         and no other program on the port", heard(.garbage)
    )]
    Nobody {
        /// Bit rate that was set.
        baud: u32,
        /// Pieces that were no frames.
        garbage: u32,
    },
    /// It speaks another version.
    #[error("it speaks version {0} of the live bench, and this program {ours}; build the live image and this program from the same sources", ours = live_link::VERSION)]
    Version(u32),
    /// It has no settings in force.
    #[error(
        "no settings are in force there; write an image (meterwright settings --scenario {scenario} -o FILE) and load it \
         (docs/live.md)"
    )]
    NoSettings {
        /// The scenario that wants them.
        scenario: String,
    },
    /// It has other settings.
    #[error(
        "it has the settings {have}, and {scenario} wants {want}; write that image (meterwright settings --scenario \
         {scenario} -o FILE) and load it (docs/live.md)"
    )]
    OtherSettings {
        /// Its fingerprint.
        have: String,
        /// The fingerprint that is wanted.
        want: String,
        /// The scenario that wants it.
        scenario: String,
    },
    /// It stopped answering.
    #[error("it stopped answering after {ticks} ticks{}; look at plug, cable and power, and start again", heard(.garbage))]
    Silent {
        /// Ticks that were answered.
        ticks: u64,
        /// Pieces that were no frames.
        garbage: u32,
    },
    /// It lost the run.
    #[error(
        "it lost the run after {ticks} ticks: {why}; it has started anew, or another program speaks on the port"
    )]
    Lost {
        /// Ticks that were answered.
        ticks: u64,
        /// What it says.
        why: String,
    },
}

/// What came instead of an answer.
fn heard(garbage: &u32) -> String {
    match garbage {
        0 => String::new(),
        1 => " (one piece of something else came)".to_owned(),
        more => format!(" ({more} pieces of something else came)"),
    }
}
