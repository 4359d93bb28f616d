//! The receiver: sentences of one epoch become fixes with the instant at which they were true.
//!
//! ```text
//!  bytes ─► line ─► sentence ─┬─ with a time ─► epoch ─► arrival without jitter ─► at = arrival − latency
//!                             └─ without (VTG) ─► the epoch that it follows, or one of its own
//! ```
//!
//! - RMC and VTG of one epoch say the same speed: the first one counts. A VTG is of the epoch whose sentences it follows
//!   within 25 ms, or whose speed it repeats to the last digit within 0.25 s; else it stands for itself, with its own
//!   arrival. Of a receiver that sends VTG before RMC the arrival is taken as it is, jitter and all.
//! - An RMC or GGA that says "not valid" speaks for the VTG too, which need not have a mode: none is believed until an
//!   RMC or GGA is valid again, or none of them has come for 3 s.

use super::arrival::Arrival;
use super::line::{LineState, Step};
use super::sentence::{self, Reading, Said};
use super::utc::UtcTime;
use crate::quantity::{Instant, MetresPerSecond, Micros};
use crate::sense::{CourseSample, PositionSample, SpeedSample};

/// Sentences of one burst follow each other within this time.
const BURST: Micros = Micros::from_millis(25);

/// A sentence that repeats the speed of the epoch within this time is of that epoch, though the burst paused.
const SOON: Micros = Micros::from_millis(250);

/// So long an RMC or GGA that is not valid speaks for sentences without a status.
const DOUBT: Micros = Micros::from_millis(3_000);

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
    /// Fields are missing, or a speed is no number or none that fits.
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
    /// Arrival of the epoch as it was seen, and without jitter.
    epoch_seen: Instant,
    epoch_at: Instant,
    arrival: Arrival,
    /// Speed and course of the epoch were given.
    given: bool,
    /// The speed that was given last.
    spoken: Option<MetresPerSecond>,
    /// An RMC or GGA said that the fix is not valid.
    doubted: bool,
    doubted_at: Instant,
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
        let step = state.line.take(byte);
        if state.line.begins() {
            state.begin(now);
        }
        state.heard = now;
        let refused = &mut state.refused;
        match step {
            Step::More | Step::Began => return None,
            Step::WrongSum => count(&mut refused.checksum),
            Step::TooLong => count(&mut refused.too_long),
            Step::Whole => return self.sentence(state),
        }
        None
    }

    fn sentence(&self, state: &mut ReceiverState) -> Option<Fix> {
        match sentence::read(state.line.text()) {
            Reading::Said(said) if said.judges || !state.doubted => return self.fix(state, said),
            Reading::Said(_) | Reading::VtgNotValid => count(&mut state.refused.status),
            Reading::NotValid => {
                count(&mut state.refused.status);
                state.doubted = true;
                state.doubted_at = state.began;
            }
            Reading::Layout => count(&mut state.refused.layout),
            Reading::Other => {}
        }
        None
    }

    fn fix(&self, state: &mut ReceiverState, said: Said) -> Option<Fix> {
        state.doubted &= !said.judges;
        state.join_epoch(&said);
        let at = state.epoch_at.minus(self.latency);
        let speed = said.speed.filter(|_| !state.given);
        if speed.is_some() {
            state.given = true;
            state.spoken = speed;
        }
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
    /// A `$` came.
    fn begin(&mut self, now: Instant) {
        self.follows = now.since_or_zero(self.heard) <= BURST;
        self.doubted &= now.since(self.doubted_at) <= DOUBT;
        self.began = now;
    }

    /// Finds the epoch of a sentence, or begins one.
    fn join_epoch(&mut self, said: &Said) {
        match said.utc {
            Some(utc) if self.epoch == Some(utc) => {}
            // The burst began with a sentence without a time: this is its epoch.
            Some(utc) if self.follows && self.epoch.is_none() && self.given => {
                self.epoch = Some(utc);
            }
            Some(utc) => {
                let at = self.arrival.of(utc, self.began);
                self.begin_epoch(said.utc, at);
            }
            None if self.epoch.is_some() && (self.follows || self.repeats(said)) => {}
            None => self.begin_epoch(None, self.began),
        }
    }

    const fn begin_epoch(&mut self, epoch: Option<UtcTime>, at: Instant) {
        self.epoch = epoch;
        self.epoch_seen = self.began;
        self.epoch_at = at;
        self.given = false;
    }

    /// Says the speed of the epoch again, soon after it began.
    fn repeats(&self, said: &Said) -> bool {
        let same = said.speed.is_some() && said.speed == self.spoken;
        same && self.began.since(self.epoch_seen) <= SOON
    }

    /// Sentences that were refused.
    pub const fn refused(&self) -> Refused {
        self.refused
    }
}

/// Counts one more, and holds at the end.
const fn count(counter: &mut u16) {
    *counter = counter.saturating_add(1);
}
