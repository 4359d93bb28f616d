//! What one would write first: latest speed value × turns per metre, the same map, a PI loop.

use super::pulsed::Pulsed;
use crate::bench::{Law, Senses};
use crate::machine::Edges;
use crate::scenario::{Scenario, SeedLot, Source};

/// Speed from whole edges over more than a least time.
#[derive(Clone, Copy, Debug)]
struct EdgeSpeed {
    least_s: f64,
    silence_s: f64,
    per_unit: f64,
    from: Edges,
    value: f64,
}

impl EdgeSpeed {
    const fn new(per_unit: f64, least_s: f64, silence_s: f64) -> Self {
        Self { least_s, silence_s, per_unit, from: Edges { count: 0, last_s: 0.0 }, value: 0.0 }
    }

    fn update(&mut self, edges: Edges, t: f64) -> f64 {
        let span = edges.last_s - self.from.last_s;
        if edges.count > self.from.count && span > self.least_s {
            #[expect(clippy::cast_precision_loss, reason = "few edges in a window")]
            let count = (edges.count - self.from.count) as f64;
            self.value = count / (span * self.per_unit);
            self.from = edges;
        }
        if t - edges.last_s > self.silence_s {
            self.value = 0.0;
        }
        self.value
    }
}

/// The plain law.
#[derive(Clone, Debug)]
pub struct Plain {
    ground: Option<EdgeSpeed>,
    sample: f64,
    lowest_mps: f64,
    sides: Vec<PlainSide>,
    supply: bool,
}

#[derive(Clone, Debug)]
struct PlainSide {
    shaft: EdgeSpeed,
    full: f64,
    opening: f64,
    width_m: f64,
    product: usize,
    lot: SeedLot,
    kc: f64,
    ki_step: f64,
    integral: f64,
    motor: Option<Pulsed>,
}

impl Plain {
    /// The plain law told the same numbers as the controller.
    pub fn new(scenario: &Scenario) -> Self {
        let drill = &scenario.drill;
        let kc = drill.told.lag_s / (2.0 * (drill.told.dead_time_s + 0.03));
        let side = |side: &crate::scenario::Side| PlainSide {
            shaft: EdgeSpeed::new(f64::from(side.encoder_pulses_per_turn), 0.02, 0.3),
            full: drill.told.full_turns_per_s(),
            opening: drill.told.opening(),
            width_m: side.width_m,
            product: side.product,
            lot: scenario.lot(side.product).clone(),
            kc,
            ki_step: kc / drill.told.lag_s * 0.01,
            integral: 0.0,
            motor: Pulsed::new(&drill.told),
        };
        Self {
            ground: match scenario.source {
                Source::Pulses => Some(EdgeSpeed::new(drill.ground_pulses_per_m, 0.03, 0.25)),
                Source::Gnss(_) | Source::Bus(_) => None,
            },
            sample: 0.0,
            lowest_mps: drill.lowest_speed_mps,
            sides: drill.sides.iter().map(side).collect(),
            supply: true,
        }
    }
}

impl PlainSide {
    fn command(&mut self, wanted: f64, measured: f64) -> f64 {
        if let Some(motor) = &mut self.motor {
            return motor.run(wanted, measured);
        }
        let (wanted, measured) = (wanted / self.full, measured / self.full);
        let error = wanted - measured;
        let raw = wanted + self.kc * error + self.integral;
        let further = (raw > 1.0 && error > 0.0) || (raw < 0.0 && error < 0.0);
        if !further {
            self.integral = (self.integral + self.ki_step * error).clamp(-0.3, 0.3);
        }
        let fraction = raw.clamp(0.0, 1.0);
        if fraction > 0.001 { self.opening + (1.0 - self.opening) * fraction } else { 0.0 }
    }
}

impl Law for Plain {
    fn supply(&self) -> bool {
        self.supply
    }

    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        if let Some(sample) = senses.samples.any() {
            self.sample = sample.speed_mps;
        }
        let speed = match &mut self.ground {
            Some(ground) => ground.update(senses.ground, senses.t_s),
            None => self.sample,
        };
        self.supply = self.sides.iter().all(|side| side.motor.is_none());
        for (index, side) in self.sides.iter_mut().enumerate() {
            let measured = side.shaft.update(senses.shafts[index], senses.t_s);
            let on = senses.lowered
                && senses.master
                && senses.switches[index]
                && speed > self.lowest_mps;
            self.supply |= on;
            commands[index] = if on {
                side.command(
                    side.lot.turns_per_s(
                        1e-4 * senses.rates_kg_per_ha[side.product] * side.width_m * speed,
                    ),
                    measured,
                )
            } else {
                side.motor.as_mut().map_or(0.0, Pulsed::shut)
            };
        }
    }
}
