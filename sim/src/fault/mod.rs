//! Faults: wrong builds of the control path, and parts that fail while it works.
//!
//! ```text
//!                  ┌──────────── wrappers, each with its own seed ────────────┐
//!  machine ─► senses ─► pulses, receiver, bus, switches ─► board ─► plant ─► machine
//!                                   │                   ticks, power
//!                                   └─► invariants, telling ─► sweep ─► report
//! ```
//!
//! A fault is a wrapper between the bench and the controller or around the machine, never a branch inside either.

mod wrong_build;
mod words;
pub mod cycle;
pub mod setup;
pub mod inject;
pub mod hands;
pub mod pulses;
pub mod receiver;
pub mod bus;
pub mod switches;
pub mod clock;
pub mod power;
pub mod bytes;
pub mod plant;
pub mod wrapper;
pub mod board;
mod side;
pub mod rig;
pub mod pair;
pub mod kind;
pub mod stated;
pub mod statements;
pub mod invariants;
pub mod telling;
pub mod trial;
pub mod sweep;
pub mod report;
mod document;

pub use wrong_build::{RIGHT, SEASON_M2, WRONG_BUILDS, WrongBuild};
