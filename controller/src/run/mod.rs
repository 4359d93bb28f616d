//! Runs at standstill: a shaft turned by hand-held button so that seed can be weighed, tubes filled, or the drive
//! measured.
//!
//! ```text
//!  Idle ──arm (1st act)──► Armed ──hold pressed afresh (2nd act)──► Turning ──► RunningOut ──► report
//!   ▲                        │          Primed ◄── first turns done ───┘ ▲           ▲
//!   │                        │             └──── hold pressed afresh ────┘           │ set turns, plan or time over,
//!   └── movement, master on, unused for too long ◄───────────────────────────────────┘ hold let go, movement, master on
//! ```
//!
//! | run | turns | ends by itself |
//! |---|---|---|
//! | catch | first turns until the cells are full, thrown away; then the set turns into a container | so early that the shaft runs out at the set turns |
//! | fill | until the button is let go: the tubes run | at the set time |
//! | delivery | at odd moments, after a lamp has at others: the time from meter to soil is measured | with the plan |
//! | spin | by a plan of valve commands, not of shaft speeds: the drive is measured (`measure`) | with the plan |
//!
//! Only at standstill and with the master off. Turns are counted from the encoder; the tally is left alone.

mod state;

use crate::measure::{DeliveryPlan, SpinPlan};
use crate::quantity::{Micros, TurnsPerSecond};
pub(crate) use state::{Around, RunState, Turning};

/// What a person asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub enum Run {
    /// Counted turns into a container.
    Catch(CatchRun),
    /// Turns until the tubes run.
    Fill(FillRun),
    /// Valve commands by a plan.
    Spin(SpinRun),
    /// Starts at odd moments, for the time from meter to soil.
    Delivery(DeliveryRun),
}

/// A catch: the first turns are thrown away, those that follow are weighed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CatchRun {
    /// Side, from 0.
    pub side: usize,
    /// Shaft speed: above zero, up to full speed of the side's drive.
    pub shaft: TurnsPerSecond,
    /// Edges that are thrown away first: 0 to 400 000. Then the shaft waits for the container and a fresh press.
    pub prime: u32,
    /// Stops at so many encoder edges; 1 to 4 000 000.
    pub edges: u32,
    /// Stops after so long at the latest; up to 10 minutes.
    pub at_most: Micros,
}

/// A fill: held until the tubes run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct FillRun {
    /// Side, from 0.
    pub side: usize,
    /// Shaft speed: above zero, up to full speed of the side's drive.
    pub shaft: TurnsPerSecond,
    /// Stops after so long at the latest; up to 10 minutes.
    pub at_most: Micros,
}

/// A spin: the drive is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SpinRun {
    /// Side, from 0.
    pub side: usize,
    /// Its commands over time.
    pub plan: SpinPlan,
    /// The person says that the box is empty; otherwise the drill must be raised, for seed would fall in one place.
    pub box_empty: bool,
}

/// A delivery run: a lamp and then the shaft start at odd moments, and a person presses when the lamp lights and when
/// the first seed falls.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DeliveryRun {
    /// Side, from 0.
    pub side: usize,
    /// Shaft speed: above zero, up to full speed of the side's drive.
    pub shaft: TurnsPerSecond,
    /// Its moments.
    pub plan: DeliveryPlan,
}

/// Why a run is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum RunError {
    /// There is no such side.
    NoSuchSide,
    /// The shaft speed is zero, negative or above what the drive can turn.
    Shaft,
    /// No turns, or too many.
    Edges,
    /// No time, or more than ten minutes.
    Time,
    /// The master is on, the drill is moving or may be, or a shaft turns or runs out.
    NotAtRest,
    /// A latched fault: the master must be switched on and off first.
    Stopped,
    /// A motorised valve has no commands that a plan could give.
    Motorised,
    /// The drill is lowered and its box is not said to be empty.
    Lowered,
}

/// How a run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum RunEnd {
    /// The set turns were reached, or the plan is over.
    Done,
    /// The set time was over.
    Time,
    /// The button was let go.
    Released,
    /// The master was switched on, the drill moved or a fault came up.
    Broken,
}

/// A run that is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RunReport {
    /// Side, from 0.
    pub side: usize,
    /// Encoder edges counted, the run-out after the stop included; those that were thrown away are not.
    pub edges: u32,
    /// How it ended.
    pub end: RunEnd,
}

impl Run {
    /// The side whose shaft it turns.
    #[must_use]
    pub const fn side(&self) -> usize {
        match self {
            Self::Catch(run) => run.side,
            Self::Fill(run) => run.side,
            Self::Spin(run) => run.side,
            Self::Delivery(run) => run.side,
        }
    }

    /// Whether seed would fall in one place: a spin of a drill that is `lowered` with seed in its box.
    pub(crate) const fn spills(&self, lowered: bool) -> bool {
        matches!(self, Self::Spin(spin) if lowered && !spin.box_empty)
    }

    /// Checks the run against what the drive can turn.
    ///
    /// # Errors
    ///
    /// [`RunError`] names the number that is wrong.
    pub fn check(&self, full: TurnsPerSecond, proportional: bool) -> Result<(), RunError> {
        let (shaft, edges, at_most) = match *self {
            Self::Catch(CatchRun { shaft, edges, prime, at_most, .. }) if prime <= 400_000 => {
                (shaft, edges, at_most)
            }
            Self::Catch(_) => return Err(RunError::Edges),
            Self::Fill(FillRun { shaft, at_most, .. }) => (shaft, 1, at_most),
            Self::Delivery(DeliveryRun { shaft, plan, .. }) => (shaft, 1, plan.length()),
            Self::Spin(_) if proportional => return Ok(()),
            Self::Spin(_) => return Err(RunError::Motorised),
        };
        if shaft <= TurnsPerSecond::ZERO || shaft > full {
            return Err(RunError::Shaft);
        }
        if !(1..=4_000_000).contains(&edges) {
            return Err(RunError::Edges);
        }
        if at_most == Micros::ZERO || at_most > Micros::from_millis(600_000) {
            return Err(RunError::Time);
        }
        Ok(())
    }
}
