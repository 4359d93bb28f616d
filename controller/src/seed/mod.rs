//! Seed: what one turn of a meter shaft delivers, of which product, through how many outlets.

mod curve;
mod lot;
mod outlets;
mod product;

pub(crate) use curve::MASS;
pub use curve::{CurveError, MAX_POINTS, MeterCurve, MeterPoint};
pub use lot::Lot;
pub use outlets::Open;
pub(crate) use outlets::Share;
pub use product::{MAX_PRODUCTS, Product};
