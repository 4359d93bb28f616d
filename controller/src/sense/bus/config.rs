//! How the bus is read, as a person writes it.

use crate::quantity::Micros;

/// How the bus is read, as a person writes it; `Default` hears everybody, rear hitch, no latency.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct BusConfig {
    /// Addresses that alone are heard.
    pub senders: Senders,
    /// The hitch that the drill hangs on; messages of the other are passed over.
    pub hitch: Hitch,
    /// Age of a message when it arrives, 1 s at the most; a longer one is held there.
    pub latency: Micros,
}

/// Address of the one sender that is heard for a quantity; none keeps the first that gives a value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Senders {
    /// Wheel-based speed.
    pub wheel: Option<u8>,
    /// Ground-based speed.
    pub ground: Option<u8>,
    /// Machine selected speed.
    pub selected: Option<u8>,
    /// Hitch.
    pub hitch: Option<u8>,
    /// Yaw rate.
    pub yaw: Option<u8>,
    /// Course over ground.
    pub course: Option<u8>,
}

/// Which hitch the drill hangs on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Hitch {
    /// Primary, rear.
    #[default]
    Rear,
    /// Secondary, front.
    Front,
}
