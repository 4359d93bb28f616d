//! What a run at standstill does in each tick.

use super::{CatchRun, Run, RunEnd, RunReport};
use crate::quantity::{Command, Instant, Micros, TurnsPerSecond};

/// An armed run that is not started within this time is dropped.
const ARMED_FOR: Micros = Micros::from_millis(30_000);

/// A primed run waits so long for the container.
const PRIMED_FOR: Micros = Micros::from_millis(120_000);

/// Edges after the stop are counted for so long.
const RUN_OUT: Micros = Micros::from_millis(2_000);

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
enum Phase {
    #[default]
    Idle,
    /// Waits for a fresh press; `primed` when the first turns are done.
    Armed {
        since: Instant,
        released: bool,
        primed: bool,
    },
    /// `priming`: the first turns, which are thrown away.
    Turning {
        since: Instant,
        priming: bool,
    },
    RunningOut {
        since: Instant,
        end: RunEnd,
    },
}

/// What a run remembers; `Default` is idle.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct RunState {
    run: Option<Run>,
    phase: Phase,
    edges: u32,
    report: Option<RunReport>,
    /// The plan of a delivery run wants the shaft to turn in the next tick.
    starts: bool,
}

/// How the shaft of a run is turned in a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Turning {
    /// At a speed, by the drive's law.
    Shaft(TurnsPerSecond),
    /// By a command, with no law between.
    Command(Command),
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
    /// Edges that its shaft still gives when it is told to stop now.
    pub(crate) coming: u32,
}

impl Around {
    /// A run may not go on.
    const fn breaks(self) -> bool {
        self.master || !self.standstill || self.fault
    }
}

impl RunState {
    /// First act: arms a run whose numbers have been checked.
    pub(crate) const fn arm(&mut self, run: Run, now: Instant) {
        *self = Self {
            run: Some(run),
            phase: Phase::Armed { since: now, released: false, primed: false },
            edges: 0,
            report: self.report,
            starts: false,
        };
    }

    /// The side whose shaft is to turn in this tick, and how.
    pub(crate) fn update(&mut self, around: Around, now: Instant) -> Option<(usize, Turning)> {
        let run = self.run?;
        let starts = core::mem::take(&mut self.starts);
        match self.phase {
            Phase::Idle => None,
            Phase::Armed { since, released, primed } => {
                self.wait(around, (released, primed), since, now);
                None
            }
            Phase::Turning { since, priming } => {
                self.edges = self.edges.saturating_add(around.edges);
                let running = now.since(since);
                if priming && self.edges >= first_turns(run) && !around.breaks() && around.hold {
                    self.phase = Phase::Armed { since: now, released: false, primed: true };
                    return None;
                }
                if let Some(end) = self.end(run, around, (running, priming)) {
                    self.phase = Phase::RunningOut { since: now, end };
                    return None;
                }
                how(run, running, starts).map(|how| (run.side(), how))
            }
            Phase::RunningOut { since, end } => {
                self.edges = self.edges.saturating_add(around.edges);
                // Sowing begins: what the shaft gives from here on is laid, not caught.
                let sowing = around.master && !around.standstill;
                if sowing || now.since(since) >= RUN_OUT {
                    self.report = Some(RunReport { side: run.side(), edges: self.edges, end });
                    self.phase = Phase::Idle;
                    self.run = None;
                }
                None
            }
        }
    }

    fn wait(
        &mut self,
        around: Around,
        (released, primed): (bool, bool),
        since: Instant,
        now: Instant,
    ) {
        let patience = if primed { PRIMED_FOR } else { ARMED_FOR };
        if around.breaks() || now.since(since) >= patience {
            *self = Self { report: self.report, ..Self::default() };
        } else if around.hold && released {
            // What ran out since the first turns was thrown away with them.
            self.edges = 0;
            let priming = !primed && self.run.is_some_and(|run| first_turns(run) > 0);
            self.phase = Phase::Turning { since: now, priming };
        } else if !around.hold {
            // The next act is a fresh press: a button held down all the while starts nothing.
            self.phase = Phase::Armed { since, released: true, primed };
        }
    }

    fn end(&self, run: Run, around: Around, (running, priming): (Micros, bool)) -> Option<RunEnd> {
        if around.breaks() {
            return Some(RunEnd::Broken);
        }
        if !around.hold {
            return Some(RunEnd::Released);
        }
        let (done, at_most) = match run {
            Run::Catch(CatchRun { edges, at_most, .. }) => {
                (!priming && self.edges.saturating_add(around.coming) >= edges, Some(at_most))
            }
            Run::Fill(fill) => (false, Some(fill.at_most)),
            Run::Spin(spin) => (spin.plan.command(running).is_none(), None),
            Run::Delivery(run) => (running >= run.plan.length(), None),
        };
        if done {
            return Some(RunEnd::Done);
        }
        at_most.is_some_and(|most| running >= most).then_some(RunEnd::Time)
    }

    /// The side of a run that is armed, turning or running out: its edges are not sown seed.
    pub(crate) fn side(&self) -> Option<usize> {
        self.run.map(|run| run.side())
    }

    /// Whether its seed would fall in one place: the drill was lowered since it was armed.
    pub(crate) fn spills(&self, lowered: bool) -> bool {
        self.run.is_some_and(|run| run.spills(lowered))
    }

    /// Whether a run turns its shaft or lets it run out.
    pub(crate) const fn is_running(&self) -> bool {
        match self.phase {
            Phase::Idle | Phase::Armed { primed: false, .. } => false,
            Phase::Armed { primed: true, .. }
            | Phase::Turning { .. }
            | Phase::RunningOut { .. } => true,
        }
    }

    /// Whether a run waits for its container: the first turns are done.
    pub(crate) const fn is_primed(&self) -> bool {
        matches!(self.phase, Phase::Armed { primed: true, .. })
    }

    /// Looks up what the plan of a delivery run wants in the tick at `now`; whether its lamp is to shine. Outside the
    /// tick, for the odd moments take a division; what is not looked up afresh for a tick is rest.
    pub(crate) fn advance(&mut self, now: Instant) -> bool {
        let (Some(Run::Delivery(run)), Phase::Turning { since, .. }) = (self.run, self.phase)
        else {
            return false;
        };
        let moment = run.plan.moment(now.since(since)).unwrap_or_default();
        self.starts = moment.turning;
        moment.lamp
    }

    /// Takes the report of a run that is over.
    pub(crate) const fn take_report(&mut self) -> Option<RunReport> {
        self.report.take()
    }
}

/// Edges that a run throws away before it counts.
const fn first_turns(run: Run) -> u32 {
    match run {
        Run::Catch(catch) => catch.prime,
        Run::Fill(_) | Run::Spin(_) | Run::Delivery(_) => 0,
    }
}

/// How the shaft turns, so long after the start.
fn how(run: Run, running: Micros, starts: bool) -> Option<Turning> {
    match run {
        Run::Catch(catch) => Some(Turning::Shaft(catch.shaft)),
        Run::Fill(fill) => Some(Turning::Shaft(fill.shaft)),
        Run::Spin(spin) => spin.plan.command(running).map(Turning::Command),
        Run::Delivery(run) => starts.then_some(Turning::Shaft(run.shaft)),
    }
}
