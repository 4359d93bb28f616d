//! The drive on the bench, in either form.
//!
//! The reduced form is what the controller's numbers speak of; the physical form is oil, spool and shaft, from
//! which the reduced one is fitted. Both must give the same verdict.

use super::{PhysicalConfig, PhysicalDrive, ReducedDrive};
use crate::scenario::{Disturbance, Truth};

/// A valve, motor and gearing, from command (0..1) to shaft speed (turns/s).
#[derive(Clone, Debug)]
pub enum BenchDrive {
    /// Map, dead time and lag.
    Reduced(Box<ReducedDrive>),
    /// Supply, valve, hose and motor; the disturbances and the truth's gain do not apply.
    Physical(Box<PhysicalDrive>, f64),
}

impl BenchDrive {
    /// A drive at rest, to be stepped every `step_s`.
    pub fn new(truth: &Truth, disturbances: &[Disturbance], step_s: f64) -> Self {
        if truth.physical {
            return Self::Physical(
                Box::new(PhysicalDrive::new(PhysicalConfig::REFERENCE, step_s)),
                step_s,
            );
        }
        Self::Reduced(Box::new(ReducedDrive::new(truth, disturbances, step_s)))
    }

    /// One step with `command` held (of a motorised valve: its motor's run, −1 to 1), ending at `t` seconds; returns the shaft speed at its end.
    pub fn step(&mut self, command: f64, t: f64) -> f64 {
        match self {
            Self::Reduced(drive) => drive.step(command, t),
            Self::Physical(drive, step_s) => drive.step(command, *step_s),
        }
    }

    /// The shut-off lets oil through from now on, or no longer. The physical form knows none.
    pub const fn set_supply(&mut self, open: bool) {
        if let Self::Reduced(drive) = self {
            drive.set_supply(open);
        }
    }

    /// Where a motorised valve stands, 0 to 1.
    pub fn place(&self) -> f64 {
        match self {
            Self::Reduced(drive) => drive.place(),
            Self::Physical(..) => 0.0,
        }
    }

    /// Shaft speed, turns/s.
    pub const fn turns_per_s(&self) -> f64 {
        match self {
            Self::Reduced(drive) => drive.turns_per_s(),
            Self::Physical(drive, _) => drive.turns_per_s(),
        }
    }

    /// True gain over that of the truth's map at `t`.
    pub fn gain(&self, t: f64) -> f64 {
        match self {
            Self::Reduced(drive) => drive.gain(t),
            Self::Physical(..) => 1.0,
        }
    }

    /// Command over the current that it gives at `t`.
    pub fn coil_factor(&self, t: f64) -> f64 {
        match self {
            Self::Reduced(drive) => drive.coil_factor(t),
            Self::Physical(..) => 1.0,
        }
    }
}
