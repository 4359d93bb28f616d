//! Catch run: the shaft turned at standstill so that its delivery can be weighed.
//!
//! ```text
//!  Idle ──arm (1st act)──► Armed ──hold pressed afresh (2nd act)──► Turning ──► Done
//!   ▲                        │                                        │  set turns or time, hold let
//!   └── movement, master on, 30 s unused ◄────────────────────────────┘  go, movement, master on
//! ```
//!
//! Only at standstill and with the master off. The turns are counted from the encoder; the tally is left
//! alone.

use crate::quantity::{Instant, Micros, TurnsPerSecond};

/// What a person asks a catch run to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CatchRun {
    /// Side, from 0.
    pub side: usize,
    /// Shaft speed: above zero, up to full speed of the side's drive.
    pub shaft: TurnsPerSecond,
    /// Stops after so many encoder edges; 1 to 4 000 000.
    pub edges: u32,
    /// Stops after so long at the latest; up to 10 minutes.
    pub at_most: Micros,
}

/// Why a catch run is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum CatchError {
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
}

/// How a catch run ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum CatchEnd {
    /// The set turns were reached.
    Turns,
    /// The set time was over.
    Time,
    /// The button was let go.
    Released,
    /// The master was switched on, the drill moved or a fault came up.
    Broken,
}

/// A catch run that is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CatchReport {
    /// Side, from 0.
    pub side: usize,
    /// Encoder edges counted, the run-out after the stop included.
    pub edges: u32,
    /// How it ended.
    pub end: CatchEnd,
}

/// An armed run that is not started within this time is dropped.
const ARMED_FOR: Micros = Micros::from_millis(30_000);

/// Edges after the stop are counted for so long.
const RUN_OUT: Micros = Micros::from_millis(2_000);

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
enum Phase {
    #[default]
    Idle,
    Armed {
        since: Instant,
        released: bool,
    },
    Turning {
        since: Instant,
    },
    RunningOut {
        since: Instant,
        end: CatchEnd,
    },
}

/// What a catch run remembers; `Default` is idle.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CatchState {
    run: Option<CatchRun>,
    phase: Phase,
    edges: u32,
    report: Option<CatchReport>,
}

/// What may stop a run, as read in this tick.
#[expect(clippy::struct_excessive_bools, reason = "each is a reading of its own")]
#[derive(Clone, Copy, Debug)]
pub(crate) struct Around {
    pub(crate) hold: bool,
    pub(crate) standstill: bool,
    pub(crate) master: bool,
    pub(crate) fault: bool,
    /// Edges of the run's side since the last tick.
    pub(crate) edges: u32,
}

impl Around {
    /// A run may not go on.
    const fn breaks(self) -> bool {
        self.master || !self.standstill || self.fault
    }
}

impl CatchRun {
    /// Checks the run against what the drive can turn.
    ///
    /// # Errors
    ///
    /// [`CatchError`] names the number that is wrong.
    pub fn check(&self, full: TurnsPerSecond) -> Result<(), CatchError> {
        if self.shaft <= TurnsPerSecond::ZERO || self.shaft > full {
            return Err(CatchError::Shaft);
        }
        if !(1..=4_000_000).contains(&self.edges) {
            return Err(CatchError::Edges);
        }
        if self.at_most == Micros::ZERO || self.at_most > Micros::from_millis(600_000) {
            return Err(CatchError::Time);
        }
        Ok(())
    }
}

impl CatchState {
    /// First act: arms a run whose numbers have been checked.
    pub(crate) const fn arm(&mut self, run: CatchRun, now: Instant) {
        *self = Self {
            run: Some(run),
            phase: Phase::Armed { since: now, released: false },
            edges: 0,
            report: self.report,
        };
    }

    /// The side whose shaft is to turn in this tick, and how fast.
    pub(crate) fn update(
        &mut self,
        around: Around,
        now: Instant,
    ) -> Option<(usize, TurnsPerSecond)> {
        let run = self.run?;
        match self.phase {
            Phase::Idle => None,
            Phase::Armed { since, released } => {
                self.wait(around, released, since, now);
                None
            }
            Phase::Turning { since } => {
                self.edges = self.edges.saturating_add(around.edges);
                let end = self.end(run, around, now.since(since));
                if let Some(end) = end {
                    self.phase = Phase::RunningOut { since: now, end };
                    return None;
                }
                Some((run.side, run.shaft))
            }
            Phase::RunningOut { since, end } => {
                self.edges = self.edges.saturating_add(around.edges);
                if now.since(since) >= RUN_OUT {
                    self.report = Some(CatchReport { side: run.side, edges: self.edges, end });
                    self.phase = Phase::Idle;
                    self.run = None;
                }
                None
            }
        }
    }

    fn wait(&mut self, around: Around, released: bool, since: Instant, now: Instant) {
        if around.breaks() || now.since(since) >= ARMED_FOR {
            *self = Self { report: self.report, ..Self::default() };
        } else if around.hold && released {
            self.phase = Phase::Turning { since: now };
        } else if !around.hold {
            // The second act is a fresh press: a button held down while arming starts nothing.
            self.phase = Phase::Armed { since, released: true };
        }
    }

    fn end(&self, run: CatchRun, around: Around, running: Micros) -> Option<CatchEnd> {
        if around.breaks() {
            Some(CatchEnd::Broken)
        } else if !around.hold {
            Some(CatchEnd::Released)
        } else if self.edges >= run.edges {
            Some(CatchEnd::Turns)
        } else if running >= run.at_most {
            Some(CatchEnd::Time)
        } else {
            None
        }
    }

    /// The side of a run that is armed, turning or running out: its edges are not sown seed.
    pub(crate) fn side(&self) -> Option<usize> {
        self.run.map(|run| run.side)
    }

    /// Whether a run turns its shaft or lets it run out.
    pub(crate) const fn is_running(&self) -> bool {
        match self.phase {
            Phase::Idle | Phase::Armed { .. } => false,
            Phase::Turning { .. } | Phase::RunningOut { .. } => true,
        }
    }

    /// Takes the report of a run that is over.
    pub const fn take_report(&mut self) -> Option<CatchReport> {
        self.report.take()
    }
}
