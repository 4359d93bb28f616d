//! The machine: physics in f64 at 1 ms, sensors quantised as real ones are.

mod delivery;
mod edges;
mod meter;
mod noise;
mod reduced;

pub use delivery::Delivery;
pub use edges::{EdgeSensor, Edges};
pub use meter::Meter;
pub use noise::Noise;
pub use reduced::{ReducedDrive, command_for, flow};
