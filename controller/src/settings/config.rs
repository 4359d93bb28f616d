//! Settings as a person writes them.

use super::LimitsConfig;
use crate::MAX_SIDES;
use crate::drive::{MAX_MAP_POINTS, MapPoint, ValveKind};
use crate::quantity::{MetresPerSecond, Micrometres, Micros, MilligramsPerSquareMetre};
use crate::seed::{MAX_POINTS, MeterPoint, Product};
use crate::sense::{MAX_SOURCES, SpeedSource};
use heapless::Vec;

/// Everything that a person sets.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SettingsConfig {
    /// The sides, left to right: 1 to 4. Sides of the two products lie on the very same ground or on none in common.
    pub sides: Vec<SideConfig, MAX_SIDES>,
    /// Where ground speed comes from, in order of preference: 1 to 4, each kind once.
    pub sources: Vec<SpeedSource, MAX_SOURCES>,
    /// Correct the wheel slip of the pulses by a source over ground; one of each must be among the sources.
    pub correct_slip: bool,
    /// Seeding rate of the first product: 0.5 to 500 kg/ha, which is 50 to 50 000 mg/m².
    pub rate: MilligramsPerSquareMetre,
    /// That of the second product; there exactly where a side meters it.
    pub second_rate: Option<MilligramsPerSquareMetre>,
    /// Lowest sowing speed: 0.05 to 2 m/s.
    pub lowest_speed: MetresPerSecond,
    /// Highest ground speed that is sown at: above the lowest, up to 15 m/s. Edge rates are checked at it.
    pub top_speed: MetresPerSecond,
    /// Time from meter to soil: 0 to 2 s.
    pub delivery_delay: Micros,
    /// The lift input.
    pub lift: LiftConfig,
    /// Where things are along the drill.
    pub places: PlacesConfig,
    /// Ground left bare for further than this is a gap: 0.1 to 50 m.
    pub least_gap: Micrometres,
    /// Where the controller tells, disarms, or goes no further.
    pub limits: LimitsConfig,
    /// Edges per second that the board can capture on one channel: 10 to 1 000 000.
    pub capture_rate: u32,
}

/// Where things are along the drill, positive to the rear.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct PlacesConfig {
    /// From the antenna (or the mark that the line input counts from) to the openers: −20 to 20 m.
    pub antenna_to_opener: Micrometres,
    /// Way from the lift switch reading "in work" to the openers being in the ground: 0 to 10 m.
    pub lowering: Micrometres,
    /// Way from the lift switch reading "lifted" to the openers leaving the ground: 0 to 10 m.
    pub lifting: Micrometres,
}

/// Where the lift is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum LiftSource {
    /// The input of the board.
    #[default]
    Switch,
    /// The hitch on the bus; one that says nothing for so long is not in work. 0.2 to 5 s.
    Hitch {
        /// The age limit.
        limit: Micros,
    },
}

/// The lift input.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LiftConfig {
    /// Where it is read.
    pub from: LiftSource,
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
    /// The product that it meters.
    pub product: Product,
    /// Working width: 0.1 to 18 m.
    pub width: Micrometres,
    /// Offset of its centre from the drill's centre line, positive to the left: −20 to 20 m.
    pub offset: Micrometres,
    /// Outlets of its meter: 1 to 512. Some of them may be shut later.
    pub outlets: u16,
    /// Encoder edges per turn of the meter shaft: 1 to 4096.
    pub edges_per_turn: u32,
    /// The encoder has two channels: its count falls while the shaft turns backwards.
    pub two_channel: bool,
    /// Meter curve: 1 to 6 catches.
    pub meter: Vec<MeterPoint, MAX_POINTS>,
    /// Valve map: 2 to 12 points, the first at the opening command and zero speed. The command of a motorised
    /// valve is its place, 0 shut to 1 open.
    pub map: Vec<MapPoint, MAX_MAP_POINTS>,
    /// Lag τ1 of the drive: 10 ms to 2 s.
    pub lag: Micros,
    /// Dead time θ of the drive: 1 ms to 1 s; to 0.3 s where the valve is motorised.
    pub dead_time: Micros,
    /// Which kind of valve it has.
    pub valve: ValveKind,
}
