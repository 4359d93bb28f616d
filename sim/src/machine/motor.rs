//! The hydraulic motor and what it turns: displacement, leakage, inertia, load, ripple, friction.
//!
//! ```text
//!  oil in = D n + k p          2π J dn/dt = D p / 2π − T(turns) tanh(n / n0) − b 2π n
//!  T(turns) = T0 (1 + r sin(2π m turns))
//! ```

use std::f64::consts::TAU;

/// Speed within which the load's sign changes over, turns/s: a smooth stand-in for dry friction.
const CHANGE_OVER: f64 = 0.02;

/// A motor with its load, all at the motor's own shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MotorConfig {
    /// Displacement D, m³ per turn.
    pub displacement_m3: f64,
    /// Leakage k, m³/s per Pa.
    pub leak_m3_per_s_pa: f64,
    /// Inertia J of motor, gearing and meter, kg m².
    pub inertia_kg_m2: f64,
    /// Load torque T0, N·m, against the turning.
    pub load_nm: f64,
    /// Ripple r of the load, share.
    pub ripple: f64,
    /// Ripples m in a turn.
    pub ripples_per_turn: f64,
    /// Viscous friction b, N·m per rad/s.
    pub viscous_nm_s: f64,
}

impl MotorConfig {
    /// Oil that goes in at a speed and pressure, m³/s.
    pub const fn taken_m3_per_s(&self, turns_per_s: f64, pressure_pa: f64) -> f64 {
        self.displacement_m3 * turns_per_s + self.leak_m3_per_s_pa * pressure_pa
    }

    /// Torque of the load at a place, N·m.
    pub fn load_at_nm(&self, turns: f64) -> f64 {
        self.load_nm * (1.0 + self.ripple * libm::sin(TAU * self.ripples_per_turn * turns))
    }

    /// How fast the speed grows, turns/s².
    pub fn turns_per_s2(&self, turns_per_s: f64, turns: f64, pressure_pa: f64) -> f64 {
        let driving = self.displacement_m3 * pressure_pa / TAU;
        let load = self.load_at_nm(turns) * libm::tanh(turns_per_s / CHANGE_OVER);
        let friction = self.viscous_nm_s * TAU * turns_per_s;
        (driving - load - friction) / (TAU * self.inertia_kg_m2)
    }
}
