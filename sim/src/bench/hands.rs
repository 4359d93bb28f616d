//! Lift and operator inputs, played from the scenario's events.

use crate::scenario::{Act, Event, Scenario};

/// Lift and operator inputs as they stand.
pub(super) struct Hands<'a> {
    pub(super) events: core::iter::Peekable<core::slice::Iter<'a, Event>>,
    pub(super) lowered: bool,
    pub(super) changed_s: f64,
    pub(super) master: bool,
    pub(super) switches: Vec<bool>,
    pub(super) rate: f64,
}

impl<'a> Hands<'a> {
    pub(super) fn new(scenario: &'a Scenario) -> Self {
        Self {
            events: scenario.events.iter().peekable(),
            lowered: true,
            changed_s: f64::NEG_INFINITY,
            master: true,
            switches: vec![true; scenario.drill.sides.len()],
            rate: scenario.seed_lot.rate_kg_per_ha,
        }
    }

    /// The rate that will be in force at `t`.
    pub(super) fn rate_at(&self, t: f64) -> f64 {
        let coming = self.events.clone().take_while(|event| event.at_s <= t + 1e-9);
        coming.fold(
            self.rate,
            |rate, event| if let Act::Rate(next) = event.act { next } else { rate },
        )
    }

    /// Plays the events up to `t`.
    pub(super) fn advance(&mut self, t: f64) {
        while let Some(event) = self.events.next_if(|event| event.at_s <= t + 1e-9) {
            match event.act {
                Act::Lower(lowered) => {
                    if lowered != self.lowered {
                        self.changed_s = t;
                    }
                    self.lowered = lowered;
                }
                Act::Master(on) => self.master = on,
                Act::SideSwitch(side, on) => {
                    if let Some(switch) = self.switches.get_mut(side) {
                        *switch = on;
                    }
                }
                Act::Rate(rate) => self.rate = rate,
            }
        }
    }
}
