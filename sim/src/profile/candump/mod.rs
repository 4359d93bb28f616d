//! Reads a recorded tractor bus: candump text, a line a frame.
//!
//! ```text
//!  (12.345678) can0 0CFE4845#9426881300000314        time s, bus, identifier, bytes
//!
//!  lines ──► frames ──► speeds of each group and sender ──► the best that goes on for 30 samples ──► Profile
//! ```
//!
//! The best is what measures over ground: 65097 (ground-based), then 61474 (machine selected), 65096 (wheel-based),
//! 65265 (wheel-based vehicle speed), 129026 (receiver), 65256 (navigation-based); of several senders the one with
//! the most values. Words that are not available, an error or out of range are no samples. A gap above 5 s splits the
//! track; pieces of 30 samples or fewer are dropped. The hitch (65093, else 65094) tells when the implement was in work,
//! the receiver's course where the tractor went.
//!
//! The words are read here on their own, in f64: the bench does not ask the controller what they mean.

mod frame;
mod line;
mod speed;
mod words;

pub use frame::BusFrame;
pub use line::{Logged, frames};
pub use speed::read;
