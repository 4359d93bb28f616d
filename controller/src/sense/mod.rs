//! Senses: what pulses, samples and switches say of the machine.

mod decay;
mod gains;
mod ground;
mod lift;
mod pulse;
mod report;
mod tracker;
mod yaw;

pub use gains::{Gains, INTERVALS, ModelGains, Quality};
pub use ground::{Ground, GroundState, GroundStatus, SpeedSource};
pub use lift::{Debounce, DebounceState};
pub use pulse::{PulseMeter, PulseState, Pulses, Window};
pub use report::{
    CourseSample, Direction, HitchSample, LineSample, PositionSample, SpeedReport, SpeedReports,
    SpeedSample,
};
pub(crate) use tracker::shaft_accel;
pub use tracker::{Motion, TrackerState};
pub use yaw::YawState;
