//! The live bench: a real board's controller on the bench's machine, over its serial port.
//!
//! ```text
//!  bench: machine, sensors ─► Inputs ─┬─► own controller ──────────────► Outputs ─┐ equal bit for bit?
//!                                     └─► Remote ─► Board ─► Port ═══► Outputs ──┴─► drive, soil, score
//! ```
//!
//! One tick at a time: [`Port`] carries bytes, [`Board`] asks and waits for the answer to that question, [`Remote`] is the
//! bench's [`Brain`](crate::bench::Brain). What is said is `controller/live-link`. The verdict is that of `verify`, on what
//! the board gave.

mod board;
mod compare;
mod error;
mod port;
mod remote;
mod run;

pub use board::{Board, Heard, TRIES, WAIT};
pub use compare::{Compared, Difference};
pub use error::LiveError;
pub use port::Port;
pub use remote::Remote;
pub use run::{NoVerdict, Wanted};
