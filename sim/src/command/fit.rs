//! `fit`: measures the built drive from a recorded step log.

use super::arguments::Shared;
use super::{Exit, Failure, say};
use crate::fit::{self, Fit};
use crate::report::document;
use clap::Args;
use std::path::PathBuf;

/// Options of `fit`.
#[derive(Debug, Args)]
pub(super) struct FitOptions {
    /// The step log (CSV, columns as in docs/schema.md).
    #[arg(value_name = "STEPLOG")]
    step_log: PathBuf,
    /// Edges of the encoder per turn of the meter shaft; those named in the log if none are named.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=4096))]
    pulses_per_turn: Option<u32>,
}

/// Fits the drive.
pub(super) fn fit(options: &FitOptions, shared: Shared) -> Result<Exit, Failure> {
    let log = fit::read(&options.step_log, options.pulses_per_turn)?;
    let unfit = |why| Failure::Unfit { file: options.step_log.clone(), why };
    let fit = fit::fit(&log).map_err(unfit)?;
    say::say(&if shared.json { document("fit", "fit", &fit) } else { text(&fit) })?;
    Ok(Exit::Pass)
}

/// The fit in words, as a drill file has it, and what to do with it.
fn text(fit: &Fit) -> String {
    let next = if fit.is_sure() {
        "Next: put these lines in your drill file in place of its [drive], then verify it."
    } else {
        "Next: record the steps again, with longer holds or an encoder of more pulses per turn."
    };
    format!("{fit}\n{}\n{next}\n", fit.to_toml())
}
