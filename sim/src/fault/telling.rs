//! Whether a fault was told, and in time.

use super::rig::Look;
use super::setup::TEETH;
use super::stated::{Statement, asked_turns_per_s};
use controller::section::SideState;
use controller::watch::Item;

/// A tick, s.
const TICK_S: f64 = 0.01;

/// What became of telling a fault.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Telling {
    exposed_s: f64,
    edges: f64,
    started: Option<f64>,
    /// When it was told: after so long of showing, s.
    pub told_s: Option<f64>,
    /// It was due and had not been told.
    pub missed: bool,
}

impl Telling {
    /// Takes a tick; `healthy` is the alarm of the healthy run in the same tick.
    pub fn take(&mut self, statement: &Statement, look: &Look, healthy: Option<Item>) {
        let start = *self.started.get_or_insert(look.speed_mps);
        if self.told_s.is_some() {
            return;
        }
        let before_s = self.exposed_s;
        if statement.shows.exposed(look, start) {
            self.exposed_s += TICK_S;
            self.edges += asked_turns_per_s(look) * f64::from(TEETH) * TICK_S;
        } else {
            self.exposed_s = 0.0;
            self.edges = 0.0;
        }
        let alarm = look.outputs.alarm.filter(|item| Some(*item) != healthy);
        let stopped = look.outputs.sides[0].state == SideState::Stopped;
        let told = alarm.is_some_and(|item| statement.items.contains(&item));
        if told || (statement.stops && stopped) {
            // A stop ends what shows it in the same tick.
            let stopped_s = if before_s > 0.0 { before_s + TICK_S } else { 0.0 };
            self.told_s = Some(self.exposed_s.max(stopped_s));
        }
        let late = self.exposed_s > statement.within_s + 1e-9 && self.edges >= statement.edges;
        let due = statement.is_told() && late && self.told_s.is_none();
        self.missed |= due;
    }
}
