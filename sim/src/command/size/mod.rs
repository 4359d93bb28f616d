//! `size`: whether a drive suits a drill, a seed lot and the ground speeds they are to work at.

mod oil_text;
mod options;
mod text;

pub(super) use options::SizeOptions;

use super::arguments::Shared;
use super::output::{self, Output};
use super::value::refused;
use super::{Exit, Failure, say};
use crate::report::{document_with, sizing_plot};
use crate::scenario::{Drill, SeedLot, read};
use crate::size::{Sizing, Trial, TrialError};
use std::path::Path;

/// Sizes the drive.
pub(super) fn size(options: &SizeOptions, shared: Shared) -> Result<Exit, Failure> {
    let (trial, wanted) = (options.trial()?, options.wanted()?);
    let (drill, lot) = (options.drill.as_deref(), options.seed.as_deref());
    if drill.is_none() && trial.is_empty() {
        let why = "size wants DRILL and SEED, or --width, --rate, --mass-per-turn and the drive by options; see \
                   `meterwright size --help`";
        return Err(Failure::Usage(why.to_owned()));
    }
    if let Some(plot) = &options.plot {
        output::spare(plot, &[drill, lot].into_iter().flatten().collect::<Vec<_>>())?;
        output::fresh(plot, options.replace)?;
    }
    let (drill, lot) = inputs(drill, lot, &trial)?;
    let system = shared.units.into();
    let sizing = Sizing::of(&drill, &lot, wanted, system);
    if let Some(plot) = &options.plot {
        let content = sizing_plot(&sizing, system);
        output::write(&[Output { file: plot.clone(), content }])?;
    }
    let exit = if sizing.fits { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("size", exit.code(), "size", &sizing)
    } else {
        text::text(&sizing, system, options)
    })?;
    Ok(exit)
}

/// Drill and seed lot, of files and options.
fn inputs(
    drill: Option<&Path>,
    lot: Option<&Path>,
    trial: &Trial,
) -> Result<(Drill, SeedLot), Failure> {
    let (drill, lot) =
        match (drill.map(read::drill).transpose(), lot.map(read::seed_lot).transpose()) {
            (Ok(drill), Ok(lot)) => (drill, lot),
            (drill, lot) => {
                return Err(Failure::Input(drill.err().into_iter().chain(lot.err()).collect()));
            }
        };
    match (trial.drill(drill), trial.lot(lot)) {
        (Ok(drill), Ok(lot)) => Ok((drill, lot)),
        (Err(TrialError::Lacking(mut first)), Err(TrialError::Lacking(second))) => {
            first.extend(second);
            Err(unusable(TrialError::Lacking(first)))
        }
        (Err(why), _) | (_, Err(why)) => Err(unusable(why)),
    }
}

/// Why options make no drill, in words.
fn unusable(why: TrialError) -> Failure {
    match why {
        TrialError::Lacking(options) => Failure::Usage(format!(
            "what is given needs {} as well, or files that have them: meterwright size DRILL SEED",
            options.join(", ")
        )),
        TrialError::SeveralSides(count) => refused(
            "--width",
            format!("the drill has {count} sides"),
            "change their widths in the drill file",
        ),
        TrialError::Contradiction(what, remedy) => refused("the oil side", what, remedy),
    }
}
