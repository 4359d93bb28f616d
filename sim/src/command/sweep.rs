//! `sweep`: many cases on machines drawn at random, in one run or in shards; `sweep merge`, `sweep repeat`.

use super::arguments::Shared;
use super::output::{self, Output, spare};
use super::progress::Count;
use super::{Exit, Failure, demo, say};
use crate::sweep::{
    Analysis, Draws, Plan, Ranges, Refused, Row, Shard, View, merge, read, repeated_document,
    repeated_text, run, run_case, shard_text, sweep_document, sweep_text, write,
};
use clap::{Args, Subcommand};
use std::path::{Path, PathBuf};

/// Options of `sweep`.
#[derive(Debug, Args)]
#[command(args_conflicts_with_subcommands = true, disable_help_subcommand = true)]
pub(super) struct SweepOptions {
    #[command(subcommand)]
    job: Option<Job>,
    /// The ranges file; the demo one of the reference drill if none is named.
    #[arg(value_name = "RANGES")]
    ranges: Option<PathBuf>,
    #[command(flatten)]
    draws: DrawOptions,
    /// Run this shard of the cases only, such as 1/3; merge the shards afterwards.
    #[arg(long, value_name = "I/N", default_value_t = Shard::WHOLE, requires = "out")]
    shard: Shard,
    /// Write a line a case and scenario (CSV, columns as in docs/schema.md).
    #[arg(short, long, value_name = "FILE")]
    out: Option<PathBuf>,
    /// Threads; one a processor if none are named.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
}

/// Which cases are drawn.
#[derive(Debug, Args)]
struct DrawOptions {
    /// Number of cases of the whole sweep; that of the ranges file if none is named.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=1_000_000))]
    cases: Option<u32>,
    /// Seed of the draws; that of the ranges file if none is named.
    #[arg(long, value_name = "SEED")]
    seed: Option<u64>,
}

/// What else can be done about a sweep.
#[derive(Debug, Subcommand)]
enum Job {
    /// Put the results files of all shards together: the same as one run.
    Merge(MergeOptions),
    /// Run one case again and show its figures.
    Repeat(RepeatOptions),
}

/// Options of `sweep merge`.
#[derive(Debug, Args)]
struct MergeOptions {
    /// Results files of all shards.
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
    /// Write the lines of all of them.
    #[arg(short, long, value_name = "FILE")]
    out: Option<PathBuf>,
}

/// Options of `sweep repeat`.
#[derive(Debug, Args)]
struct RepeatOptions {
    /// The ranges file; the demo one of the reference drill if none is named.
    #[arg(value_name = "RANGES")]
    ranges: Option<PathBuf>,
    /// Number of the case, from 1.
    #[arg(long, value_name = "NUMBER")]
    case: u32,
    #[command(flatten)]
    draws: DrawOptions,
}

/// Sweeps, merges or repeats.
pub(super) fn sweep(options: &SweepOptions, shared: Shared) -> Result<Exit, Failure> {
    match &options.job {
        None => whole(options, shared),
        Some(Job::Merge(options)) => merged(options, shared),
        Some(Job::Repeat(options)) => repeated(options, shared),
    }
}

/// Runs all cases, or those of a shard.
fn whole(options: &SweepOptions, shared: Shared) -> Result<Exit, Failure> {
    let ranges = ranges(options.ranges.as_ref())?;
    let plan = plan(&ranges, &options.draws, options.shard);
    let out = options.out.as_deref();
    prepare(out, &[&ranges.file])?;
    let work = plan.shard.cases(plan.cases).count() * ranges.scenarios.len();
    let count = Count::new(work);
    let threads = options.threads.map_or(0, usize::from);
    let rows = run(&ranges, plan, threads, &|| count.tell());
    drop(count);
    let rows = rows.map_err(|why| refused(&ranges, &why))?;
    finish(&ranges, plan, &rows, out, shared)
}

/// Puts shards together.
fn merged(options: &MergeOptions, shared: Shared) -> Result<Exit, Failure> {
    let (ranges, plan, rows) = merge(&options.files)?;
    let mut inputs: Vec<&Path> = options.files.iter().map(PathBuf::as_path).collect();
    inputs.push(&ranges.file);
    prepare(options.out.as_deref(), &inputs)?;
    finish(&ranges, plan, &rows, options.out.as_deref(), shared)
}

/// Runs one case again.
fn repeated(options: &RepeatOptions, shared: Shared) -> Result<Exit, Failure> {
    let ranges = ranges(options.ranges.as_ref())?;
    let plan = plan(&ranges, &options.draws, Shard::WHOLE);
    if !(1..=plan.cases).contains(&options.case) {
        let all = plan.cases;
        return Err(Failure::Usage(format!("--case {} is not among 1 to {all}", options.case)));
    }
    let draws = Draws::new(&ranges, plan.seed, plan.cases);
    let rows = run_case(&ranges, &draws, options.case).map_err(|why| refused(&ranges, &why))?;
    say::say(&if shared.json {
        repeated_document(&ranges, plan, &rows)
    } else {
        repeated_text(&ranges, plan, &rows, shared.units.into())
    })?;
    Ok(exit(&Analysis::of(&ranges, plan, &rows)))
}

/// Writes the results file and says what the cases say.
fn finish(
    ranges: &Ranges,
    plan: Plan,
    rows: &[Row],
    out: Option<&Path>,
    shared: Shared,
) -> Result<Exit, Failure> {
    if let Some(file) = out {
        let content = write(ranges, plan, rows);
        output::write(&[Output { file: file.to_owned(), content }])?;
    }
    let analysis = Analysis::of(ranges, plan, rows);
    let view = View { ranges, plan, analysis: &analysis, system: shared.units.into() };
    say::say(&match (shared.json, plan.shard.is_whole()) {
        (true, _) => sweep_document(&view),
        (false, true) => sweep_text(&view),
        (false, false) => shard_text(&view),
    })?;
    Ok(exit(&analysis))
}

/// The ranges file that was named, or the demo one.
fn ranges(named: Option<&PathBuf>) -> Result<Ranges, Failure> {
    let file = named.map_or_else(|| demo::demo("sweeps/reference.toml"), |it| Ok(it.clone()))?;
    Ok(read(&file)?)
}

/// The plan of the command line, over that of the file.
fn plan(ranges: &Ranges, draws: &DrawOptions, shard: Shard) -> Plan {
    let seed = draws.seed.unwrap_or(ranges.seed);
    Plan { seed, cases: draws.cases.unwrap_or(ranges.cases), shard }
}

/// Proves before any run that the results can be written.
fn prepare(out: Option<&Path>, inputs: &[&Path]) -> Result<(), Failure> {
    out.map_or(Ok(()), |out| spare(out, inputs).and_then(|()| output::check(out)))
}

fn refused(ranges: &Ranges, why: &Refused) -> Failure {
    let file = ranges.file.clone();
    match why {
        Refused::Settings { case, why } => Failure::Drawn { file, case: *case, why: *why },
        Refused::Threads(why) => Failure::Usage(why.to_string()),
    }
}

fn exit(analysis: &Analysis) -> Exit {
    if analysis.pass() { Exit::Pass } else { Exit::Missed }
}
