//! Senses: what pulses, samples and switches say of the machine.

mod decay;
mod gains;
mod ground;
mod lift;
mod pulse;
mod tracker;
mod yaw;

pub use gains::{Gains, INTERVALS, ModelGains, Quality};
pub use ground::{Ground, GroundState, GroundStatus, SpeedSample, SpeedSource};
pub use lift::{Debounce, DebounceState};
pub use pulse::{PulseMeter, PulseState, Pulses, Window};
pub(crate) use tracker::shaft_accel;
pub use tracker::{Motion, TrackerState};
pub use yaw::YawState;
