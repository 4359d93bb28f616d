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
//!
//! A motorised valve is run to where `n* + τ1 · dn*/dt` stands on the map, from where it truly stands, as fast as its
//! motor can: `run = (dx*/dt + (x* − x) / 20 ms) · stroke`, within ±1. Shut while nothing is asked for, the
//! shut-off with it. It begins to open when seed is asked for, as any law must that keeps the valve shut at rest.

use crate::bench::{Ahead, Law, STEP_S, STEPS_PER_TICK, Senses};
use crate::machine::{command_for, flow};
use crate::scenario::{Scenario, SeedLot};

/// The law without any error but the tick.
#[derive(Clone, Debug)]
pub struct Limit {
    map: Vec<(f64, f64)>,
    keep: f64,
    /// By side.
    lots: Vec<SeedLot>,
    /// Working widths, m, per side.
    widths_m: Vec<f64>,
    /// Where the shaft will be when this tick's command is felt, turns/s; with a motorised valve what was wanted.
    shafts: Vec<f64>,
    gear: Option<Gear>,
    supply: bool,
}

/// What the limit knows of a motorised valve.
#[derive(Clone, Debug)]
struct Gear {
    stroke_s: f64,
    lag_s: f64,
    /// Places wanted a tick ago.
    places: Vec<f64>,
}

/// Time in which a motorised valve is brought to its place, s: about the lag of its motor.
const APPROACH_S: f64 = 0.02;

impl Gear {
    /// Run of side `index` to where the shaft turns at `wanted` and rises by `rise` turns/s² on a map.
    fn run(&mut self, index: usize, map: &[(f64, f64)], wanted: [f64; 2], ahead: &Ahead) -> f64 {
        let [shaft, rise] = wanted;
        // After the stroke's limit held it up, the shaft is brought back within its lag.
        let late = shaft - ahead.shaft_turns_per_s;
        let rise = if late.abs() > 0.1 * shaft { rise + late / self.lag_s } else { rise };
        let place = command_for(map, (shaft + self.lag_s * rise).max(0.0) / ahead.gain);
        let moves = (place - self.places[index]) / TICK_S;
        self.places[index] = place;
        ((moves + (place - ahead.place) / APPROACH_S) * self.stroke_s * ahead.coil).clamp(-1.0, 1.0)
    }
}

/// A tick, s.
#[expect(clippy::cast_precision_loss, reason = "ten steps")]
const TICK_S: f64 = STEPS_PER_TICK as f64 * STEP_S;

impl Limit {
    /// The limit on the scenario's machine.
    pub fn new(scenario: &Scenario) -> Self {
        let drill = &scenario.drill;
        Self {
            map: drill.truth.drive.map.clone(),
            keep: libm::exp(-TICK_S / drill.truth.drive.lag_s),
            lots: drill.sides.iter().map(|side| scenario.lot(side.product).clone()).collect(),
            widths_m: drill.sides.iter().map(|side| side.width_m).collect(),
            shafts: vec![0.0; drill.sides.len()],
            gear: drill.truth.drive.motor.as_ref().map(|motor| Gear {
                stroke_s: motor.stroke_s,
                lag_s: drill.truth.drive.lag_s,
                places: vec![0.0; drill.sides.len()],
            }),
            supply: true,
        }
    }
}

impl Law for Limit {
    fn supply(&self) -> bool {
        self.supply
    }

    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        self.supply = self.gear.is_none();
        for (index, command) in commands.iter_mut().enumerate() {
            let ahead = senses.ahead[index];
            let on = senses.lowered && senses.master && senses.switches[index] && ahead.moving;
            let speed = if on { ahead.speed_mps.max(0.0) } else { 0.0 };
            let owed = 1e-4 * ahead.rate_kg_per_ha * self.widths_m[index] * speed;
            let wanted = self.lots[index].turns_per_s(owed);
            let shaft = &mut self.shafts[index];
            if let Some(gear) = &mut self.gear {
                let rise = if *shaft > 0.0 { (wanted - *shaft) / TICK_S } else { 0.0 };
                *shaft = wanted;
                let run = gear.run(index, &self.map, [wanted, rise], &ahead);
                *command = if on { run } else { -1.0 };
                self.supply |= on;
                continue;
            }
            let aim = (wanted - self.keep * *shaft) / (1.0 - self.keep);
            let current = if on { command_for(&self.map, aim / ahead.gain) } else { 0.0 };
            *command = (current * ahead.coil).min(1.0);
            let felt = ahead.gain * flow(&self.map, *command / ahead.coil);
            *shaft = felt + (*shaft - felt) * self.keep;
        }
    }
}
