//! Fits the drive to a step log: opening command, valve map, gain, lag τ1, dead time θ, each with its scatter.
//!
//! ```text
//!  step log ─► holds ─► edge instants ─► lag and dead time (least squares on the position)
//!  t, command, edges        │                  │
//!                           └─► hold speeds ◄──┘ ─► valve map, gain ─► opening command ─► Fit
//! ```
//!
//! Counts every 10 ms are too coarse to be differentiated. The *position* is fitted instead, the integral of
//! the answer to a step from n0 to n1 at t0:
//!
//! ```text
//!  turns = e0 + n0 t + (n1 − n0) r(t − t0 − θ)        r(x) = x − τ1 (1 − e^(−x/τ1)),  0 for x < 0
//! ```
//!
//! An edge between two rows tells the position at the middle of that row interval, whatever the speed.

pub mod as_built;
pub mod delivery;
mod dynamics;
mod error;
pub mod flag;
pub mod ground;
mod hold;
mod log;
mod map;
mod opening;
mod record;
mod reduce;
mod result;
pub mod run_log;
pub mod sheet;
mod spin;
mod step;

pub use error::FitError;
pub use log::{Row, StepLog, read};
pub use record::{Program, bench_log, record};
pub use reduce::reduce;
pub use result::{Fit, FitPoint, Measured};
pub use spin::{SpinFit, Trouble, Wanted, spin};

use dynamics::Dynamics;
use hold::Holds;

/// Fewest edges in the fastest hold.
const LEAST_EDGES: u64 = 10;

/// Fits the drive that a step log shows.
///
/// # Errors
///
/// [`FitError`] says what the log lacks.
pub fn fit(log: &StepLog) -> Result<Fit, FitError> {
    let mut holds = Holds::of(log)?;
    let most = holds.most_edges();
    if most < LEAST_EDGES {
        return Err(FitError::TooFewEdges { have: most, need: LEAST_EDGES });
    }
    let dynamics = Dynamics::fit(&mut holds, 0.0)?;
    let map = map::map(&holds)?;
    let opening = opening::opening(&holds, None)?;
    let repeats = holds.repeats();
    let by_repeat: Vec<f64> =
        (0..repeats).filter_map(|repeat| opening::opening(&holds, Some(repeat)).ok()).collect();
    Ok(Fit::new(&holds, map, Measured::over(opening, &by_repeat), &dynamics))
}
