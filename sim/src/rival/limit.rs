//! The best that the machine allows: its exact inverse, true gain and true future speed.
//!
//! `u = map⁻¹((n*(t + τd + θ) + τ1 · dn*/dt) / gain)`; only the tick is left.

use crate::bench::{Law, Senses};
use crate::machine::command_for;
use crate::scenario::Scenario;

/// The law without any error but the tick.
#[derive(Clone, Debug)]
pub struct Limit {
    map: Vec<(f64, f64)>,
    lag_s: f64,
    /// kg/m² per kg/ha × width ÷ kg per turn, per side.
    turns_per_m_per_rate: Vec<f64>,
}

impl Limit {
    /// The limit on the scenario's machine.
    pub fn new(scenario: &Scenario) -> Self {
        let drill = &scenario.drill;
        let kg_per_turn = scenario.seed_lot.curve[0].1;
        Self {
            map: drill.truth.drive.map.clone(),
            lag_s: drill.truth.drive.lag_s,
            turns_per_m_per_rate: drill
                .sides
                .iter()
                .map(|side| 1e-4 * side.width_m / kg_per_turn)
                .collect(),
        }
    }
}

impl Law for Limit {
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        for (index, command) in commands.iter_mut().enumerate() {
            let ahead = senses.ahead[index];
            let turns_per_m = self.turns_per_m_per_rate[index] * senses.rate_kg_per_ha;
            let n = turns_per_m * (ahead.speed_mps + self.lag_s * ahead.accel_mps2);
            let on = senses.lowered && senses.master && senses.switches[index];
            let current = command_for(&self.map, n / ahead.gain);
            *command = if on { (current * ahead.coil).min(1.0) } else { 0.0 };
        }
    }
}
