//! Why a command came to no result.

use super::{Exit, ValueError};
use crate::carry::CarryError;
use crate::fit::FitError;
use crate::input::InputError;
use crate::live::LiveError;
use crate::report::Complaint;
use controller::SettingsError;
use std::io;
use std::path::PathBuf;
use thiserror::Error;

/// Why a command came to no result; each has its exit code.
#[derive(Debug, Error)]
pub enum Failure {
    /// The command line asks for what makes no sense.
    #[error("{0}")]
    Usage(String),
    /// A place that was named for output cannot be written.
    #[error("failed to prepare {}: {why}; name a place that can be written", place.display())]
    Target {
        /// The place.
        place: PathBuf,
        /// What the system says.
        why: String,
    },
    /// Input files are wrong.
    #[error("{}", lines(.0))]
    Input(Vec<InputError>),
    /// A value of an option cannot be used.
    #[error("{0}")]
    Value(ValueError),
    /// The controller refuses the settings that a scenario gives it.
    #[error("failed to use {}: the controller refuses its settings: {why}", file.display())]
    Refused {
        /// The scenario's file.
        file: PathBuf,
        /// The rule that is broken.
        why: SettingsError,
    },
    /// The controller refuses the settings of a case that a sweep drew.
    #[error(
        "failed to use {}: in case {case} the controller refuses its settings: {why}; narrow the ranges",
        file.display()
    )]
    Drawn {
        /// The ranges file.
        file: PathBuf,
        /// The case, from 1.
        case: u32,
        /// The rule that is broken.
        why: SettingsError,
    },
    /// Settings that cannot be carried, or an image that is not taken.
    #[error("failed to use {}: {why}", file.display())]
    Carried {
        /// The image's or the settings' file.
        file: PathBuf,
        /// Why not.
        why: CarryError,
    },
    /// A board on the live bench.
    #[error("failed to use the board at {port}: {why}")]
    Live {
        /// Its port.
        port: String,
        /// What is wrong.
        why: LiveError,
    },
    /// A step log does not show the drive.
    #[error("failed to fit the drive of {}: {why}", file.display())]
    Unfit {
        /// The step log.
        file: PathBuf,
        /// What it lacks.
        why: FitError,
    },
    /// Output could not be written after all.
    #[error("failed to write {}: {why}", place.display())]
    Write {
        /// Where to.
        place: PathBuf,
        /// What the system says.
        why: io::Error,
    },
}

impl From<InputError> for Failure {
    fn from(error: InputError) -> Self {
        Self::Input(vec![error])
    }
}

impl Failure {
    /// Its exit code.
    pub const fn exit(&self) -> Exit {
        match self {
            Self::Usage(_) | Self::Target { .. } => Exit::Usage,
            Self::Input(_)
            | Self::Value(_)
            | Self::Carried { .. }
            | Self::Refused { .. }
            | Self::Drawn { .. }
            | Self::Unfit { .. } => Exit::Input,
            Self::Live { why, .. } => why.exit(),
            Self::Write { .. } => Exit::Broken,
        }
    }

    /// The same for a program to read.
    pub fn complaints(&self) -> Vec<Complaint> {
        let message = self.to_string();
        match self {
            Self::Input(errors) => errors.iter().map(complaint).collect(),
            Self::Value(error) => vec![Complaint {
                message,
                what: Some(error.what.clone()),
                remedy: Some(error.remedy.clone()),
                ..Complaint::default()
            }],
            Self::Usage(_) | Self::Live { .. } => {
                vec![Complaint { message, ..Complaint::default() }]
            }
            Self::Refused { file: place, .. }
            | Self::Drawn { file: place, .. }
            | Self::Unfit { file: place, .. }
            | Self::Carried { file: place, .. }
            | Self::Target { place, .. }
            | Self::Write { place, .. } => {
                let file = Some(place.display().to_string());
                vec![Complaint { message, file, ..Complaint::default() }]
            }
        }
    }
}

fn complaint(error: &InputError) -> Complaint {
    Complaint {
        message: error.to_string(),
        file: Some(error.file.display().to_string()),
        line: error.line(),
        column: error.column(),
        what: Some(error.what.clone()),
        remedy: Some(error.remedy.clone()),
    }
}

/// One complaint a line.
fn lines(errors: &[InputError]) -> String {
    let lines: Vec<String> = errors.iter().map(ToString::to_string).collect();
    lines.join("\n")
}
