//! What the board hands to the controller on every tick.

use crate::MAX_SIDES;
use crate::quantity::{Instant, RadiansPerSecond};
use crate::sense::{Pulses, SpeedSample};

/// Everything that is read, with the instants at which it was true.
///
/// Counts are cumulative and wrap; they never are "counts since the last tick". Switches are as read:
/// the controller debounces them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Inputs {
    /// The instant of this tick.
    pub now: Instant,
    /// Ground pulses; ignored where the source is samples.
    pub ground: Pulses,
    /// A speed sample that arrived since the last tick.
    pub sample: Option<SpeedSample>,
    /// Yaw rate, anticlockwise positive, where it is known.
    pub yaw: Option<RadiansPerSecond>,
    /// Level of the lift input.
    pub lift: bool,
    /// Master switch.
    pub master: bool,
    /// Hold-to-run button.
    pub hold: bool,
    /// The sides, left to right; those beyond the settings are ignored.
    pub sides: [SideInputs; MAX_SIDES],
}

/// What is read of one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SideInputs {
    /// Encoder of the meter shaft.
    pub shaft: Pulses,
    /// The side's own switch.
    pub switch: bool,
}
