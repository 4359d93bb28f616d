//! Seed: what one turn of a meter shaft delivers.

mod curve;

pub(crate) use curve::MASS;
pub use curve::{CurveError, MAX_POINTS, MeterCurve, MeterPoint};
