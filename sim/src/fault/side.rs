//! One side on the fault bench, and the sensor wheels.

use super::pulses::Sensor;
use super::setup::{DELIVERY_S, TEETH, seed_lot};
use super::words;
use crate::bench::STEP_S;
use crate::machine::{BenchDrive, Delivery, EdgeSensor, Meter};
use crate::scenario::Truth;

/// A sensor wheel: its teeth, both flanks of them, every second of them.
#[derive(Clone, Debug)]
pub(super) struct Wheel([EdgeSensor; 3]);

impl Wheel {
    pub(super) fn new(per_unit: f64, jitter: f64, seed: u64) -> Self {
        Self([1.0, 2.0, 0.5].map(|times| EdgeSensor::new(times * per_unit, jitter, seed)))
    }

    pub(super) fn step(&mut self, from: f64, to: f64, t: f64) {
        self.0.iter_mut().for_each(|sensor| sensor.step(from, to, t, STEP_S));
    }

    pub(super) fn shown(&self, clock: u32) -> Sensor {
        self.0.each_ref().map(|sensor| words::pulses(sensor.edges(), clock))
    }
}

/// One side: drive, meter, tube, encoder.
#[derive(Clone, Debug)]
pub(super) struct Side {
    pub(super) drive: BenchDrive,
    pub(super) meter: Meter,
    pub(super) delivery: Delivery,
    pub(super) encoder: Wheel,
    pub(super) turns: f64,
    pub(super) shown: f64,
    pub(super) passed: Option<u32>,
}

impl Side {
    pub(super) fn new(truth: &Truth, seed: u64) -> Self {
        Self {
            drive: BenchDrive::new(truth, &[], STEP_S),
            meter: Meter::new(&truth.meter, &seed_lot(), STEP_S, seed),
            delivery: Delivery::new(DELIVERY_S, 0.0, STEP_S),
            encoder: Wheel::new(f64::from(TEETH), truth.encoder_jitter, seed + 1),
            turns: 0.0,
            shown: 0.0,
            passed: None,
        }
    }
}
