//! What a source says, with the instant at which it was true.

use crate::quantity::{Course, Instant, MetresPerSecond, Micrometres, Position};

/// A speed sample and the instant at which it was true.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SpeedSample {
    /// Ground speed; negative backwards where the source knows the direction.
    pub speed: MetresPerSecond,
    /// The instant at which it was true: arrival less the source's latency.
    pub at: Instant,
}

/// What a source of speed samples said: a speed, or one of three answers that are not a speed. None of them is
/// zero: standing still and knowing nothing need different reactions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum SpeedReport {
    /// A speed.
    Speed(SpeedSample),
    /// The sender lives and does not know: the source ages as if it were silent.
    NotAvailable,
    /// The sender says that its sensor is broken: the source is lost at once.
    Error,
    /// A value that the standard reserves: the source is lost at once.
    OutOfRange,
}

/// What came from each source of speed samples since the last tick.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SpeedReports {
    /// GNSS receiver (NMEA 0183).
    pub receiver: Option<SpeedReport>,
    /// Wheel-based speed of the bus (ISO 11783-7).
    pub bus_wheel: Option<SpeedReport>,
    /// Ground-based speed of the bus (ISO 11783-7).
    pub bus_ground: Option<SpeedReport>,
    /// Machine selected speed of the bus (ISO 11783-7).
    pub bus_selected: Option<SpeedReport>,
}

/// Which way the drill goes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Direction {
    /// Forward.
    #[default]
    Forward,
    /// Backwards: no seed is laid and no ground counted.
    Reverse,
}

/// A course over ground, clockwise from true north, and the instant at which it was true.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CourseSample {
    /// The course.
    pub course: Course,
    /// Speed of the same fix: a slow receiver has no course.
    pub speed: MetresPerSecond,
    /// The instant at which it was true.
    pub at: Instant,
}

/// A position of the antenna and the instant at which it was true.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct PositionSample {
    /// The position.
    pub position: Position,
    /// The instant at which it was true.
    pub at: Instant,
}

/// Distance to a line across the path, as guidance or an operator's mark gives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LineSample {
    /// From the antenna to the line along the path, positive ahead.
    pub distance: Micrometres,
    /// Beyond the line seed is wanted: `true` for the line at which sowing begins, `false` where it ends.
    pub sow_beyond: bool,
    /// The instant at which it was true.
    pub at: Instant,
}

/// Whether the hitch says that the implement is in work, and when it said so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct HitchSample {
    /// In work.
    pub in_work: bool,
    /// The instant at which it was said.
    pub at: Instant,
}
