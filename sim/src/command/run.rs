//! `run`: judges one scenario and writes every tick, every soil cell and a picture.

use super::arguments::Shared;
use super::output::Output;
use super::record::{Job, record};
use super::{Exit, Failure};
use crate::field::survey::driven;
use crate::report::map;
use crate::scenario::{Scenario, read};
use clap::Args;
use std::path::PathBuf;

/// Options of `run`.
#[derive(Debug, Args)]
pub(super) struct RunOptions {
    /// The scenario file.
    #[arg(value_name = "SCENARIO")]
    scenario: PathBuf,
    /// Folder for trace.csv, cells.csv and trace.svg, with a field for field.svg as well; made if it is not
    /// there.
    #[arg(long, value_name = "DIR")]
    out: PathBuf,
    /// Which of the scenario's noise seeds is written; that of the first miss, or the first, if none
    /// is named.
    #[arg(long, value_name = "SEED")]
    noise_seed: Option<u64>,
}

/// Runs the scenario.
pub(super) fn run(options: &RunOptions, shared: Shared) -> Result<Exit, Failure> {
    let scenario = read::scenario(&options.scenario)?;
    if let Some(seed) = options.noise_seed {
        check_seed(&scenario, seed)?;
    }
    let beside = field_map(&scenario, options, shared).into_iter().collect();
    let job = Job {
        command: "run",
        file: options.scenario.clone(),
        scenario,
        out: Some(&options.out),
        noise_seed: options.noise_seed,
        beside,
    };
    record(job, shared)
}

/// The map of a field, if there is one: of the noise seed that is named, or the first.
fn field_map(scenario: &Scenario, options: &RunOptions, shared: Shared) -> Option<Output> {
    let first = scenario.noise_seeds().and_then(|seeds| seeds.first().copied());
    let survey = driven(scenario, options.noise_seed.or(first).unwrap_or(1))?;
    let bounded = scenario.field.as_ref().is_some_and(|field| field.boundary.is_some());
    let content = map(&survey, &survey.figures(bounded), &scenario.title, shared.units.into());
    Some(Output { file: options.out.join("field.svg"), content })
}

/// The verdict must have seen the run that is shown.
fn check_seed(scenario: &Scenario, seed: u64) -> Result<(), Failure> {
    match scenario.noise_seeds() {
        None => {
            Err(Failure::Usage("--noise-seed means nothing with pulses; leave it out".to_owned()))
        }
        Some(seeds) if !seeds.contains(&seed) => Err(Failure::Usage(format!(
            "--noise-seed {seed} is not among the scenario's; it has {}",
            list(seeds)
        ))),
        Some(_) => Ok(()),
    }
}

/// `1, 2, 3`, or the ends of a long list.
fn list(seeds: &[u64]) -> String {
    match seeds {
        [first, .., last] if seeds.len() > 5 => format!("{} from {first} to {last}", seeds.len()),
        few => few.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
    }
}
