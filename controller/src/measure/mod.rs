//! Measuring runs: what the firmware plays and writes down so that the built drive can be measured.
//!
//! ```text
//!  SpinPlan ─────► command of a moment ─► valve ─► shaft ─► edges ┐
//!  DeliveryPlan ─► lamp, shaft of a moment ─► person, tube ─► mark├─► RunHead, RunRow ─► text log ─► `fit`
//!  ground, lift, marks of a drive over the tape ──────────────────┘
//! ```
//!
//! Outside the tick: a plan is a pure table of moments, a line is text made of integers. Who plays a plan keeps
//! the conditions (standstill, box empty or drill raised, two acts, hold-to-run).

mod delivery;
mod head;
mod row;
mod spin;

pub use delivery::{DeliveryConfig, DeliveryError, DeliveryMoment, DeliveryPlan};
pub use head::{RunHead, RunKind};
pub use row::{DeliveryRow, FlagRow, GroundRow, RunRow, SpinRow};
pub use spin::{LONGEST_SPIN, SpinConfig, SpinError, SpinPlan};
