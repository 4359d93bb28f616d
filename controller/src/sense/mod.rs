//! Senses: what pulses, samples and switches say of the machine.

mod belief;
pub mod bus;
mod compare;
mod course;
mod decay;
mod gains;
mod ground;
mod lift;
pub mod nmea;
mod outlook;
mod pulse;
mod ratio;
mod report;
mod source;
mod speed_source;
mod tracker;
mod yaw;

pub(crate) use course::CourseState;
pub use gains::{Gains, INTERVALS, ModelGains, Quality};
pub(crate) use ground::Travelled;
pub use ground::{Followed, Ground, GroundState, MAX_SOURCES};
pub use lift::{Debounce, DebounceState};
pub use outlook::Motion;
pub(crate) use outlook::{Ahead, Lead, Outlook};
pub use pulse::{Closing, PulseMeter, PulseState, Pulses, Window};
pub use report::{
    CourseSample, Direction, HitchSample, LineSample, PositionSample, SpeedReport, SpeedReports,
    SpeedSample,
};
pub use source::GroundStatus;
pub use speed_source::{Sampled, SpeedSource};
pub(crate) use tracker::Foretold;
pub use tracker::TrackerState;
pub use yaw::YawState;
pub(crate) use yaw::{Bend, Lever, side_speed};
