//! Quantities: newtypes over the `fixed` crate, the unit in the type name.
//!
//! | type | unit | format | range, step |
//! |---|---|---|---|
//! | [`MetresPerSecond`] | m/s | Q12.20 | ±2 048, 0.95 µm/s |
//! | [`MetresPerSecondSquared`] | m/s² | Q12.20 | ±2 048, 0.95 µm/s² |
//! | [`RadiansPerSecond`] | rad/s | Q8.24 | ±128, 60 nrad/s |
//! | [`TurnsPerSecond`] | turns/s | Q11.21 | ±1 024, 0.48 µturns/s |
//! | [`TurnsPerMetre`] | turns/m | Q6.26 unsigned | 0..64, 15 nturns/m |
//! | [`MilligramsPerSquareMetre`] | mg/m² (1 kg/ha = 100) | Q16.16 unsigned | 0..65 536, 15 ng/m² |
//! | [`PulsesPerMetre`] | 1/m | Q16.16 unsigned | 0..65 536 |
//! | [`Command`] | share of full command | Q0.16 unsigned | 0..1 |
//! | [`Course`] | turn, clockwise from true north | 2^-32 unsigned | one turn, wraps |
//! | [`Position`] | 10^-7 degrees | integers | the globe, 11 mm |
//! | [`Micrometres`], [`MicrogramsPerTurn`], [`PerMille`], [`Micros`], [`Instant`] | µm, µg, 1/1000, µs | integers | |
//!
//! Sums saturate. Instants wrap, and only differences of them mean anything.

mod angle;
mod arith;
mod fixed_point;
mod position;
mod product;
mod reciprocal;
mod scale;
mod time;
mod trig;
mod whole;

pub use angle::Course;
pub(crate) use arith::{clamp_i32, divide_wide, divide_wide_signed};
pub use fixed_point::{
    Command, MetresPerSecond, MetresPerSecondSquared, MilligramsPerSquareMetre, PulsesPerMetre,
    RadiansPerSecond, TurnsPerMetre, TurnsPerSecond,
};
pub use position::Position;
pub(crate) use product::{mul_shift, mul_unsigned, mul_wide};
pub(crate) use reciprocal::{Inverse, Reciprocal, quotient, scaled_by, share_q15};
pub(crate) use scale::Scale;
pub use time::{Instant, Micros};
pub(crate) use trig::{course_of, sin_cos};
pub use whole::{MicrogramsPerTurn, Micrometres, PerMille};
