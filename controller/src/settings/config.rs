//! Settings as a person writes them.

use crate::MAX_SIDES;
use crate::drive::{MAX_MAP_POINTS, MapPoint};
use crate::quantity::{MetresPerSecond, Micrometres, Micros, MilligramsPerSquareMetre};
use crate::seed::{MAX_POINTS, MeterPoint};
use crate::sense::SpeedSource;
use heapless::Vec;

/// Everything that a person sets.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SettingsConfig {
    /// The sides, left to right: 1 to 4.
    pub sides: Vec<SideConfig, MAX_SIDES>,
    /// Where ground speed comes from.
    pub source: SpeedSource,
    /// Seeding rate: 0.5 to 500 kg/ha, which is 50 to 50 000 mg/m².
    pub rate: MilligramsPerSquareMetre,
    /// Lowest sowing speed: 0.05 to 2 m/s.
    pub lowest_speed: MetresPerSecond,
    /// Highest ground speed that is sown at: above the lowest, up to 15 m/s. Edge rates are checked at it.
    pub top_speed: MetresPerSecond,
    /// Time from meter to soil: 0 to 2 s.
    pub delivery_delay: Micros,
    /// The lift input.
    pub lift: LiftConfig,
    /// Edges per second that the board can capture on one channel: 10 to 1 000 000.
    pub capture_rate: u32,
}

/// The lift input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LiftConfig {
    /// Level of the input when the implement is in work.
    pub lowered_level: bool,
    /// The input must be steady for so long: 0 to 500 ms. Counts in the start and stop errors.
    pub debounce: Micros,
}

/// One side.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SideConfig {
    /// Working width: 0.1 to 18 m.
    pub width: Micrometres,
    /// Offset of its centre from the drill's centre line, positive to the left: −20 to 20 m.
    pub offset: Micrometres,
    /// Encoder edges per turn of the meter shaft: 1 to 4096.
    pub edges_per_turn: u32,
    /// Meter curve: 1 to 6 catches.
    pub meter: Vec<MeterPoint, MAX_POINTS>,
    /// Valve map: 2 to 12 points, the first at the opening command and zero speed.
    pub map: Vec<MapPoint, MAX_MAP_POINTS>,
    /// Lag τ1 of the drive: 10 ms to 2 s.
    pub lag: Micros,
    /// Dead time θ of the drive: 1 ms to 1 s.
    pub dead_time: Micros,
}
