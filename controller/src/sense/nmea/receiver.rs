//! The receiver: sentences of one epoch become fixes with the instant at which they were true.
//!
//! ```text
//!  arrival of the epoch's first $   ─┐
//!  UTC of the epoch ────────────────►├─ offset = earliest arrival − UTC, which creeps up by 1/32 ─► at = UTC + offset − latency
//! ```
//!
//! A port delays, it never hurries: the earliest arrival is the truest. A clock that drifts is followed by the creep. A
//! UTC that jumps against the arrival (midnight, leap, another receiver) by more than 0.5 s begins the offset anew.
//!
//! RMC and VTG of one epoch say the same speed: the first one counts. A VTG has no time; it belongs to the
//! epoch whose sentences it follows at once, else it stands for itself.

use super::line::{LineState, Step};
use super::sentence::{self, Reading, Said};
use crate::quantity::{Instant, Micros};
use crate::sense::{CourseSample, PositionSample, SpeedSample};

/// Sentences of one burst follow each other within this time.
const BURST: Micros = Micros::from_millis(25);

/// A UTC that moved otherwise than the arrival by more than this begins anew.
const JUMP: u32 = 500_000;

/// What a person writes of a receiver.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct ReceiverConfig {
    /// Age of a fix when its first byte arrives: 0 to 1 s.
    pub latency: Micros,
}

/// The latency is above one second.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct LatencyTooLong;

/// A receiver whose numbers are checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Receiver {
    latency: Micros,
}

/// A time of day, UTC, in milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct UtcTime(u32);

impl UtcTime {
    /// So many milliseconds after midnight.
    pub const fn from_millis(millis: u32) -> Self {
        Self(millis)
    }

    /// Milliseconds after midnight.
    #[must_use]
    pub const fn millis(self) -> u32 {
        self.0
    }

    /// On the clock of instants; wraps as that does.
    const fn on_clock(self) -> Instant {
        Instant::from_micros(self.0.wrapping_mul(1_000))
    }
}

/// What one sentence gave.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Fix {
    /// Speed; of an epoch once.
    pub speed: Option<SpeedSample>,
    /// Course over ground; of an epoch once.
    pub course: Option<CourseSample>,
    /// Position of the antenna.
    pub position: Option<PositionSample>,
    /// Time of day, where the sentence has one.
    pub utc: Option<UtcTime>,
}

/// Sentences that were refused, by reason; the counts saturate.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Refused {
    /// The checksum is wrong or missing.
    pub checksum: u16,
    /// Status or mode say that the fix is not valid.
    pub status: u16,
    /// Fields are missing.
    pub layout: u16,
    /// Longer than any sentence.
    pub too_long: u16,
}

/// What is remembered of a receiver.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct ReceiverState {
    line: LineState,
    refused: Refused,
    /// Arrival of the present sentence's `$`.
    began: Instant,
    /// Arrival of the last byte.
    heard: Instant,
    /// The present sentence follows the one before at once.
    follows: bool,
    epoch: Option<UtcTime>,
    epoch_at: Instant,
    /// Speed and course of the epoch were given.
    given: bool,
    /// A sentence of this burst said that the fix is not valid: one without a status is not believed either.
    distrust: bool,
    /// Instant of midnight by the earliest arrival; wraps.
    midnight: Option<Instant>,
}

impl Receiver {
    /// Checks the latency.
    ///
    /// # Errors
    ///
    /// [`LatencyTooLong`] above one second.
    pub const fn new(config: ReceiverConfig) -> Result<Self, LatencyTooLong> {
        if config.latency.get() > 1_000_000 {
            return Err(LatencyTooLong);
        }
        Ok(Self { latency: config.latency })
    }

    /// Takes one byte that arrived at `now`; returns what a sentence gave as it ends.
    pub fn take(&self, state: &mut ReceiverState, byte: u8, now: Instant) -> Option<Fix> {
        let since = now.since_or_zero(state.heard);
        let step = state.line.take(byte);
        if state.line.begins() {
            state.follows = since <= BURST;
            state.distrust &= state.follows;
            state.began = now;
        }
        state.heard = now;
        let count = |counter: &mut u16| *counter = counter.saturating_add(1);
        match step {
            Step::More | Step::Began => None,
            Step::WrongSum => {
                count(&mut state.refused.checksum);
                None
            }
            Step::TooLong => {
                count(&mut state.refused.too_long);
                None
            }
            Step::Whole => match sentence::read(state.line.text()) {
                Reading::Other => None,
                Reading::Said(said) => self.fix(state, said),
                Reading::NotValid => {
                    count(&mut state.refused.status);
                    state.distrust = true;
                    None
                }
                Reading::Layout => {
                    count(&mut state.refused.layout);
                    None
                }
            },
        }
    }

    fn fix(&self, state: &mut ReceiverState, said: Said) -> Option<Fix> {
        if said.utc.is_some() {
            state.distrust = false;
        } else if state.distrust {
            return None;
        }
        match said.utc {
            Some(utc) if state.epoch == Some(utc) => {}
            // The burst began with a sentence without a time: this is its epoch.
            Some(utc) if state.follows && state.epoch.is_none() && state.given => {
                state.epoch = Some(utc);
            }
            Some(utc) => {
                state.epoch = Some(utc);
                state.epoch_at = state.place(utc);
                state.given = false;
            }
            None if state.follows && state.epoch.is_some() => {}
            None => {
                // A sentence for itself, without a time.
                state.epoch = None;
                state.epoch_at = state.began;
                state.given = false;
            }
        }
        let at = state.epoch_at.minus(self.latency);
        let fresh = !state.given;
        state.given |= said.speed.is_some();
        let speed = said.speed.filter(|_| fresh);
        let course = said.course.zip(speed);
        let fix = Fix {
            speed: speed.map(|speed| SpeedSample { speed, at }),
            course: course.map(|(course, speed)| CourseSample { course, speed, at }),
            position: said.position.map(|position| PositionSample { position, at }),
            utc: said.utc,
        };
        let empty = fix.speed.is_none() && fix.position.is_none();
        (!empty).then_some(fix)
    }
}

impl ReceiverState {
    /// The instant of an epoch's arrival without the jitter of the port.
    fn place(&mut self, utc: UtcTime) -> Instant {
        let seen = Instant::from_micros(self.began.micros().wrapping_sub(utc.on_clock().micros()));
        let midnight = match self.midnight {
            None => seen,
            Some(known) => {
                let later = seen.micros().wrapping_sub(known.micros()).cast_signed();
                if later.unsigned_abs() > JUMP || later <= 0 {
                    seen
                } else {
                    // The clocks drift apart by parts in a million; a thirty-second a fix follows.
                    known.plus(Micros::new(later.unsigned_abs() / 32))
                }
            }
        };
        self.midnight = Some(midnight);
        midnight.plus(Micros::new(utc.on_clock().micros()))
    }

    /// Sentences that were refused.
    pub const fn refused(&self) -> Refused {
        self.refused
    }
}
