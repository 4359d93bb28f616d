//! The gear motor of a motorised valve: run-up and coasting, play on turning round, end stops.
//!
//! ```text
//!  run (−1 shut .. 1 open) ─► lag of the motor ─► ∫ / stroke ─► play ─► end stops ─► place 0 .. 1
//! ```
//!
//! A slipping clutch lets the motor run on at an end stop. A warm winding turns the motor slower.

use crate::scenario::Motor;

/// A gear motor on a valve.
#[derive(Clone, Debug)]
pub struct GearMotor {
    /// Travel of a step at full speed.
    step: f64,
    keep: f64,
    play: f64,
    speed: f64,
    gear: f64,
    place: f64,
}

impl GearMotor {
    /// A motor at rest on a valve that is shut, to be stepped every `step_s`.
    pub fn new(motor: &Motor, step_s: f64) -> Self {
        let keep = if motor.coast_s > 0.0 { libm::exp(-step_s / motor.coast_s) } else { 0.0 };
        let play = motor.play_s / motor.stroke_s;
        Self { step: step_s / motor.stroke_s, keep, play, speed: 0.0, gear: 0.0, place: 0.0 }
    }

    /// One step of running at `run` (−1 shut, 0 stand, 1 open); the valve's place at its end, 0 to 1.
    pub fn step(&mut self, run: f64) -> f64 {
        let run = run.clamp(-1.0, 1.0);
        self.speed = run + (self.speed - run) * self.keep;
        self.gear = (self.gear + self.speed * self.step).clamp(0.0, 1.0 + self.play);
        self.place = self.place.clamp(self.gear - self.play, self.gear).clamp(0.0, 1.0);
        self.place
    }

    /// Where the valve stands, 0 to 1.
    pub const fn place(&self) -> f64 {
        self.place
    }
}

#[cfg(test)]
mod tests {
    use super::GearMotor;
    use crate::scenario::Motor;

    const MOTOR: Motor = Motor { stroke_s: 3.0, play_s: 0.03, coast_s: 0.0 };

    #[test]
    fn a_stroke_crosses_the_travel_and_stops_at_its_ends() {
        let mut motor = GearMotor::new(&MOTOR, 0.001);
        let places: Vec<f64> = (0..4000).map(|_| motor.step(1.0)).collect();
        assert!(
            (places[1529] - 0.5).abs() < 1e-9,
            "half after 1.5 s and the play: {}",
            places[1529]
        );
        assert!((places[3999] - 1.0).abs() < 1e-9, "held at the stop: {}", places[3999]);
        let back: Vec<f64> = (0..4000).map(|_| motor.step(-1.0)).collect();
        assert!((back[28] - 1.0).abs() < 1e-9, "play first: {}", back[28]);
        assert!(back[3999].abs() < 1e-9, "shut: {}", back[3999]);
    }

    #[test]
    fn what_the_run_up_loses_the_coasting_gives_back() {
        let coasting = Motor { play_s: 0.0, coast_s: 0.015, ..MOTOR };
        let mut motor = GearMotor::new(&coasting, 0.001);
        for step in 0..500 {
            motor.step(if step < 100 { 1.0 } else { 0.0 });
        }
        assert!((motor.place() - 0.1 / 3.0).abs() < 1e-6, "0.1 s of 3 s: {}", motor.place());
    }
}
