//! Judges several scenarios, as many at a time as there are processors, in the order they were named.

use super::Failure;
use super::progress::Progress;
use crate::bench;
use crate::report::Judged;
use crate::scenario::Scenario;
use crate::verdict::Verdict;
use controller::SettingsError;
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

/// A scenario with the file it came from.
pub(super) type Named = (PathBuf, Scenario);

/// A verdict, or why there is none.
type Outcome = Result<Verdict, SettingsError>;

/// Judges `scenarios`.
pub(super) fn judge(scenarios: &[Named]) -> Result<Vec<Judged>, Failure> {
    let outcomes = all(scenarios);
    scenarios
        .iter()
        .zip(outcomes)
        .map(|((file, scenario), outcome)| {
            let verdict = outcome.map_err(|why| Failure::Refused { file: file.clone(), why })?;
            let sides = scenario.drill.sides.iter().map(|side| side.name.clone()).collect();
            let tolerances = scenario.tolerances.len();
            Ok(Judged { file: file.clone(), sides, tolerances, verdict })
        })
        .collect()
}

/// The outcomes, in the order of the scenarios; the longest is begun first.
fn all(scenarios: &[Named]) -> Vec<Outcome> {
    let work: Vec<f64> = scenarios.iter().map(|(_, scenario)| work(scenario)).collect();
    let mut order: Vec<usize> = (0..scenarios.len()).collect();
    order.sort_by(|&a, &b| work[b].total_cmp(&work[a]));
    let progress = Progress::new(&work);
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, Outcome)>> = Mutex::default();
    let worker = || {
        while let Some(&index) = order.get(next.fetch_add(1, Ordering::Relaxed)) {
            let told = |share: f64| progress.tell(index, share);
            let outcome = bench::judge(&scenarios[index].1, &told);
            done.lock().unwrap_or_else(PoisonError::into_inner).push((index, outcome));
        }
    };
    let processors = std::thread::available_parallelism().map_or(1, usize::from);
    std::thread::scope(|scope| {
        for _ in 0..processors.min(scenarios.len()) {
            scope.spawn(worker);
        }
    });
    let mut done = done.into_inner().unwrap_or_else(PoisonError::into_inner);
    done.sort_by_key(|&(index, _)| index);
    done.into_iter().map(|(_, outcome)| outcome).collect()
}

/// Seconds to run, over all noise seeds.
fn work(scenario: &Scenario) -> f64 {
    let pieces = scenario.profile.pieces.iter();
    let seconds: f64 = pieces.map(|piece| piece.end_s() - piece.start_s()).sum();
    #[expect(clippy::cast_precision_loss, reason = "at most a thousand seeds")]
    let runs = scenario.noise_seeds().map_or(1.0, |seeds| seeds.len() as f64);
    seconds * runs
}
