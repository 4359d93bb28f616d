//! Stability margins of a PI loop around a first-order drive with dead time, found by stepping ω.
//!
//! `L(jω) = k Kc (1 + 1/(jω τI)) e^(−jωθ) / (1 + jω τ1)`.

use super::tuning::{PiGains, Plant};
use std::f64::consts::PI;

/// How much a loop bears before it swings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Margins {
    /// Gain by which the loop may grow.
    pub gain: f64,
    /// Phase margin, degrees.
    pub phase_deg: f64,
    /// Highest sensitivity |1/(1+L)|, Ms.
    pub sensitivity: f64,
    /// Highest |L/(1+L)|, Mt.
    pub complementary: f64,
    /// Crossover ωc where |L| = 1, rad/s.
    pub crossover_rad_per_s: f64,
    /// Dead time that may be added, s.
    pub delay_s: f64,
}

/// Frequencies looked at.
const POINTS: u32 = 200_000;

/// Margins of the loop that `gains` make around `plant`.
pub fn margins(plant: &Plant, gains: &PiGains) -> Margins {
    let mut found = Margins {
        gain: f64::INFINITY,
        phase_deg: 180.0,
        sensitivity: 0.0,
        complementary: 0.0,
        crossover_rad_per_s: 0.0,
        delay_s: f64::INFINITY,
    };
    let mut last = Response::at(plant, gains, frequency(plant, 0));
    for index in 1..POINTS {
        let now = Response::at(plant, gains, frequency(plant, index));
        if last.size >= 1.0 && now.size < 1.0 {
            let share = (last.size - 1.0) / (last.size - now.size);
            let phase = last.phase + share * (now.phase - last.phase);
            let crossover = last.omega + share * (now.omega - last.omega);
            found.crossover_rad_per_s = crossover;
            found.phase_deg = (PI + phase).to_degrees();
            found.delay_s = (PI + phase) / crossover;
        }
        if last.phase > -PI && now.phase <= -PI {
            let share = (last.phase + PI) / (last.phase - now.phase);
            found.gain = found.gain.min(1.0 / (last.size + share * (now.size - last.size)));
        }
        let distance = now.distance_to_minus_one();
        found.sensitivity = found.sensitivity.max(1.0 / distance);
        found.complementary = found.complementary.max(now.size / distance);
        last = now;
    }
    found
}

/// Frequencies from 1e-3/θ to 10/θ, at equal ratios.
fn frequency(plant: &Plant, index: u32) -> f64 {
    let decades = 4.0 * f64::from(index) / f64::from(POINTS);
    1e-3 / plant.dead_time_s * libm::exp(decades * std::f64::consts::LN_10)
}

/// The open loop at a frequency; its phase is not wrapped.
#[derive(Clone, Copy, Debug)]
struct Response {
    omega: f64,
    size: f64,
    phase: f64,
}

impl Response {
    fn at(plant: &Plant, gains: &PiGains, omega: f64) -> Self {
        let law = 1.0 / (omega * gains.integral_s);
        let lag = omega * plant.lag_s;
        Self {
            omega,
            size: plant.gain * gains.kc * (1.0 + law * law).sqrt() / (1.0 + lag * lag).sqrt(),
            phase: -libm::atan(law) - libm::atan(lag) - omega * plant.dead_time_s,
        }
    }

    fn distance_to_minus_one(&self) -> f64 {
        let (re, im) = (self.size * libm::cos(self.phase), self.size * libm::sin(self.phase));
        ((1.0 + re) * (1.0 + re) + im * im).sqrt()
    }
}
