//! Speed messages: speed without a sign, the way gone, the direction.
//!
//! ```text
//!                1  2        3  4  5  6        7              8
//!  65096 wheel   speed       distance          power time     reversed | operations | key switch | direction
//!  65097 ground  speed       distance                                                              direction
//!  61474 selected speed      distance          exit code      limit (3) | source (3)             | direction
//!  65265         –  speed
//!  65256         –  –  speed
//! ```
//!
//! Words of the first three: 1 mm/s and 1 mm a bit (SPN 1862, 1863, 1859, 1860, 4305, 4306: isobus.net); of the last
//! two: 1/256 km/h (SPN 84, 517; the bytes of SPN 84 are from memory and agree with the recorded logs).
//! Direction: 00 backwards, 01 forward, 10 error, 11 not available; it becomes the sign of the speed. An operator who
//! sits the other way round (SPN 5244) turns it round: the drill goes the way that the operator looks. A direction
//! that is not known leaves the speed positive.

use super::{Distance, Reading};
use crate::quantity::{Instant, MetresPerSecond};
use crate::sense::{Direction, SpeedReport, SpeedSample};

/// Wheel-based speed and distance (65096).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct WheelSpeed {
    /// Speed, never negative.
    pub speed: Reading<MetresPerSecond>,
    /// The way gone.
    pub distance: Reading<Distance>,
    /// How long the tractor will go on giving power at most, minutes.
    pub power_minutes: Reading<u8>,
    /// Direction of the tractor.
    pub direction: Reading<Direction>,
    /// The key switch is on.
    pub key_switch: Reading<bool>,
    /// The operator started operations.
    pub operations: Reading<bool>,
    /// The operator sits the other way round.
    pub reversed: Reading<bool>,
    /// The instant at which it was true.
    pub at: Instant,
}

/// Ground-based speed and distance (65097).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct GroundSpeed {
    /// Speed, never negative.
    pub speed: Reading<MetresPerSecond>,
    /// The way gone.
    pub distance: Reading<Distance>,
    /// Direction of the tractor.
    pub direction: Reading<Direction>,
    /// The operator sits the other way round, as the wheel-based message says.
    pub turned_round: bool,
    /// The instant at which it was true.
    pub at: Instant,
}

/// Machine selected speed and distance (61474).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SelectedSpeed {
    /// Speed, never negative.
    pub speed: Reading<MetresPerSecond>,
    /// The way gone.
    pub distance: Reading<Distance>,
    /// Exit or reason code, 0 clear.
    pub exit: Reading<u8>,
    /// Direction of the tractor.
    pub direction: Reading<Direction>,
    /// Which speed the tractor chose, the code as sent.
    pub source: Reading<u8>,
    /// What limits the speed, the code as sent.
    pub limit: Reading<u8>,
    /// The operator sits the other way round, as the wheel-based message says.
    pub turned_round: bool,
    /// The instant at which it was true.
    pub at: Instant,
}

/// Vehicle speed without distance or direction (65265, 65256).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct VehicleSpeed {
    /// Speed, never negative.
    pub speed: Reading<MetresPerSecond>,
    /// The instant at which it was true.
    pub at: Instant,
}

impl WheelSpeed {
    /// Reads the eight bytes.
    pub(super) fn read(bytes: [u8; 8], at: Instant) -> Self {
        let [_, _, _, _, _, _, minutes, states] = bytes;
        Self {
            speed: speed(bytes),
            distance: distance(bytes),
            power_minutes: Reading::of_byte(minutes),
            direction: direction(states),
            key_switch: Reading::of_pair(states.wrapping_shr(2)),
            operations: Reading::of_pair(states.wrapping_shr(4)),
            reversed: Reading::of_pair(states.wrapping_shr(6)),
            at,
        }
    }

    /// Which way the drill goes, as the operator looks, where it is known.
    pub fn heading(&self) -> Option<Direction> {
        heading(self.direction, matches!(self.reversed, Reading::Value(true)))
    }

    /// The speed as the controller takes it, negative backwards.
    pub fn report(&self) -> SpeedReport {
        report(self.speed, self.heading(), self.at)
    }
}

impl GroundSpeed {
    /// Reads the eight bytes.
    pub(super) fn read(bytes: [u8; 8], at: Instant) -> Self {
        let [_, _, _, _, _, _, _, states] = bytes;
        Self {
            speed: speed(bytes),
            distance: distance(bytes),
            direction: direction(states),
            turned_round: false,
            at,
        }
    }

    /// Which way the drill goes, as the operator looks, where it is known.
    pub fn heading(&self) -> Option<Direction> {
        heading(self.direction, self.turned_round)
    }

    /// The speed as the controller takes it, negative backwards.
    pub fn report(&self) -> SpeedReport {
        report(self.speed, self.heading(), self.at)
    }
}

impl SelectedSpeed {
    /// Reads the eight bytes.
    pub(super) fn read(bytes: [u8; 8], at: Instant) -> Self {
        let [_, _, _, _, _, _, exit, states] = bytes;
        Self {
            speed: speed(bytes),
            distance: distance(bytes),
            exit: Reading::of_six(exit),
            direction: direction(states),
            source: Reading::of_three(states.wrapping_shr(2)),
            limit: Reading::of_three(states.wrapping_shr(5)),
            turned_round: false,
            at,
        }
    }

    /// Which way the drill goes, as the operator looks, where it is known.
    pub fn heading(&self) -> Option<Direction> {
        heading(self.direction, self.turned_round)
    }

    /// The speed as the controller takes it, negative backwards.
    pub fn report(&self) -> SpeedReport {
        report(self.speed, self.heading(), self.at)
    }
}

impl VehicleSpeed {
    /// Reads the wheel-based word, bytes 2 and 3.
    pub(super) fn read_wheel([_, low, high, ..]: [u8; 8], at: Instant) -> Self {
        Self { speed: by_256(low, high), at }
    }

    /// Reads the navigation-based word, bytes 3 and 4.
    pub(super) fn read_navigation([_, _, low, high, ..]: [u8; 8], at: Instant) -> Self {
        Self { speed: by_256(low, high), at }
    }

    /// The speed as the controller takes it.
    pub const fn report(&self) -> SpeedReport {
        report(self.speed, None, self.at)
    }
}

/// A speed with its direction as the sign; one that is not known leaves it positive.
pub(super) const fn report(
    speed: Reading<MetresPerSecond>,
    direction: Option<Direction>,
    at: Instant,
) -> SpeedReport {
    match speed {
        Reading::Value(speed) => SpeedReport::Speed(SpeedSample {
            speed: match direction {
                Some(Direction::Reverse) => MetresPerSecond::ZERO.saturating_sub(speed),
                Some(Direction::Forward) | None => speed,
            },
            at,
        }),
        Reading::NotAvailable => SpeedReport::NotAvailable,
        Reading::Error => SpeedReport::Error,
        Reading::OutOfRange => SpeedReport::OutOfRange,
    }
}

/// Bytes 1 and 2: 1 mm/s a bit.
fn speed([low, high, ..]: [u8; 8]) -> Reading<MetresPerSecond> {
    let word = Reading::of_word(u16::from_le_bytes([low, high]));
    word.map(|word| MetresPerSecond::from_millimetres(u32::from(word)))
}

/// A word of 1/256 km/h a bit.
fn by_256(low: u8, high: u8) -> Reading<MetresPerSecond> {
    // 2^20 / (256 · 3.6) = 10 240 / 9, rounded to the nearest; below 2^30 for every word.
    let bits = |word: u16| u32::from(word).saturating_mul(10_240).saturating_add(4) / 9;
    Reading::of_word(u16::from_le_bytes([low, high]))
        .map(|word| MetresPerSecond::from_bits(i32::try_from(bits(word)).unwrap_or(i32::MAX)))
}

/// Bytes 3 to 6: 1 mm a bit.
fn distance([_, _, a, b, c, d, ..]: [u8; 8]) -> Reading<Distance> {
    Reading::of_long(u32::from_le_bytes([a, b, c, d])).map(Distance::from_millimetres)
}

/// The lowest two bits of byte 8.
fn direction(states: u8) -> Reading<Direction> {
    let which = |forward| if forward { Direction::Forward } else { Direction::Reverse };
    Reading::of_pair(states).map(which)
}

/// The direction as the operator looks.
fn heading(direction: Reading<Direction>, turned_round: bool) -> Option<Direction> {
    direction.value().map(|direction| match (direction, turned_round) {
        (Direction::Forward, false) | (Direction::Reverse, true) => Direction::Forward,
        (Direction::Reverse, false) | (Direction::Forward, true) => Direction::Reverse,
    })
}
