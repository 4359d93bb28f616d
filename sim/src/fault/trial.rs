//! One injection: from a snapshot of the healthy run to the end of the cycle.

use super::board::Board;
use super::invariants::{Invariants, Rule};
use super::rig::{Look, Rig};
use super::stated::Statement;
use super::telling::Telling;
use super::wrapper::Wrapper;
use controller::Outputs;

/// What became of an injection.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// Nothing changed: every output and the seed on the soil are those of the healthy run, tick by tick.
    WithoutEffect,
    /// Told in time.
    Told,
    /// Over or hidden before it was due, or tolerated; it laid no more seed wrongly than is stated.
    Small,
    /// Nothing could tell it: the pair proves it.
    Hidden,
    /// Due and not told.
    Missed,
    /// Neither told nor small, and no pair proves it.
    Unexplained,
}

/// An injection and what became of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trial {
    /// What became of it.
    pub class: Class,
    /// Told after so long of showing, s.
    pub told_s: Option<f64>,
    /// Seed wrongly laid until it was told, g.
    pub until_told_g: f64,
    /// Seed wrongly laid until the end of the cycle, g.
    pub to_end_g: f64,
    /// The first invariant that was broken, and its tick.
    pub broken: Option<(u32, Rule)>,
}

/// The healthy run, tick by tick.
#[derive(Clone, Debug)]
pub struct Healthy {
    /// Outputs.
    pub outputs: Vec<Outputs>,
    /// Mass on the soil, kg.
    pub laid_kg: Vec<f64>,
}

/// A healthy run with a snapshot before every tick that is asked for.
#[derive(Debug)]
pub struct Recording<B> {
    /// The run.
    pub healthy: Healthy,
    /// Snapshots with the invariants' memory, in order of time.
    pub snapshots: Vec<(Rig<B>, Invariants)>,
    /// An invariant that the healthy run broke.
    pub broken: Option<(u32, Rule)>,
}

/// Runs a healthy cycle; keeps a snapshot before each of `ticks`, which rise.
pub fn record<B: Board>(mut rig: Rig<B>, ticks: &[u32], length: u32) -> Recording<B> {
    let mut healthy = Healthy { outputs: Vec::new(), laid_kg: Vec::new() };
    let mut invariants = Invariants::default();
    let (mut snapshots, mut broken) = (Vec::new(), None);
    let mut nothing = Wrapper::nothing();
    while rig.tick_number() < length {
        if ticks.get(snapshots.len()) == Some(&rig.tick_number()) {
            snapshots.push((rig.clone(), invariants));
        }
        let look = rig.tick(&mut nothing);
        let rule = invariants.judge(&look, rig.board().account());
        broken = broken.or(rule.map(|rule| (look.tick, rule)));
        healthy.outputs.push(look.outputs);
        healthy.laid_kg.push(look.laid_kg);
    }
    Recording { healthy, snapshots, broken }
}

/// Runs a fault from a snapshot to the end of the healthy run.
pub fn inject<B: Board>(
    snapshot: &(Rig<B>, Invariants),
    healthy: &Healthy,
    statement: &Statement,
    mut fault: Wrapper,
) -> Trial {
    let (mut rig, mut invariants) = snapshot.clone();
    let mut watching = Watching::default();
    while let Some(outputs) = usize::try_from(rig.tick_number())
        .ok()
        .and_then(|tick| healthy.outputs.get(tick).zip(healthy.laid_kg.get(tick)))
    {
        let look = rig.tick(&mut fault);
        let rule = invariants.judge(&look, rig.board().account());
        watching.take(&look, outputs, statement);
        watching.broken = watching.broken.or(rule.map(|rule| (look.tick, rule)));
    }
    watching.end(statement)
}

#[derive(Debug, Default)]
struct Watching {
    telling: Telling,
    effect: bool,
    wrong_g: f64,
    until_told_g: f64,
    broken: Option<(u32, Rule)>,
}

impl Watching {
    fn take(&mut self, look: &Look, healthy: (&Outputs, &f64), statement: &Statement) {
        let (outputs, &laid_kg) = healthy;
        self.wrong_g = 1e3 * (look.laid_kg - laid_kg).abs();
        self.effect |= look.outputs != *outputs || self.wrong_g > 0.0;
        if self.telling.told_s.is_none() {
            self.until_told_g = self.until_told_g.max(self.wrong_g);
        }
        self.telling.take(statement, look, outputs.alarm);
    }

    fn end(self, statement: &Statement) -> Trial {
        let Telling { told_s, missed, .. } = self.telling;
        let class = match (self.effect, missed, told_s) {
            (false, _, _) => Class::WithoutEffect,
            (true, true, _) => Class::Missed,
            (true, false, Some(_)) => Class::Told,
            (true, false, None) if self.until_told_g <= statement.unseen_g => Class::Small,
            (true, false, None) if statement.pair.is_some() => Class::Hidden,
            (true, false, None) => Class::Unexplained,
        };
        Trial {
            class,
            told_s: told_s.filter(|_| class == Class::Told),
            until_told_g: self.until_told_g,
            to_end_g: self.wrong_g,
            broken: self.broken,
        }
    }
}
