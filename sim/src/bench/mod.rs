//! The bench: machine, sensors, soil and a law in lock step, 1 ms for physics, 10 ms for the law.
//!
//! ```text
//!  profile ─► speed, yaw ─► sensors ─► law (every 10 ms) ─► drive ─► meter ─► delivery ─► soil ─► score
//! ```

mod ahead;
mod brain;
mod clock;
mod convert;
mod course;
mod heard;
mod judge;
mod notes;
mod ours;
mod outcome;
mod given;
mod hands;
mod line_input;
mod openers;
mod piece;
mod pose;
mod receiver;
mod senses;
mod side;
mod world;

pub use crate::machine::Edges;
pub use brain::{Brain, Own};
pub use clock::{STEP_S, STEPS_PER_TICK};
pub use convert::{CAPTURE_RATE, settings};
pub use course::{curvatures, speeds};
pub use given::Given;
pub use heard::Heard;
pub(crate) use judge::cause;
pub use judge::{Run, judge, judge_build, judge_outside, run, trace};
pub use ours::Ours;
pub use outcome::{Edge, Outcome, SideOutcome};
pub use piece::run_piece;
pub use senses::{Ahead, Law, LineSense, Look, SampleSense, Samples, Senses, Shown};
pub use world::World;
