//! What the board hands to the controller on every tick.

use crate::MAX_SIDES;
use crate::quantity::{Instant, RadiansPerSecond};
use crate::sense::{
    CourseSample, Direction, HitchSample, LineSample, PositionSample, Pulses, SpeedReports,
};

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
    /// Ground pulses; ignored where they are no source.
    pub ground: Pulses,
    /// Speeds that arrived since the last tick.
    pub speeds: SpeedReports,
    /// Which way the drill goes, from the bus or a switch, where it is known.
    pub direction: Option<Direction>,
    /// Yaw rate of a gyro or the bus, anticlockwise positive, where it is known; without it the course tells.
    pub yaw: Option<RadiansPerSecond>,
    /// A course over ground that arrived since the last tick.
    pub course: Option<CourseSample>,
    /// A position that arrived since the last tick.
    pub position: Option<PositionSample>,
    /// A distance to a line ahead that arrived since the last tick.
    pub line: Option<LineSample>,
    /// Level of the lift input.
    pub lift: bool,
    /// What the hitch said on the bus since the last tick; ignored where the lift is a switch.
    pub hitch: Option<HitchSample>,
    /// The level switch of the hopper reads empty, where there is one.
    pub hopper_empty: Option<bool>,
    /// Master switch.
    pub master: bool,
    /// Hold-to-run button: runs at standstill; with the master on, a start by hand.
    pub hold: bool,
    /// The hard-wired stop reads pressed, where it is wired to be read. It cuts the oil without the processor.
    pub stop: Option<bool>,
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
    /// Seed passes the tube sensor, where there is one.
    pub seed_seen: Option<bool>,
}
