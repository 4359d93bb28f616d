//! Quantities as people write them: `"4.0 m"`, `"13 ft"`, `"110 kg/ha"`, `"20 lb/ac"`.
//!
//! A [`Dimension`] is a kind of quantity (length, seeding rate, ...) with the units it may be written
//! in; metric and US customary units are equal citizens. [`Dimension::parse`] turns text into the
//! bench's own unit (SI, with kg/ha for a seeding rate), [`Dimension::show`] turns it back.
//!
//! ```text
//!  "13 ft" ──► number 13, unit ft ──► 13 × 0.3048 / 1 = 3.9624 m
//! ```

mod dimension;
mod parse;
mod show;
mod table;

pub use dimension::{Dimension, System, Unit};
pub use parse::{Misfit, Reading};
pub use table::{
    ACCELERATION, ALL, ANGLE, ANGULAR_RATE, AREA, FREQUENCY, LENGTH, MASS, MASS_PER_TURN,
    PULSES_PER_LENGTH, RATE, RATIO, SHAFT_SPEED, SPEED, TIME,
};
