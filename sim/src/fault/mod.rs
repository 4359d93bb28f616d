//! Faults: wrong builds of the control path, and parts that fail while it works.

mod wrong_build;

pub use wrong_build::{SEASON_M2, WRONG_BUILDS, WrongBuild};
