//! The machine: physics in f64 at 1 ms, sensors quantised as real ones are.

pub mod bus;
mod delivery;
mod drive;
mod edges;
mod gear;
pub mod flash;
mod meter;
mod noise;
mod reduced;
mod supply;
mod valve;
mod motor;
mod physical;

pub use delivery::Delivery;
pub use drive::BenchDrive;
pub use edges::{EdgeSensor, Edges};
pub use gear::GearMotor;
pub use meter::Meter;
pub use motor::MotorConfig;
pub use noise::Noise;
pub use physical::{PhysicalConfig, PhysicalDrive, PhysicalState};
pub use reduced::{ReducedDrive, command_for, flow};
pub use supply::SupplyConfig;
pub use valve::{ValveConfig, ValveMemory};
