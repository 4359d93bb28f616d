//! The meter: mass per turn against speed, pulsation at its flutes, slow wander.
//!
//! `dm = q(n) · (1 + p · cos(2π · flutes · turns)) · (1 + w(t)) · dturns`, where `w` is a first-order
//! random walk of given rms and time constant.

use crate::machine::noise::Noise;
use crate::scenario::{MeterTruth, SeedLot};
use core::f64::consts::TAU;

/// A meter on a shaft.
#[derive(Clone, Debug)]
pub struct Meter {
    truth: MeterTruth,
    lot: SeedLot,
    constant: Option<f64>,
    noise: Noise,
    wander: f64,
    keep: f64,
}

impl Meter {
    /// A meter filled with `lot`, to be stepped every `step_s`.
    pub fn new(truth: &MeterTruth, lot: &SeedLot, step_s: f64, seed: u64) -> Self {
        let constant = if lot.curve.len() == 1 { Some(lot.curve[0].1) } else { None };
        let keep = if truth.wander > 0.0 { libm::exp(-step_s / truth.wander_s) } else { 1.0 };
        Self {
            truth: truth.clone(),
            lot: lot.clone(),
            constant,
            noise: Noise::new(seed),
            wander: 0.0,
            keep,
        }
    }

    /// Mass delivered while the shaft turned from `from` to `to` turns at `n` turns/s, kg.
    pub fn step(&mut self, from: f64, to: f64, n: f64) -> f64 {
        if self.truth.wander > 0.0 {
            let kick = (1.0 - self.keep * self.keep).sqrt() * self.truth.wander;
            self.wander = self.keep * self.wander + kick * self.noise.gauss();
        }
        let turns = to - from;
        if turns <= 0.0 {
            return 0.0;
        }
        let kg_per_turn = self.constant.unwrap_or_else(|| self.lot.kg_per_turn(n));
        let smooth = kg_per_turn * turns * (1.0 + self.wander);
        if self.truth.flutes == 0 {
            return smooth;
        }
        let phase = TAU * f64::from(self.truth.flutes) * (from + to) / 2.0;
        smooth * (1.0 + self.truth.pulsation * libm::cos(phase))
    }
}
