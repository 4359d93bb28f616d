//! Runs the cases of a shard on several threads, each case for itself.

use super::{Case, Draws, FIGURES, Plan, Ranges, Row};
use crate::scenario::Scenario;
use crate::score::Score;
use controller::SettingsError;
use rayon::prelude::*;
use rayon::{ThreadPoolBuildError, ThreadPoolBuilder};
use thiserror::Error;

/// Why a sweep came to no result.
#[derive(Debug, Error)]
pub enum Refused {
    /// The controller refuses what it is told in a case.
    #[error("case {case}: {why}; narrow the ranges of what is told")]
    Settings {
        /// The case.
        case: u32,
        /// The rule that is broken.
        why: SettingsError,
    },
    /// The system gives no threads.
    #[error("failed to start threads: {0}")]
    Threads(#[from] ThreadPoolBuildError),
}

/// Runs the cases of the plan's shard on `threads` (0: one a processor); `done` is called after each case
/// and scenario. Rows come in the order of cases, then scenarios, whatever ended first.
///
/// # Errors
///
/// The first case that the controller refuses.
pub fn run(
    ranges: &Ranges,
    plan: Plan,
    threads: usize,
    done: &(dyn Fn() + Sync),
) -> Result<Vec<Row>, Refused> {
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let work: Vec<(u32, usize)> = plan
        .shard
        .cases(plan.cases)
        .flat_map(|case| (0..ranges.scenarios.len()).map(move |scenario| (case, scenario)))
        .collect();
    let one = |&(case, scenario): &(u32, usize)| {
        let row = row(ranges, &draws, case, scenario);
        done();
        row
    };
    let pool = ThreadPoolBuilder::new().num_threads(threads).build()?;
    let rows: Vec<_> = pool.install(|| work.par_iter().with_max_len(1).map(one).collect());
    // The first refusal by number, not by time.
    rows.into_iter().collect()
}

/// One case of every scenario, as [`run`] runs it.
///
/// # Errors
///
/// That of the settings.
pub fn run_case(ranges: &Ranges, draws: &Draws<'_>, case: u32) -> Result<Vec<Row>, Refused> {
    (0..ranges.scenarios.len()).map(|scenario| row(ranges, draws, case, scenario)).collect()
}

fn row(ranges: &Ranges, draws: &Draws<'_>, case: u32, scenario: usize) -> Result<Row, Refused> {
    let made = make(ranges, draws, case, &ranges.scenarios[scenario]);
    let score = made.run().map_err(|why| Refused::Settings { case, why })?;
    Ok(Row { case, scenario, figures: figures(&score) })
}

/// The case of a number on a scenario.
fn make(ranges: &Ranges, draws: &Draws<'_>, case: u32, scenario: &Scenario) -> Case {
    let parameters = ranges.varied.iter().map(|varied| varied.parameter);
    Case::new(scenario, draws.noise_seed(case), parameters.zip(draws.values(case)))
}

/// The figures in their order.
fn figures(score: &Score) -> Vec<f64> {
    FIGURES.iter().map(|key| score.figure(key).unwrap_or(f64::NAN)).collect()
}
