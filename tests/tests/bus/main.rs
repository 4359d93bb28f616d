//! The tractor's bus: published vectors byte for byte, every code its own answer, any frame, recorded logs, several
//! senders, and the bench's sender read back.

mod answers;
mod any_frame;
mod collected;
mod logs;
mod round_trip;
mod senders;
mod vectors;

use controller::quantity::{Instant, Micros};
use controller::sense::bus::{Bus, BusConfig, BusState, Identifier, Message};
use embedded_can::{ExtendedId, Frame as _};
use sim::profile::candump::BusFrame;

/// The message of an identifier and eight bytes, true at the clock's zero.
pub(crate) fn message(id: u32, bytes: [u8; 8]) -> Message {
    let read = Message::read(Identifier::of(id), bytes, Instant::default());
    read.unwrap_or_else(|| panic!("{id:08X} is a group that is read"))
}

/// An extended frame.
pub(crate) fn frame(id: u32, bytes: &[u8]) -> BusFrame {
    BusFrame::new(ExtendedId::new(id).expect("29 bits"), bytes).expect("8 bytes at the most")
}

/// Milliseconds after an instant shortly before the clock's wrap.
pub(crate) const fn at(millis: u32) -> Instant {
    Instant::from_micros(u32::MAX - 700_000).plus(Micros::from_millis(millis))
}

/// A bus that hears everybody.
pub(crate) fn hearing() -> (Bus, BusState) {
    (Bus::new(BusConfig::default()), BusState::default())
}
