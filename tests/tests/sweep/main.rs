//! The sweep: ranges that are wrong are refused, cases are the same however they are run, and what is said of
//! them is what they are.

mod cases;
mod draws;
mod figures;
mod ranges;

use sim::sweep::{Plan, Ranges, Row, Shard, read, run};
use std::fs;
use std::path::PathBuf;
use tempfile::TempDir;
use tests::demo;

/// A ranges file over a ramp with `vary` as its ranges; gives its path.
pub(crate) fn file(folder: &TempDir, head: &str, vary: &str) -> PathBuf {
    let path = folder.path().join("ranges.toml");
    let scenario = demo("scenarios/ramp-1.0-pulses.toml").canonicalize().expect("it is there");
    let text = format!(
        "title = \"x\"\n{head}\n[[scenario]]\nfile = '{}'\n\n[vary]\n{vary}\n",
        scenario.display()
    );
    fs::write(&path, text).expect("the folder can be written");
    path
}

/// Ranges that are right.
pub(crate) fn ranges(folder: &TempDir, head: &str, vary: &str) -> Ranges {
    read(&file(folder, head, vary)).unwrap_or_else(|error| panic!("{error}"))
}

pub(crate) const fn plan(cases: u32) -> Plan {
    Plan { seed: 7, cases, shard: Shard::WHOLE }
}

pub(crate) fn rows(ranges: &Ranges, plan: Plan, threads: usize) -> Vec<Row> {
    run(ranges, plan, threads, &|| {}).unwrap_or_else(|error| panic!("{error}"))
}
