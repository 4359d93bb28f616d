//! The best that the machine allows: its exact inverse, true gain and true future speed.
//!
//! The drive under a held command is `n(t + T) = e n(t) + (1 − e) · gain · f(u)`, `e = exp(−T / τ1)`, so
//!
//! ```text
//!  u = map⁻¹( (n*(t + θ + T) − e n) / (1 − e) / gain )
//! ```
//!
//! reaches the shaft speed that the soil wants, τd later, at the end of every tick `T`. No feedback; only
//! the tick, the ends of the command's range and the lowest sowing speed, below which no seed is asked for, are
//! left.

use crate::bench::{Law, STEP_S, STEPS_PER_TICK, Senses};
use crate::machine::{command_for, flow};
use crate::scenario::{Scenario, SeedLot};

/// The law without any error but the tick.
#[derive(Clone, Debug)]
pub struct Limit {
    map: Vec<(f64, f64)>,
    keep: f64,
    lot: SeedLot,
    /// Working widths, m, per side.
    widths_m: Vec<f64>,
    /// Where the shaft will be when this tick's command is felt, turns/s.
    shafts: Vec<f64>,
}

impl Limit {
    /// The limit on the scenario's machine.
    pub fn new(scenario: &Scenario) -> Self {
        let drill = &scenario.drill;
        #[expect(clippy::cast_precision_loss, reason = "ten steps")]
        let tick_s = STEPS_PER_TICK as f64 * STEP_S;
        Self {
            map: drill.truth.drive.map.clone(),
            keep: libm::exp(-tick_s / drill.truth.drive.lag_s),
            lot: scenario.seed_lot.clone(),
            widths_m: drill.sides.iter().map(|side| side.width_m).collect(),
            shafts: vec![0.0; drill.sides.len()],
        }
    }
}

impl Law for Limit {
    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        for (index, command) in commands.iter_mut().enumerate() {
            let ahead = senses.ahead[index];
            let on = senses.lowered && senses.master && senses.switches[index] && ahead.moving;
            let speed = if on { ahead.speed_mps.max(0.0) } else { 0.0 };
            let owed = 1e-4 * ahead.rate_kg_per_ha * self.widths_m[index] * speed;
            let wanted = self.lot.turns_per_s(owed);
            let shaft = &mut self.shafts[index];
            let aim = (wanted - self.keep * *shaft) / (1.0 - self.keep);
            let current = if on { command_for(&self.map, aim / ahead.gain) } else { 0.0 };
            *command = (current * ahead.coil).min(1.0);
            let felt = ahead.gain * flow(&self.map, *command / ahead.coil);
            *shaft = felt + (*shaft - felt) * self.keep;
        }
    }
}
