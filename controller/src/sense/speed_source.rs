//! A source of ground speed as a person writes it.

use super::{Quality, SpeedReport, SpeedReports};
use crate::quantity::{Micros, PulsesPerMetre};

/// Which of the sources of samples.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Sampled {
    /// GNSS receiver.
    Receiver,
    /// Wheel-based speed of the bus.
    BusWheel,
    /// Ground-based speed of the bus.
    BusGround,
    /// Machine selected speed of the bus.
    BusSelected,
}

impl Sampled {
    /// What this source said since the last tick.
    pub(super) const fn report(self, reports: &SpeedReports) -> Option<SpeedReport> {
        match self {
            Self::Receiver => reports.receiver,
            Self::BusWheel => reports.bus_wheel,
            Self::BusGround => reports.bus_ground,
            Self::BusSelected => reports.bus_selected,
        }
    }
}

/// A source of ground speed as a person writes it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum SpeedSource {
    /// Pulses of a wheel or radar.
    Pulses {
        /// Pulses per metre of travel, 1 to 2000.
        per_metre: PulsesPerMetre,
    },
    /// Timed samples.
    Samples {
        /// Whose.
        from: Sampled,
        /// A sample older than this is stale: the source is lost. 0.1 to 5 s.
        limit: Micros,
    },
}

impl SpeedSource {
    /// How noisy its measurements are.
    pub const fn quality(self) -> Quality {
        match self {
            Self::Pulses { .. } => Quality::Pulses,
            Self::Samples { .. } => Quality::Samples,
        }
    }

    /// Both are of one kind: pulses, or samples from the same place.
    pub(crate) fn is_like(self, other: Self) -> bool {
        match (self, other) {
            (Self::Pulses { .. }, Self::Pulses { .. }) => true,
            (Self::Samples { from, .. }, Self::Samples { from: other, .. }) => from == other,
            (Self::Pulses { .. }, Self::Samples { .. })
            | (Self::Samples { .. }, Self::Pulses { .. }) => false,
        }
    }

    /// It is a measurement over ground, free of wheel slip.
    pub(crate) const fn is_over_ground(self) -> bool {
        match self {
            Self::Samples { from: Sampled::Receiver | Sampled::BusGround, .. } => true,
            Self::Pulses { .. }
            | Self::Samples { from: Sampled::BusWheel | Sampled::BusSelected, .. } => false,
        }
    }
}
