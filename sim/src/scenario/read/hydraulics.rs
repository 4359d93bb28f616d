//! Reads `[hydraulics]`: the oil side of a drive.

use super::section::Section;
use super::wanted::Wanted;
use crate::input::{InputError, Trouble};
use crate::scenario::Hydraulics;
use crate::unit::{DISPLACEMENT, FLOW, PRESSURE, RATIO, SHAFT_SPEED, TEMPERATURE, TORQUE};

/// Keys of the section.
pub(super) const KEYS: [&str; 14] = [
    "displacement",
    "ratio",
    "volumetric",
    "mechanical",
    "lowest_motor_speed",
    "highest_motor_speed",
    "relief",
    "tractor_flow",
    "valve_flow",
    "valve_drop",
    "meter_torque",
    "bearable_torque",
    "shear_pin",
    "oil",
];

pub(crate) const VOLUME: Wanted = Wanted::new(&DISPLACEMENT, 1e-6, 2e-3);
pub(crate) const EFFICIENCY: Wanted = Wanted::new(&RATIO, 0.1, 1.0);
pub(crate) const MOTOR_SPEED: Wanted = Wanted::new(&SHAFT_SPEED, 0.001, 100.0);
pub(crate) const DROP: Wanted = Wanted::new(&PRESSURE, 1e4, 5e7);
pub(crate) const OIL_FLOW: Wanted = Wanted::new(&FLOW, 1e-6, 5e-3);
pub(crate) const AT_SHAFT: Wanted = Wanted::new(&TORQUE, 0.1, 10_000.0);
pub(crate) const GEARING: std::ops::RangeInclusive<f64> = 0.02..=200.0;
pub(crate) const OIL: Wanted = Wanted::new(&TEMPERATURE, -40.0, 120.0);

/// Volumetric efficiency where none is named: *common practice* for a slow motor in fair order.
pub(crate) const VOLUMETRIC: f64 = 0.9;
/// Mechanical efficiency where none is named: *common practice* for a slow motor in fair order.
pub(crate) const MECHANICAL: f64 = 0.85;

/// Reads the section.
pub(super) fn hydraulics(section: &Section<'_>) -> Result<Hydraulics, InputError> {
    let ratio = section.need("ratio")?;
    let turns = ratio.number()?;
    if !GEARING.contains(&turns) {
        return Err(ratio.wants(
            Trouble::OutOfRange,
            "turns of the motor per turn of the meter shaft, 0.02 to 200",
        ));
    }
    let found = Hydraulics {
        displacement_m3: section.quantity("displacement", VOLUME)?,
        ratio: turns,
        volumetric: section.quantity_or("volumetric", EFFICIENCY, VOLUMETRIC)?,
        mechanical: section.quantity_or("mechanical", EFFICIENCY, MECHANICAL)?,
        lowest_motor: section.quantity("lowest_motor_speed", MOTOR_SPEED)?,
        highest_motor: section.quantity("highest_motor_speed", MOTOR_SPEED)?,
        relief_pa: section.quantity("relief", DROP)?,
        tractor_flow_m3_per_s: section.quantity("tractor_flow", OIL_FLOW)?,
        valve_flow_m3_per_s: section.quantity("valve_flow", OIL_FLOW)?,
        valve_drop_pa: section.quantity("valve_drop", DROP)?,
        meter_torque_nm: section.quantity("meter_torque", AT_SHAFT)?,
        bearable_torque_nm: section.quantity("bearable_torque", AT_SHAFT)?,
        shear_pin_nm: section.find("shear_pin")?.map(|it| it.quantity(AT_SHAFT)).transpose()?,
        oil_c: section.find("oil")?.map(|entry| entry.quantity(OIL)).transpose()?,
    };
    match found.contradiction() {
        Some((what, remedy)) => {
            Err(section.complain(Trouble::OutOfRange, what.to_owned(), remedy.to_owned()))
        }
        None => Ok(found),
    }
}
