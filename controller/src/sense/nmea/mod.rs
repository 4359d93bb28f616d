//! NMEA 0183 from a byte stream: speed, course and position of a GNSS receiver.
//!
//! ```text
//!  bytes ─► line: $ … * sum ─► talker, RMC │ VTG │ GGA ─► fields ─► receiver: epoch, instant ─► Fix
//!             └─ refused: sum, layout, status, too long (each is counted)
//! ```
//!
//! - One byte at a time: any split of the stream gives the same fixes. A `$` begins anew wherever it stands.
//! - Checksum: the exclusive or of all characters between `$` and `*`; a sentence without one is refused.
//! - Speeds are knots, 1852/3600 m/s exactly; the km/h field of VTG is rounded by receivers and used only alone.
//! - Status V and the modes N (none), E (dead reckoning), M (by hand), S (simulator) are refused. An empty field
//!   is no value, never zero.
//! - Layouts: gpsd project, `www/NMEA.adoc`. RMC with and without mode (2.3) and navigation status (4.1); VTG with
//!   and without mode; before 3.01 VTG had no fixed letters, so field 2 must be `T` for the modern form.
//!
//! The instant of a fix is the arrival of the epoch's first `$` less the receiver's latency. The UTC field gives order and
//! takes the jitter of the arrival away; it is no absolute age.
//!
//! Bytes are parsed outside the tick.

mod arrival;
mod decimal;
mod line;
mod receiver;
mod sentence;
mod utc;

pub use receiver::{Fix, LatencyTooLong, Receiver, ReceiverConfig, ReceiverState, Refused};
pub use utc::UtcTime;
