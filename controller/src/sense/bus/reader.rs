//! Frames in, messages out: what is not ours is counted, and of several senders one is kept.

use super::keeper::{Keeper, Offer};
use super::{BusConfig, Channel, CourseAndSpeed, Hitch, Identifier, Message, Reading};
use crate::quantity::{Instant, Micros};
use embedded_can::{Frame, Id};

/// Reads frames.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Bus {
    config: BusConfig,
}

/// Frames since power-up; counts wrap.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct BusCounts {
    /// Messages handed out.
    pub taken: u32,
    /// Messages of a sender that is not the kept one, or of the other hitch.
    pub passed_over: u32,
    /// Frames of groups that are of no use here.
    pub other: u32,
    /// Frames with an 11-bit identifier.
    pub standard: u32,
    /// Remote frames.
    pub remote: u32,
    /// Frames with fewer than 8 bytes.
    pub short: u32,
}

/// What is remembered of the bus; `Default` has heard nobody.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct BusState {
    wheel: Keeper,
    ground: Keeper,
    selected: Keeper,
    hitch: Keeper,
    yaw: Keeper,
    course: Keeper,
    /// The operator sits the other way round, as the wheel-based message said last.
    turned_round: bool,
    counts: BusCounts,
}

impl Bus {
    /// A bus read in this way.
    pub fn new(config: BusConfig) -> Self {
        let latency = config.latency.min(Micros::from_millis(1_000));
        Self { config: BusConfig { latency, ..config } }
    }

    /// Takes a frame that arrived at `now`; a message where it is one of ours, whole and of the kept sender.
    pub fn take(&self, state: &mut BusState, frame: &impl Frame, now: Instant) -> Option<Message> {
        let (identifier, bytes) = state.opened(frame)?;
        let at = now.minus(self.config.latency);
        let Some(message) = Message::read(identifier, bytes, at) else {
            state.counts.other = state.counts.other.wrapping_add(1);
            return None;
        };
        let admitted = self.admit(state, message, identifier.sender, now);
        let counts = &mut state.counts;
        let count = if admitted.is_some() { &mut counts.taken } else { &mut counts.passed_over };
        *count = count.wrapping_add(1);
        admitted
    }

    /// The message, if its sender is the kept one, with what the bus knows beside it.
    fn admit(
        &self,
        state: &mut BusState,
        message: Message,
        sender: u8,
        now: Instant,
    ) -> Option<Message> {
        if !self.hangs_there(message) {
            return None;
        }
        let (channel, rank, answer) = message.standing();
        let speaks = self.hears(state, channel, Offer { rank, sender, answer, now });
        if let Message::CourseAndSpeed(it) = message {
            let offer = Offer { rank: 0, sender, answer: it.course.map(drop), now };
            let steers = self.hears(state, Channel::Course, offer);
            return fit_course(it, speaks, steers);
        }
        if let (Message::Wheel(it), true) = (message, speaks) {
            state.turned_round = it.reversed.value().unwrap_or(state.turned_round);
        }
        speaks.then_some(message.turned(state.turned_round))
    }

    /// The message is not of the hitch that the drill does not hang on.
    fn hangs_there(&self, message: Message) -> bool {
        match message {
            Message::RearHitch(_) => self.config.hitch == Hitch::Rear,
            Message::FrontHitch(_) => self.config.hitch == Hitch::Front,
            Message::Wheel(_)
            | Message::Ground(_)
            | Message::Selected(_)
            | Message::VehicleWheel(_)
            | Message::VehicleNavigation(_)
            | Message::CourseAndSpeed(_)
            | Message::Yaw(_) => true,
        }
    }

    /// Whether the keeper of the channel lets the message pass.
    fn hears(&self, state: &mut BusState, channel: Channel, offer: Offer) -> bool {
        let senders = &self.config.senders;
        let (keeper, only) = match channel {
            Channel::Wheel => (&mut state.wheel, senders.wheel),
            Channel::Ground => (&mut state.ground, senders.ground),
            Channel::Selected => (&mut state.selected, senders.selected),
            Channel::Hitch => (&mut state.hitch, senders.hitch),
            Channel::Yaw => (&mut state.yaw, senders.yaw),
            Channel::Course => (&mut state.course, senders.course),
        };
        keeper.admits(only, offer)
    }
}

impl BusState {
    /// Identifier and bytes of a frame that can be one of ours.
    fn opened(&mut self, frame: &impl Frame) -> Option<(Identifier, [u8; 8])> {
        let Id::Extended(id) = frame.id() else {
            self.counts.standard = self.counts.standard.wrapping_add(1);
            return None;
        };
        if frame.is_remote_frame() {
            self.counts.remote = self.counts.remote.wrapping_add(1);
            return None;
        }
        let Some(bytes) = frame.data().first_chunk::<8>() else {
            self.counts.short = self.counts.short.wrapping_add(1);
            return None;
        };
        Some((Identifier::of(id.as_raw()), *bytes))
    }

    /// The address that is kept for a quantity, be it silent by now.
    #[must_use]
    pub fn sender(&self, channel: Channel) -> Option<u8> {
        match channel {
            Channel::Wheel => self.wheel.sender(),
            Channel::Ground => self.ground.sender(),
            Channel::Selected => self.selected.sender(),
            Channel::Hitch => self.hitch.sender(),
            Channel::Yaw => self.yaw.sender(),
            Channel::Course => self.course.sender(),
        }
    }

    /// What became of the frames.
    pub const fn counts(&self) -> BusCounts {
        self.counts
    }
}

/// What is left of a course and speed, each of which has a keeper of its own.
fn fit_course(it: CourseAndSpeed, speaks: bool, steers: bool) -> Option<Message> {
    let course = if steers { it.course } else { Reading::NotAvailable };
    let left = Message::CourseAndSpeed(CourseAndSpeed { course, stands_in: speaks, ..it });
    (speaks || steers).then_some(left)
}
