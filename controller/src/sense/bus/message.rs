//! A message of the bus, read from the eight bytes of its parameter group.

use super::{
    Channel, CourseAndSpeed, GroundSpeed, HitchStatus, Identifier, Reading, SelectedSpeed,
    VehicleSpeed, WheelSpeed, YawRate,
};
use crate::quantity::Instant;

/// A message that the controller can use.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Message {
    /// Wheel-based speed and distance, 65096.
    Wheel(WheelSpeed),
    /// Ground-based speed and distance, 65097.
    Ground(GroundSpeed),
    /// Machine selected speed, 61474.
    Selected(SelectedSpeed),
    /// Wheel-based vehicle speed, 65265.
    VehicleWheel(VehicleSpeed),
    /// Navigation-based vehicle speed, 65256.
    VehicleNavigation(VehicleSpeed),
    /// Course and speed over ground, 129026.
    CourseAndSpeed(CourseAndSpeed),
    /// Rear hitch, 65093.
    RearHitch(HitchStatus),
    /// Front hitch, 65094.
    FrontHitch(HitchStatus),
    /// Yaw rate, 61449.
    Yaw(YawRate),
}

impl Message {
    /// Reads the bytes of a group, true at `at`; none where the group is of no use here.
    pub fn read(identifier: Identifier, bytes: [u8; 8], at: Instant) -> Option<Self> {
        let message = match identifier.group {
            65_096 => Self::Wheel(WheelSpeed::read(bytes, at)),
            65_097 => Self::Ground(GroundSpeed::read(bytes, at)),
            61_474 => Self::Selected(SelectedSpeed::read(bytes, at)),
            65_265 => Self::VehicleWheel(VehicleSpeed::read_wheel(bytes, at)),
            65_256 => Self::VehicleNavigation(VehicleSpeed::read_navigation(bytes, at)),
            129_026 => Self::CourseAndSpeed(CourseAndSpeed::read(bytes, at)),
            65_093 => Self::RearHitch(HitchStatus::read(bytes, at)),
            65_094 => Self::FrontHitch(HitchStatus::read(bytes, at)),
            61_449 => Self::Yaw(YawRate::read(bytes, at)),
            _ => return None,
        };
        Some(message)
    }

    /// The quantity that it gives, the place of its group among those that give it, and what it says of it.
    pub(super) fn standing(&self) -> (Channel, u8, Reading<()>) {
        match self {
            Self::Wheel(it) => (Channel::Wheel, 0, it.speed.map(drop)),
            Self::VehicleWheel(it) => (Channel::Wheel, 1, it.speed.map(drop)),
            Self::Ground(it) => (Channel::Ground, 0, it.speed.map(drop)),
            Self::CourseAndSpeed(it) => (Channel::Ground, 1, it.speed.map(drop)),
            Self::VehicleNavigation(it) => (Channel::Ground, 2, it.speed.map(drop)),
            Self::Selected(it) => (Channel::Selected, 0, it.speed.map(drop)),
            Self::RearHitch(it) | Self::FrontHitch(it) => (Channel::Hitch, 0, it.in_work.map(drop)),
            Self::Yaw(it) => (Channel::Yaw, 0, it.rate.map(drop)),
        }
    }

    /// The message, told whether the operator sits the other way round where it does not say so itself.
    pub(super) const fn turned(mut self, turned_round: bool) -> Self {
        match &mut self {
            Self::Ground(it) => it.turned_round = turned_round,
            Self::Selected(it) => it.turned_round = turned_round,
            Self::Wheel(_)
            | Self::VehicleWheel(_)
            | Self::VehicleNavigation(_)
            | Self::CourseAndSpeed(_)
            | Self::RearHitch(_)
            | Self::FrontHitch(_)
            | Self::Yaw(_) => {}
        }
        self
    }
}
