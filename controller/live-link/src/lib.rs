//! What host and board say on the live bench: frames, messages, and the board's side of it. `no_std`, no heap.
//!
//! ```text
//!  host: machine, sensors ─► inputs of a tick ─► frame ─► serial line ─► board: Controller::tick
//!        drive, soil, score ◄─ outputs ◄──────── frame ◄─ serial line ◄───────┘  its pins stay low
//! ```
//!
//! A frame is a zero, COBS of what follows, a zero. No zero stands within, so after any garbage the next
//! zero begins afresh:
//!
//! | bytes | what |
//! |---|---|
//! | 1 | [`VERSION`] |
//! | 1 | kind: 1 hello, 2 start, 3 act, 4 tick, 5 end; an answer has 128 more, a refusal is 255 |
//! | 2 | number of the question, little-endian; its answer has the same |
//! | … | body, little-endian, of one length for its kind ([`describe`] lists the fields) |
//! | 4 | CRC-32/ISO-HDLC of all before it, little-endian |
//!
//! The host asks, the board answers; nobody else speaks. One question is open at a time. A frame whose check sum is wrong is
//! dropped without a word. The host asks again, with the same number, when no answer came in time; the board gives
//! the same answer again and does nothing twice. The board waits for ever.
//!
//! ```text
//!        hello                 start, fingerprint right              end
//!  idle ──────► idle      idle ─────────────────────────► running ───────► idle
//!                                     ┌─ act, tick: number one higher ─┐
//!                              running └────────────────────────────────► running
//! ```
//!
//! `hello` and `start` may have any number. `start` makes a controller afresh, `hello` and `end` drop it.

#![no_std]
#![deny(
    clippy::arithmetic_side_effects,
    clippy::cast_possible_truncation,
    clippy::cast_possible_wrap,
    clippy::cast_sign_loss,
    clippy::expect_used,
    clippy::float_arithmetic,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::string_slice,
    clippy::unreachable,
    clippy::unwrap_used
)]

mod cursor;
mod words;
mod inputs;
mod outputs;
mod frame;
mod message;
mod coding;
mod station;

pub use coding::{Field, describe};
pub use frame::{Collector, Header, MAX_FRAME, MAX_PAYLOAD, write};
pub use message::{Answer, Hello, Operator, Question, Reason, Refused, Totals};
pub use station::{Station, StationConfig};

/// Version of frames and messages. The first four bytes, the check sum and a refusal are the same in all versions.
pub const VERSION: u8 = 1;

/// The serial line of a board, bit/s: 8 bits, no parity, one stop bit.
pub const BAUD: u32 = 921_600;
