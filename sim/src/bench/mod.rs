//! The bench: machine, sensors, soil and a law in lock step, 1 ms for physics, 10 ms for the law.
//!
//! ```text
//!  profile ─► speed, yaw ─► sensors ─► law (every 10 ms) ─► drive ─► meter ─► delivery ─► soil ─► score
//! ```

mod brain;
mod convert;
mod course;
mod heard;
mod judge;
mod notes;
mod ours;
mod outcome;
mod hands;
mod line_input;
mod openers;
mod piece;
mod pose;
mod receiver;
mod senses;
mod side;

pub use crate::machine::Edges;
pub use brain::{Brain, Own};
pub use convert::{CAPTURE_RATE, settings};
pub use course::{curvatures, speeds};
pub use heard::Heard;
pub(crate) use judge::cause;
pub use judge::{Run, judge, judge_build, judge_outside, run, trace};
pub use ours::Ours;
pub use outcome::{Edge, Outcome, SideOutcome};
pub use piece::run_piece;
pub use senses::{Ahead, Law, LineSense, Look, SampleSense, Samples, Senses, Shown};

/// Step of the physics, s.
pub const STEP_S: f64 = 0.001;

/// Steps of the physics in a tick of the law.
pub const STEPS_PER_TICK: u64 = 10;
