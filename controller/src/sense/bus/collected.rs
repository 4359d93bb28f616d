//! What came on the bus since the last tick, in the words of the controller's inputs.
//!
//! Speeds, hitch and course are handed over once. Direction and yaw rate are levels: they hold until something newer
//! says otherwise, 1 s and 0.5 s at the most. The direction is that of the wheel-based message, else of the machine
//! selected, else of the ground-based one.

use super::Message;
use crate::inputs::Inputs;
use crate::quantity::{Instant, Micros, RadiansPerSecond};
use crate::sense::{CourseSample, Direction, HitchSample, SpeedReport, SpeedReports};

/// A direction is not believed for longer.
const DIRECTION_HOLDS: Micros = Micros::from_millis(1_000);

/// A yaw rate is not believed for longer.
const YAW_HOLDS: Micros = Micros::from_millis(500);

/// Collects messages between ticks; `Default` has none.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct BusInputs {
    /// Wheel-based speed.
    pub bus_wheel: Option<SpeedReport>,
    /// Ground-based speed.
    pub bus_ground: Option<SpeedReport>,
    /// Machine selected speed.
    pub bus_selected: Option<SpeedReport>,
    /// In work or not.
    pub hitch: Option<HitchSample>,
    /// Course over ground, from true north.
    pub course: Option<CourseSample>,
    /// Which way the drill goes, while it is known.
    pub direction: Option<Direction>,
    /// Yaw rate, while it is known.
    pub yaw: Option<RadiansPerSecond>,
    /// Place of the message that gave the direction, 0 the best.
    rank: u8,
    turned_at: Instant,
    yawed_at: Instant,
}

impl BusInputs {
    /// Takes a message of [`Bus::take`](super::Bus::take).
    pub fn put(&mut self, message: Message) {
        match message {
            Message::Wheel(it) => {
                put_speed(&mut self.bus_wheel, it.report());
                self.head(it.heading(), 0, it.at);
            }
            Message::Selected(it) => {
                put_speed(&mut self.bus_selected, it.report());
                self.head(it.heading(), 1, it.at);
            }
            Message::Ground(it) => {
                put_speed(&mut self.bus_ground, it.report());
                self.head(it.heading(), 2, it.at);
            }
            Message::VehicleWheel(it) => put_speed(&mut self.bus_wheel, it.report()),
            Message::VehicleNavigation(it) => put_speed(&mut self.bus_ground, it.report()),
            Message::CourseAndSpeed(it) => {
                if it.stands_in {
                    put_speed(&mut self.bus_ground, it.report());
                }
                self.course = it.sample().or(self.course);
            }
            Message::RearHitch(it) | Message::FrontHitch(it) => {
                self.hitch = it.sample().or(self.hitch);
            }
            Message::Yaw(it) => {
                self.yaw = it.rate.value();
                self.yawed_at = it.at;
            }
        }
    }

    /// Hands over the speeds; the receiver is not on this bus.
    pub const fn take_speeds(&mut self) -> SpeedReports {
        SpeedReports {
            receiver: None,
            bus_wheel: self.bus_wheel.take(),
            bus_ground: self.bus_ground.take(),
            bus_selected: self.bus_selected.take(),
        }
    }

    /// Hands everything over to the inputs of the tick at `inputs.now`; what the bus does not know is left alone.
    pub fn fill(&mut self, inputs: &mut Inputs) {
        let receiver = inputs.speeds.receiver;
        inputs.speeds = SpeedReports { receiver, ..self.take_speeds() };
        inputs.hitch = self.hitch.take().or(inputs.hitch);
        inputs.course = self.course.take().or(inputs.course);
        if inputs.now.since_or_zero(self.turned_at) > DIRECTION_HOLDS {
            self.direction = None;
        }
        if inputs.now.since_or_zero(self.yawed_at) > YAW_HOLDS {
            self.yaw = None;
        }
        inputs.direction = self.direction.or(inputs.direction);
        inputs.yaw = self.yaw.or(inputs.yaw);
    }

    /// A direction of a message of this rank: a worse one does not speak while a better one is known.
    fn head(&mut self, direction: Option<Direction>, rank: u8, at: Instant) {
        let held = self.direction.is_some()
            && self.rank < rank
            && at.since_or_zero(self.turned_at) <= DIRECTION_HOLDS;
        let own_word = direction.is_some() || self.rank == rank;
        if !held && own_word {
            self.direction = direction;
            self.rank = rank;
            self.turned_at = at;
        }
    }
}

/// The newest report stands, unless it only says that nothing is known.
const fn put_speed(place: &mut Option<SpeedReport>, report: SpeedReport) {
    let vague = matches!(report, SpeedReport::NotAvailable);
    if !vague || place.is_none() {
        *place = Some(report);
    }
}
