//! `verify`: judges scenarios and prints one table.

use super::arguments::Shared;
use super::{Exit, Failure, battery, demo, record, say};
use crate::report::Results;
use crate::scenario::{Scenario, read};
use clap::Args;
use std::path::PathBuf;

/// Options of `verify`.
#[derive(Debug, Default, Args)]
pub(super) struct VerifyOptions {
    /// Scenario files; every one in demo-data/scenarios when none is named.
    #[arg(value_name = "SCENARIO")]
    scenarios: Vec<PathBuf>,
}

/// Judges the scenarios.
pub(super) fn verify(options: &VerifyOptions, shared: Shared) -> Result<Exit, Failure> {
    let files = match options.scenarios.as_slice() {
        [] => demo::scenarios()?,
        named => named.to_vec(),
    };
    let judged = battery::judge(&read_all(files)?)?;
    let results = Results {
        command: "verify",
        judged: &judged,
        record: None,
        files: &[],
        board: None,
        system: shared.units.into(),
    };
    say::say(&record::shown(&results, shared.json))?;
    Ok(record::exit(&results))
}

/// Reads every file, or says everything that is wrong with them.
pub(super) fn read_all(files: Vec<PathBuf>) -> Result<Vec<(PathBuf, Scenario)>, Failure> {
    let mut scenarios = Vec::new();
    let mut errors = Vec::new();
    for file in files {
        match read::scenario(&file) {
            Ok(scenario) => scenarios.push((file, scenario)),
            Err(error) if errors.contains(&error) => {}
            Err(error) => errors.push(error),
        }
    }
    if errors.is_empty() { Ok(scenarios) } else { Err(Failure::Input(errors)) }
}
