//! `faults`: injects every fault through a headland cycle and says which are told, how soon, at what cost.

use super::arguments::Shared;
use super::progress::Progress;
use super::{Exit, Failure, say};
use crate::fault::board::Flashed;
use crate::fault::bytes::flip_settings;
use crate::fault::pair::Pair;
use crate::fault::report::Faults;
use crate::fault::setup::Setup;
use crate::fault::sweep::{Plan, sweep};
use clap::Args;

/// Reads the time from one injection to the next.
fn step(text: &str) -> Result<u32, String> {
    let wrong = || format!("{text:?} is none of 10 to 39000 ms in tens");
    let step: u32 = text.parse().map_err(|_| wrong())?;
    let works = (10..=39_000).contains(&step) && step.is_multiple_of(10);
    works.then_some(step).ok_or_else(wrong)
}

/// Options of `faults`.
#[derive(Debug, Args)]
pub(super) struct FaultsOptions {
    /// Milliseconds from one injection to the next, in tens.
    #[arg(long, value_name = "MS", default_value_t = 370, value_parser = step)]
    step_ms: u32,
    /// Only the faults whose name holds this word.
    #[arg(long, value_name = "WORD")]
    only: Option<String>,
    /// Seed of the faults' chances.
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    fault_seed: u64,
}

/// Sweeps the faults.
pub(super) fn faults(options: &FaultsOptions, shared: Shared) -> Result<Exit, Failure> {
    let plan = Plan {
        step: options.step_ms / 10,
        seed: options.fault_seed,
        only: options.only.as_deref(),
    };
    let refused = |why| Failure::Usage(format!("failed to set up the fault bench: {why}"));
    let progress = Progress::new(&[1.0]);
    let swept = sweep(plan, Flashed::new, &|share| progress.tell(0, share)).map_err(refused)?;
    drop(progress);
    if swept.rows.is_empty() {
        let word = options.only.as_deref().unwrap_or_default();
        return Err(Failure::Usage(format!(
            "failed to find a fault whose name holds {word:?}; run `meterwright faults` for all names"
        )));
    }
    let wanted = Pair::EVERY
        .into_iter()
        .filter(|pair| swept.rows.iter().any(|row| row.statement.pair == Some(*pair)));
    let pairs: Result<Vec<_>, _> =
        wanted.map(|pair| pair.run().map(|shown| (pair, shown))).collect();
    let bytes = flip_settings(Setup::All)
        .map_err(|why| Failure::Usage(format!("failed to write a settings image: {why}")))?;
    let faults = Faults { sweep: swept, pairs: pairs.map_err(refused)?, bytes };
    say::say(&if shared.json { faults.document() } else { faults.text(shared.units.into()) })?;
    Ok(if faults.hold() { Exit::Pass } else { Exit::Missed })
}
