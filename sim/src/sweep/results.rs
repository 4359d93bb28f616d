//! The results file: a line a case and scenario, with every digit, so that what is read back is the same bits.
//!
//! ```text
//!  # meterwright sweep results, version 1
//!  # ranges = demo-data/sweeps/reference.toml
//!  # fingerprint = 0123456789abcdef        the files it was made of
//!  # seed = 1
//!  # cases = 500
//!  # shard = 1/3
//!  # scenarios = ramp-0.5-pulses
//!  case,scenario,noise_seed,lag,…,within_3_pct,…
//!  1,0,1234567,0.1634…,…,91.25,…
//! ```

use super::{Draws, Ranges, Shard};
use crate::score;
use std::fmt::Write;
use std::sync::LazyLock;

/// Which cases are run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Seed of the draws.
    pub seed: u64,
    /// Number of cases of the whole sweep.
    pub cases: u32,
    /// Which of them.
    pub shard: Shard,
}

/// A case on a scenario after its run.
#[derive(Clone, Debug)]
pub struct Row {
    /// Number of the case, from 1.
    pub case: u32,
    /// Which scenario, from 0.
    pub scenario: usize,
    /// Figures in the order of [`FIGURES`].
    pub figures: Vec<f64>,
}

/// Figures of a case: those of the score but for `floor_ratio`. No best law is run in a sweep: it knows no
/// hysteresis, and would be none on many of the machines.
pub static FIGURES: LazyLock<Vec<&str>> =
    LazyLock::new(|| score::FIGURES.into_iter().filter(|key| *key != "floor_ratio").collect());

/// First line of a results file.
pub(super) const TITLE: &str = "# meterwright sweep results, version 1";

/// The results file of a shard.
pub fn write(ranges: &Ranges, plan: Plan, rows: &[Row]) -> String {
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let mut text = head(ranges, plan);
    for row in rows {
        let _ = writeln!(text, "{}", line(&draws, row));
    }
    text
}

/// Everything above the rows.
pub(super) fn head(ranges: &Ranges, plan: Plan) -> String {
    let names: Vec<&str> = ranges.scenarios.iter().map(|it| it.name.as_str()).collect();
    format!(
        "{TITLE}\n# ranges = {}\n# fingerprint = {:016x}\n# seed = {}\n# cases = {}\n# shard = {}\n\
         # scenarios = {}\n{}\n",
        ranges.file.display(),
        ranges.fingerprint,
        plan.seed,
        plan.cases,
        plan.shard,
        names.join(", "),
        columns(ranges)
    )
}

/// Names of the columns.
fn columns(ranges: &Ranges) -> String {
    let parameters = ranges.varied.iter().map(|varied| varied.parameter.key);
    let all = ["case", "scenario", "noise_seed"]
        .into_iter()
        .chain(parameters)
        .chain(FIGURES.iter().copied());
    all.collect::<Vec<_>>().join(",")
}

/// What stands in a row before its figures.
pub(super) fn start(draws: &Draws<'_>, case: u32, scenario: usize) -> String {
    let mut text = format!("{case},{scenario},{}", draws.noise_seed(case));
    draws.values(case).into_iter().for_each(|value| push(&mut text, value));
    text
}

fn line(draws: &Draws<'_>, row: &Row) -> String {
    let mut text = start(draws, row.case, row.scenario);
    row.figures.iter().for_each(|&figure| push(&mut text, figure));
    text
}

/// A number with as many digits as it takes to read the same one back; nothing where there is none.
fn push(text: &mut String, value: f64) {
    let _ = if value.is_nan() { write!(text, ",") } else { write!(text, ",{value}") };
}
