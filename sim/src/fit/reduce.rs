//! The reduced form of a physical drive: its own step log, fitted.

use super::{Fit, FitError, Program, fit, record};
use crate::machine::{PhysicalConfig, PhysicalDrive};

/// Edges of the encoder that watches; the finest a drill may have.
const PULSES: u32 = 1024;

/// Plays the standard program on a physical drive and fits map, lag and dead time to what the shaft does.
///
/// # Errors
///
/// [`FitError`] when the drive does not turn as a drive must.
pub fn reduce(config: &PhysicalConfig) -> Result<Fit, FitError> {
    let mut drive = PhysicalDrive::new(*config, 0.001);
    let log = record(&Program::standard(), (PULSES, 0.0), 1, &mut |command, step_s| {
        drive.step(command, step_s)
    });
    fit(&log)
}
