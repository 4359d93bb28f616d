//! Items of the watch: stable numbers and what each does.

/// An item of the watch; the value is its stable number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(u8)]
#[non_exhaustive]
pub enum Item {
    /// The ground speed source fell silent.
    SpeedLost = 1,
    /// The ground speed jumped as no tractor does.
    SpeedImplausible = 2,
    /// The valve is driven and the shaft shows no edges.
    ShaftSilent = 3,
    /// The shaft turns although the valve is at rest.
    ShaftTurnsAtRest = 4,
    /// The shaft speed stays off what is wanted.
    ShaftDoesNotFollow = 5,
    /// The ground speed asks for more than the drive can turn.
    TargetAbove = 6,
    /// The ground speed asks for less than the drive can turn smoothly.
    TargetBelow = 7,
    /// No tick came for too long.
    InputsStale = 8,
    /// The settings do not match their check sum or break a rule.
    SettingsInvalid = 9,
    /// A tick came late.
    TickLate = 10,
    /// No source lives: the speed that was set by hand is used.
    SpeedByHand = 11,
    /// A speed source is missing; another is followed.
    SourceMissing = 12,
    /// Two speed sources disagree.
    SourcesDisagree = 13,
    /// Ground was left bare.
    Gap = 14,
    /// The hopper's level switch reads empty.
    HopperEmpty = 15,
    /// Seed is metered and none passes the tube sensor.
    NoSeedInTubes = 16,
    /// The hitch says nothing of the lift, or its switch chatters.
    LiftUnknown = 17,
    /// The hard-wired stop is pressed.
    StopPressed = 18,
    /// Faster than the set road speed: disarmed.
    RoadSpeed = 19,
    /// The implement was lifted for longer than set: disarmed.
    RaisedLong = 20,
    /// The shaft turns backwards.
    ShaftBackwards = 21,
    /// The valve must open further than its map says: stiff shaft, wet seed, wrong oil.
    OpenedTooFar = 22,
    /// The correction of the map is at its limit: the drive will not arm again.
    CorrectionAtLimit = 23,
    /// The rate was outside its band for longer than the set way.
    RateOff = 24,
    /// A side runs by its valve map alone, without its encoder.
    ByMap = 25,
    /// The box holds less than the set mass.
    BoxLow = 26,
    /// The box will be empty before this pass ends.
    BoxWillNotLast = 27,
}

/// What an item does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Class {
    /// The person is told.
    Alarm,
    /// Output is taken away and comes back by itself.
    Pause,
    /// Output is taken away until a fresh off→on of the operator.
    Latch,
}

impl Item {
    /// The stable number.
    #[must_use]
    pub const fn number(self) -> u8 {
        #[expect(clippy::as_conversions, reason = "the enum is repr(u8)")]
        let number = self as u8;
        number
    }

    /// What it does.
    pub const fn class(self) -> Class {
        match self {
            Self::SpeedLost | Self::LiftUnknown => Class::Pause,
            Self::SpeedImplausible
            | Self::ShaftDoesNotFollow
            | Self::TargetAbove
            | Self::TargetBelow
            | Self::TickLate
            | Self::SpeedByHand
            | Self::SourceMissing
            | Self::SourcesDisagree
            | Self::Gap
            | Self::HopperEmpty
            | Self::NoSeedInTubes
            | Self::OpenedTooFar
            | Self::CorrectionAtLimit
            | Self::RateOff
            | Self::ByMap
            | Self::BoxLow
            | Self::BoxWillNotLast => Class::Alarm,
            Self::StopPressed
            | Self::RoadSpeed
            | Self::RaisedLong
            | Self::ShaftBackwards
            | Self::ShaftSilent
            | Self::ShaftTurnsAtRest
            | Self::InputsStale
            | Self::SettingsInvalid => Class::Latch,
        }
    }
}
