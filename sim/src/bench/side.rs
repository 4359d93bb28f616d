//! One side on the bench: drive, encoder, meter, delivery and the soil behind it.

use super::STEP_S;
use super::outcome::{Edge, SideOutcome};
use crate::ground::{Asked, Ground, Step};
use crate::machine::{BenchDrive, Delivery, EdgeSensor, Meter};
use crate::scenario::{Scenario, Side};

/// One side's machine and soil.
pub(super) struct SideRun {
    pub(super) offset_m: f64,
    pub(super) drive: BenchDrive,
    pub(super) meter: Meter,
    pub(super) delivery: Delivery,
    pub(super) encoder: EdgeSensor,
    pub(super) turns: f64,
    pub(super) requested: bool,
    pub(super) hand: bool,
    pub(super) out: SideOutcome,
}

/// What is asked of every side in a step.
#[derive(Clone, Copy)]
pub(super) struct Asking {
    pub(super) rate_now: f64,
    pub(super) rate_landing: f64,
    pub(super) moving: bool,
    /// End of the step, s.
    pub(super) end_s: f64,
    /// Shaft turns per metre of a law without a valve.
    pub(super) wheel: Option<f64>,
}

impl SideRun {
    /// A side at rest at `t` seconds; `seed` seeds its meter and its encoder.
    pub(super) fn new(scenario: &Scenario, side: &Side, t: f64, seed: u64) -> Self {
        let drill = &scenario.drill;
        Self {
            offset_m: side.offset_m,
            drive: BenchDrive::new(&drill.truth, &scenario.disturbances, STEP_S),
            meter: Meter::new(&drill.truth.meter, &scenario.seed_lot, STEP_S, seed + 1),
            delivery: Delivery::new(
                drill.true_delivery_delay_s(),
                drill.truth.delivery_spread_s,
                STEP_S,
            ),
            encoder: EdgeSensor::new(
                f64::from(side.encoder_pulses_per_turn),
                drill.truth.encoder_jitter,
                seed + 2,
            ),
            turns: 0.0,
            requested: false,
            hand: false,
            out: SideOutcome {
                ground: Ground::new(t),
                width_m: side.width_m,
                edges: Vec::new(),
                hand_on_s: Vec::new(),
                asked_m2: 0.0,
                owed_kg: 0.0,
                metered_kg: 0.0,
            },
        }
    }

    pub(super) fn step(&mut self, command: f64, along_m: f64, asking: Asking) {
        let t = asking.end_s;
        let before = self.turns;
        let n = match asking.wheel {
            None => {
                let n0 = self.drive.turns_per_s();
                let n1 = self.drive.step(command, t);
                self.turns += f64::midpoint(n0, n1) * STEP_S;
                n1
            }
            Some(turns_per_m) => {
                self.turns += if self.hand { (turns_per_m * along_m).max(0.0) } else { 0.0 };
                turns_per_m * along_m / STEP_S
            }
        };
        self.encoder.step(before, self.turns, t, STEP_S);
        let metered = self.meter.step(before, self.turns, n);
        self.out.metered_kg += metered;
        let landed = self.delivery.step(metered);
        let to = self.out.ground.travel_m() + along_m;
        let asked = Asked { lift_and_operator: self.hand, rate_kg_per_m2: asking.rate_landing };
        let requested = self.hand && asking.moving && along_m > 0.0;
        if requested != self.requested {
            self.requested = requested;
            let travel_m = self.out.ground.travel_m();
            self.out.edges.push(Edge { on: requested, by_hand: false, t_s: t, travel_m });
        }
        if requested {
            self.out.asked_m2 += along_m * self.out.width_m;
            self.out.owed_kg += along_m * self.out.width_m * asking.rate_now;
        }
        self.out.ground.step(to, landed, asked, Step { end_s: t, step_s: STEP_S });
    }
}
