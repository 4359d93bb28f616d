//! Judges one scenario, keeps its record, writes and shows it: what `run` and `replay` share.

use super::arguments::Shared;
use super::output::{self, Output};
use super::{Exit, Failure, battery, say};
use crate::bench;
use crate::report::{Cells, Json, Picture, Record, Report, Results, Table, Ticks};
use crate::scenario::{Scenario, Source};
use crate::verdict::Verdict;
use std::path::{Path, PathBuf};

/// What is to be judged and left behind.
#[derive(Debug)]
pub(super) struct Job<'a> {
    /// The command.
    pub command: &'static str,
    /// The scenario's or the log's file.
    pub file: PathBuf,
    /// The scenario.
    pub scenario: Scenario,
    /// Folder of the record, if one is wanted.
    pub out: Option<&'a Path>,
    /// Noise seed of the run that is recorded; the worst in the first miss, or the first, if none is
    /// named.
    pub noise_seed: Option<u64>,
    /// Files that are written as well.
    pub beside: Vec<Output>,
}

/// Names of a record's files and their formats.
const FILES: [(&str, &dyn Report); 3] =
    [("trace.csv", &Ticks), ("cells.csv", &Cells), ("trace.svg", &Picture)];

/// Does the job.
pub(super) fn record(job: Job<'_>, shared: Shared) -> Result<Exit, Failure> {
    let targets = job.out.map(|out| FILES.map(|(name, _)| out.join(name)));
    let mut files: Vec<PathBuf> = targets.iter().flatten().cloned().collect();
    files.extend(job.beside.iter().map(|output| output.file.clone()));
    for file in &files {
        output::check(file)?;
    }
    let named = [(job.file, job.scenario)];
    let judged = battery::judge(&named)?;
    let [(file, scenario)] = &named;
    let record = match (job.out, judged.first()) {
        (Some(_), Some(judged)) => {
            let seed = job.noise_seed.or_else(|| worst_seed(scenario, &judged.verdict));
            let trace = bench::trace(scenario, seed.unwrap_or(PULSES_SEED))
                .map_err(|why| Failure::Refused { file: file.clone(), why })?;
            Some(Record { noise_seed: seed, trace })
        }
        (Some(_) | None, _) => None,
    };
    let system = shared.units.into();
    let results = Results {
        command: job.command,
        judged: &judged,
        record: record.as_ref(),
        files: &files,
        board: None,
        system,
    };
    let mut outputs: Vec<Output> = targets
        .into_iter()
        .flatten()
        .zip(FILES)
        .map(|(file, (_, format))| Output { file, content: format.render(&results) })
        .collect();
    outputs.extend(job.beside);
    output::write(&outputs)?;
    say::say(&shown(&results, shared.json))?;
    Ok(exit(&results))
}

/// Seed of the sensors' jitter where the speed source has no noise: that of the verdict's run.
const PULSES_SEED: u64 = 1;

/// The noise seed to look at: that of the first miss, or the first.
fn worst_seed(scenario: &Scenario, verdict: &Verdict) -> Option<u64> {
    let Source::Gnss(gnss) = &scenario.source else { return None };
    let missed = verdict.misses.iter().find_map(|miss| miss.place.as_ref()?.seed);
    missed.or_else(|| gnss.seeds.first().copied())
}

/// The results as they are printed.
pub(super) fn shown(results: &Results<'_>, json: bool) -> String {
    if json { Json.render(results) } else { Table.render(results) }
}

/// The exit code of results.
pub(super) fn exit(results: &Results<'_>) -> Exit {
    if results.pass() { Exit::Pass } else { Exit::Missed }
}
