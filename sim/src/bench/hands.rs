//! Lift and operator inputs, played from the scenario's events.

use crate::scenario::{Act, Event, Opened, Scenario};

/// Lift and operator inputs as they stand.
pub(super) struct Hands<'a> {
    pub(super) events: core::iter::Peekable<core::slice::Iter<'a, Event>>,
    pub(super) lowered: bool,
    pub(super) changed_s: f64,
    pub(super) master: bool,
    pub(super) switches: Vec<bool>,
    /// By product, kg/ha.
    pub(super) rates: [f64; 2],
    /// Outlets open, by side.
    pub(super) opened: Vec<Opened>,
}

impl<'a> Hands<'a> {
    pub(super) fn new(scenario: &'a Scenario) -> Self {
        Self {
            events: scenario.events.iter().peekable(),
            lowered: true,
            changed_s: f64::NEG_INFINITY,
            master: true,
            switches: vec![true; scenario.drill.sides.len()],
            rates: scenario.rates_kg_per_ha(),
            opened: scenario.drill.sides.iter().map(|side| Opened::all(side.outlets)).collect(),
        }
    }

    /// The rate of a product that will be in force at `t`.
    pub(super) fn rate_at(&self, t: f64, of: usize) -> f64 {
        let coming = self.events.clone().take_while(|event| event.at_s <= t + 1e-9);
        coming.fold(self.rates[of], |rate, event| match event.act {
            Act::Rate { product, kg_per_ha } if product == of => kg_per_ha,
            _ => rate,
        })
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
                Act::Rate { product, kg_per_ha } => self.rates[product] = kg_per_ha,
                Act::Outlets(side, opened) => {
                    if let Some(its) = self.opened.get_mut(side) {
                        *its = opened;
                    }
                }
            }
        }
    }
}
