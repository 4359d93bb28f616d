//! What is wrong with settings.

use core::fmt;

/// A rule of the settings; each is checked on its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Rule {
    /// Number of sides.
    Sides,
    /// Number of sides that meter the first product.
    FirstProduct,
    /// Seeding rate of the second product, Q16 mg/m²; 0 where none is set. It is set where a side meters that product.
    SecondRate,
    /// The ground of a side is in part that of a side of the other product, or that of two of them: number of such a
    /// side, from 1.
    SharedGround,
    /// Number of outlets.
    Outlets,
    /// Working width, µm.
    Width,
    /// Offset, µm.
    Offset,
    /// Encoder edges per turn.
    EdgesPerTurn,
    /// Number of catches in the meter curve.
    MeterPoints,
    /// Mass per turn of a catch, µg.
    MeterMass,
    /// Shaft speed of a catch, Q21 turns/s: it must rise from catch to catch.
    MeterOrder,
    /// Mass per turn of a catch, µg: the mass flow must rise from catch to catch.
    MeterFlow,
    /// Number of points of the valve map.
    MapPoints,
    /// The first point of the map must be at zero shaft speed.
    MapOpening,
    /// Shaft speed of a point of the map, Q21 turns/s: it must rise.
    MapOrder,
    /// Command of a point of the map, Q16: it must rise.
    MapCommand,
    /// Shaft speed at full command, Q21 turns/s.
    MapFull,
    /// Lag, µs.
    Lag,
    /// Dead time, µs.
    DeadTime,
    /// Time of a motorised valve's full travel, µs.
    Stroke,
    /// Running time of a motorised valve that is lost to play, µs.
    Play,
    /// Turns per metre of a side at this rate, Q26.
    TurnsPerMetre,
    /// Seeding rate, Q16 mg/m².
    Rate,
    /// Lowest sowing speed, Q20 m/s.
    LowestSpeed,
    /// Highest sowing speed, Q20 m/s.
    TopSpeed,
    /// Delivery delay, µs.
    DeliveryDelay,
    /// Debounce of the lift input, µs.
    Debounce,
    /// Ground pulses per metre, Q16.
    PulsesPerMetre,
    /// Age limit of speed samples, µs.
    SampleLimit,
    /// Number of speed sources.
    Sources,
    /// A kind of speed source is there more than once: its place, from 0.
    SourceTwice,
    /// Slip is to be corrected without pulses, or without a source over ground.
    SlipSources,
    /// Age limit of the hitch, µs.
    HitchLimit,
    /// Way from the antenna to the openers, µm.
    AntennaToOpener,
    /// Way of the openers after the switch reads "in work", µm.
    Lowering,
    /// Way of the openers after the switch reads "lifted", µm.
    Lifting,
    /// Least length of a gap, µm.
    LeastGap,
    /// Edges per second that the board can capture.
    CaptureRate,
    /// Edges per second of the ground sensor at top speed, above what the board captures.
    GroundCapture,
    /// Edges per second of a shaft encoder at full command, above what the board captures.
    ShaftCapture,
    /// Ground speed of a start by hand, Q20 m/s.
    StartSpeed,
    /// Road speed, Q20 m/s.
    RoadSpeed,
    /// Time after which a lifted drill is disarmed, µs.
    RaisedFor,
    /// Correction of the map that is told, per mille.
    CorrectionTold,
    /// Most correction of the map, per mille.
    CorrectionLimit,
    /// Band of the rate, per mille.
    RateBand,
    /// Way for which the rate may be outside its band, µm.
    RateWay,
}

/// A rule that is broken: where, by what value, and what would be right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SettingsError {
    /// The rule.
    pub rule: Rule,
    /// The side, from 0, if the rule is one of sides.
    pub side: Option<u8>,
    /// The catch or the point of the map, from 1, if the rule is one of those.
    pub point: Option<u8>,
    /// The value that is set.
    pub value: i64,
    /// The least that is possible.
    pub low: i64,
    /// The most that is possible.
    pub high: i64,
}

/// Checks one number.
pub(super) const fn within(
    rule: Rule,
    side: Option<u8>,
    value: i64,
    low: i64,
    high: i64,
) -> Result<(), SettingsError> {
    if value < low || value > high {
        return Err(SettingsError { rule, side, point: None, value, low, high });
    }
    Ok(())
}

impl Rule {
    /// A limit of the working day in words.
    const fn limit(self) -> &'static str {
        match self {
            Self::StartSpeed => "speed of a start by hand in 2^-20 m/s",
            Self::RoadSpeed => "road speed in 2^-20 m/s",
            Self::RaisedFor => "time lifted before it is disarmed in microseconds",
            Self::CorrectionTold => "correction that is told per mille",
            Self::CorrectionLimit => "most correction of the map per mille",
            Self::RateBand => "band of the rate per mille",
            Self::RateWay => "way for which the rate may be off in micrometres",
            _ => "a limit",
        }
    }

    #[expect(clippy::too_many_lines, reason = "a table, a line a rule")]
    const fn words(self) -> &'static str {
        match self {
            Self::Sides => "number of sides",
            Self::FirstProduct => "number of sides of the first product",
            Self::SecondRate => "seeding rate of the second product in 2^-16 mg/m2",
            Self::SharedGround => "number of a side of the other product on part of its ground",
            Self::Outlets => "number of outlets",
            Self::Width => "working width in micrometres",
            Self::Offset => "offset in micrometres",
            Self::EdgesPerTurn => "encoder edges per turn",
            Self::MeterPoints => "number of catches",
            Self::MeterMass => "mass per turn of a catch in micrograms",
            Self::MeterOrder => "shaft speed of a catch in 2^-21 turns/s",
            Self::MeterFlow => "mass per turn of a catch, whose flow must rise, in micrograms",
            Self::MapPoints => "number of points of the valve map",
            Self::MapOpening => "shaft speed at the opening command",
            Self::MapOrder => "shaft speed of a point of the valve map in 2^-21 turns/s",
            Self::MapCommand => "command of a point of the valve map in 2^-16",
            Self::MapFull => "shaft speed at full command in 2^-21 turns/s",
            Self::Lag => "lag in microseconds",
            Self::DeadTime => "dead time in microseconds",
            Self::Stroke => "full travel of the motorised valve in microseconds",
            Self::Play => "play of the motorised valve in microseconds",
            Self::TurnsPerMetre => "turns per metre in 2^-26",
            Self::Rate => "seeding rate in 2^-16 mg/m2",
            Self::LowestSpeed => "lowest sowing speed in 2^-20 m/s",
            Self::TopSpeed => "top speed in 2^-20 m/s",
            Self::DeliveryDelay => "delivery delay in microseconds",
            Self::Debounce => "debounce in microseconds",
            Self::PulsesPerMetre => "ground pulses per metre in 2^-16",
            Self::SampleLimit => "age limit of samples in microseconds",
            Self::Sources => "number of speed sources",
            Self::SourceTwice => "place of a speed source that is there twice",
            Self::SlipSources => "slip without pulses or without a source over ground",
            Self::HitchLimit => "age limit of the hitch in microseconds",
            Self::AntennaToOpener => "way from antenna to openers in micrometres",
            Self::Lowering => "way of the openers into the ground in micrometres",
            Self::Lifting => "way of the openers out of the ground in micrometres",
            Self::LeastGap => "least length of a gap in micrometres",
            Self::CaptureRate => "capture rate in edges per second",
            Self::GroundCapture => "edges per second of the ground sensor at top speed",
            Self::ShaftCapture => "edges per second of the shaft encoder at full command",
            _ => self.limit(),
        }
    }
}

impl fmt::Display for SettingsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(side) = self.side {
            write!(f, "side {}, ", side.saturating_add(1))?;
        }
        if let Some(point) = self.point {
            write!(f, "point {point}, ")?;
        }
        write!(
            f,
            "{} is {}; {} to {} is possible",
            self.rule.words(),
            self.value,
            self.low,
            self.high
        )
    }
}

impl core::error::Error for SettingsError {}
