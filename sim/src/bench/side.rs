//! One side on the bench: drive, encoder, meter, delivery and the soil behind it.

use super::STEP_S;
use super::clock::steps;
use super::outcome::{Edge, SideOutcome};
use crate::ground::{Asked, Ground, Step};
use crate::machine::{BenchDrive, Delivery, EdgeSensor, Meter};
use crate::scenario::{Opened, Scenario, Side};
use std::collections::VecDeque;

/// Mass rate of 1 kg/ha, kg/m².
pub(super) const KG_PER_HA: f64 = 1e-4;

/// One side's machine and soil.
pub(super) struct SideRun {
    pub(super) product: usize,
    pub(super) offset_m: f64,
    /// What is asked of the seed that is on its way, the oldest first.
    pub(super) falling: VecDeque<Told>,
    pub(super) drive: BenchDrive,
    pub(super) meter: Meter,
    pub(super) delivery: Delivery,
    pub(super) encoder: EdgeSensor,
    pub(super) turns: f64,
    pub(super) requested: bool,
    pub(super) hand: bool,
    pub(super) out: SideOutcome,
}

/// What a person asks of a side.
#[derive(Clone, Copy)]
pub(super) struct Told {
    /// The rate that is set, kg/m².
    pub(super) rate: f64,
    pub(super) opened: Opened,
}

/// What is asked of a side in a step.
#[derive(Clone, Copy)]
pub(super) struct Asking {
    pub(super) told: Told,
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
        let lot = scenario.lot(side.product);
        let told = Told { rate: lot.rate_kg_per_ha * KG_PER_HA, opened: Opened::all(side.outlets) };
        let delay = usize::try_from(steps(drill.true_delivery_delay_s())).unwrap_or(0);
        Self {
            product: side.product,
            offset_m: side.offset_m,
            falling: std::iter::repeat_n(told, delay).collect(),
            drive: BenchDrive::new(&drill.truth, &scenario.disturbances, STEP_S),
            meter: Meter::new(&drill.truth.meter, lot, STEP_S, seed + 1),
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
        let Told { rate, opened } = asking.told;
        // An outlet that is shut delivers nothing; the others go on as before.
        let metered = self.meter.step(before, self.turns, n) * opened.share();
        self.out.metered_kg += metered;
        let landed = self.delivery.step(metered);
        let to = self.out.ground.travel_m() + along_m;
        self.falling.push_back(asking.told);
        let landing = self.falling.pop_front().unwrap_or(asking.told);
        let asked = Asked {
            lift_and_operator: self.hand,
            rate_kg_per_m2: landing.rate * landing.opened.thinned(),
            narrowed: landing.opened.narrowed(),
        };
        let requested = self.hand && asking.moving && along_m > 0.0;
        if requested != self.requested {
            self.requested = requested;
            let travel_m = self.out.ground.travel_m();
            self.out.edges.push(Edge { on: requested, by_hand: false, t_s: t, travel_m });
        }
        if requested {
            let asked_m2 = along_m * self.out.width_m * (1.0 - opened.narrowed());
            self.out.asked_m2 += asked_m2;
            self.out.owed_kg += asked_m2 * (rate * opened.thinned());
        }
        self.out.ground.step(to, landed, asked, Step { end_s: t, step_s: STEP_S });
    }
}
