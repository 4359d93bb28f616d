//! The sweep: every fault, at every so many ticks of the headland cycle, as a blip and latched, on its set-ups.

use super::board::Board;
use super::cycle::{Cycle, FIRST_TICK, LAST_TICK};
use super::inject::{Injection, Lasting};
use super::invariants::{Invariants, Rule};
use super::kind::{CATALOGUE, Fault};
use super::rig::{CLOCK, Rig};
use super::setup::Setup;
use super::stated::Statement;
use super::statements::statement;
use super::trial::{Class, Healthy, Recording, Trial, inject, record};
use super::wrapper::{Part, Wrapper};
use rayon::iter::{IntoParallelIterator, ParallelIterator};
use std::sync::Arc;

/// What is swept.
#[derive(Clone, Copy, Debug)]
pub struct Plan<'a> {
    /// Ticks from an injection to the next.
    pub step: u32,
    /// Seed of the faults' chances.
    pub seed: u64,
    /// Faults whose name holds this word; all for none.
    pub only: Option<&'a str>,
}

/// A row of the report: a fault on a set-up, as a blip or latched.
#[derive(Clone, Debug)]
pub struct Row {
    /// The fault.
    pub fault: &'static Fault,
    /// What is fitted.
    pub setup: Setup,
    /// Blip or latched.
    pub lasting: Lasting,
    /// What is stated.
    pub statement: Statement,
    /// Its injections with their ticks.
    pub trials: Vec<(u32, Trial)>,
}

/// A sweep.
#[derive(Clone, Debug)]
pub struct Sweep {
    /// The rows, in the order of the catalogue.
    pub rows: Vec<Row>,
    /// Invariants that the healthy runs broke.
    pub healthy_broken: Vec<(Setup, u32, Rule)>,
}

/// One injection to be made.
#[derive(Clone, Copy)]
struct Task {
    row: usize,
    tick: u32,
    index: usize,
}

/// Sweeps a board that `make` gives for each set-up; `progress` is told the share done.
///
/// # Errors
///
/// Whatever `make` refuses.
pub fn sweep<B: Board, E>(
    plan: Plan<'_>,
    make: impl Fn(Setup) -> Result<B, E>,
    progress: &(dyn Fn(f64) + Sync),
) -> Result<Sweep, E> {
    let cycle = Arc::new(Cycle::headland());
    let ticks: Vec<u32> = (FIRST_TICK..LAST_TICK).step_by(as_index(plan.step.max(1))).collect();
    let mut recordings = Vec::new();
    for setup in Setup::EVERY {
        let rig = Rig::new(setup, Arc::clone(&cycle), make(setup)?, CLOCK);
        recordings.push((rig.clone(), record(rig, &ticks, cycle.ticks())));
    }
    let mut rows = rows(plan);
    let tasks: Vec<Task> = (0..rows.len())
        .flat_map(|row| {
            ticks.iter().enumerate().map(move |(index, &tick)| Task { row, tick, index })
        })
        .collect();
    let done = std::sync::atomic::AtomicUsize::new(0);
    let trials: Vec<(usize, u32, Trial)> = tasks
        .into_par_iter()
        .map(|task| {
            let row: &Row = &rows[task.row];
            let trial = run(row, task, &recordings[row.setup as usize], plan.seed);
            let done = done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            progress(crate::ground::real(done) / crate::ground::real(rows.len() * ticks.len()));
            (task.row, task.tick, trial)
        })
        .collect();
    for (row, tick, trial) in trials {
        rows[row].trials.push((tick, trial));
    }
    let broken = Setup::EVERY.iter().zip(&recordings).filter_map(|(setup, (_, recording))| {
        recording.broken.map(|(tick, rule)| (*setup, tick, rule))
    });
    Ok(Sweep { rows, healthy_broken: broken.collect() })
}

fn rows(plan: Plan<'_>) -> Vec<Row> {
    let wanted = |fault: &&Fault| plan.only.is_none_or(|word| fault.name.contains(word));
    let mut rows = Vec::new();
    for fault in CATALOGUE.iter().filter(wanted) {
        for &setup in fault.setups {
            for lasting in fault.lastings() {
                let statement = statement(fault.part, setup);
                rows.push(Row { fault, setup, lasting, statement, trials: Vec::new() });
            }
        }
    }
    rows
}

fn run<B: Board>(row: &Row, task: Task, made: &(Rig<B>, Recording<B>), seed: u64) -> Trial {
    let (start, recording) = made;
    let Recording { healthy, snapshots, .. } = recording;
    let injection = Injection { at: task.tick, lasting: row.lasting };
    let seed =
        seed.wrapping_mul(1_000_003).wrapping_add(task.row as u64 * 8_191 + u64::from(task.tick));
    let fault = Wrapper::new(row.fault.part, injection, seed);
    match row.fault.part {
        Part::Clock => wrap(start, healthy, &row.statement, task.tick, fault),
        _ => inject(&snapshots[task.index], healthy, &row.statement, fault),
    }
}

/// The whole cycle with a clock that wraps at a tick.
fn wrap<B: Board>(
    start: &Rig<B>,
    healthy: &Healthy,
    statement: &Statement,
    tick: u32,
    fault: Wrapper,
) -> Trial {
    let rig = start.clone().with_clock(0_u32.wrapping_sub(tick * 10_000));
    inject(&(rig, Invariants::default()), healthy, statement, fault)
}

fn as_index(number: u32) -> usize {
    usize::try_from(number).unwrap_or(usize::MAX)
}

impl Row {
    /// Injections of a class.
    pub fn count(&self, class: Class) -> usize {
        self.trials.iter().filter(|(_, trial)| trial.class == class).count()
    }

    /// The greatest of a figure, zero for none.
    pub fn worst(&self, figure: impl Fn(&Trial) -> f64) -> f64 {
        self.trials.iter().map(|(_, trial)| figure(trial)).fold(0.0, f64::max)
    }

    /// The first invariant that an injection broke: tick of the injection, tick of the break, rule.
    pub fn broken(&self) -> Option<(u32, u32, Rule)> {
        self.trials
            .iter()
            .find_map(|(at, trial)| trial.broken.map(|(tick, rule)| (*at, tick, rule)))
    }

    /// Everything is as stated.
    pub fn holds(&self) -> bool {
        self.count(Class::Missed) == 0
            && self.count(Class::Unexplained) == 0
            && self.broken().is_none()
    }
}

impl Sweep {
    /// Injections in all.
    pub fn injections(&self) -> usize {
        self.rows.iter().map(|row| row.trials.len()).sum()
    }

    /// Everything is as stated.
    pub fn holds(&self) -> bool {
        self.healthy_broken.is_empty() && self.rows.iter().all(Row::holds)
    }
}
