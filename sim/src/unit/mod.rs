//! Quantities as people write them: `"4.0 m"`, `"13 ft"`, `"110 kg/ha"`, `"20 lb/ac"`.
//!
//! A [`Dimension`] is a kind of quantity (length, seeding rate, ...) with the units it may be written
//! in; metric and US customary units are equal citizens. [`Dimension::parse`] turns text into the
//! bench's own unit (SI, with kg/ha for a seeding rate), [`Dimension::show`] turns it back.
//!
//! ```text
//!  "13 ft" ──► number 13, unit ft ──► 13 × 0.3048 / 1 = 3.9624 m
//! ```
//!
//! A person writes as the shop does: a mixed number (`7 1/2 in`, `7-1/2"`, `2½ lb`), feet and inches (`13'6"`), pounds and
//! ounces (`3 lb 4 oz`), minutes and seconds (`1 min 30 s`): parts of one kind, each smaller than the one before.

mod dimension;
mod number;
mod parse;
mod show;
mod table;

pub use dimension::{Dimension, System, Unit};
pub use parse::{Misfit, Reading};
pub use table::{
    ACCELERATION, ALL, ANGLE, ANGULAR_RATE, AREA, DISPLACEMENT, FLOW, FREQUENCY, LENGTH, MASS,
    MASS_FLOW, MASS_PER_TURN, PER_AREA, PER_LENGTH, PER_MASS, PRESSURE, PRICE, PULSES_PER_LENGTH,
    RATE, RATIO, SHAFT_SPEED, SPEED, TEMPERATURE, TIME, TORQUE, WORK_RATE,
};
