//! Journal: what must survive a power cut, in NOR flash.
//!
//! ```text
//!  settings, at rest ─────────► settings ring ┐
//!  gap that ended ────────────► gap ring      ├─ each: record │ record │ record │ blank sectors, ready ┐
//!  snapshot, once a second ───► count ring    ┘                                     ▲                  │
//!                                             tend, at rest: erases one sector ahead ◄┘ oldest sector ◄┘
//!  events of the operator have a ring like that of the gaps, if sectors are set for it
//!  power-up ──► open ──► newest settings, newest snapshot (gaps on request)
//! ```
//!
//! - *One record is one state.* A snapshot holds what all sides have sown, the boxes, rates, lots and outlets in force, and the way; a
//!   settings image holds all settings. A record is whole or it is not there, so nothing is ever mixed.
//! - *In work only pages are programmed.* A sector erase can stall a board for hundreds of milliseconds. Erases happen in
//!   [`Journal::open`] (power-up is a stop) and in [`Journal::tend`] and [`Journal::keep_settings`] when the caller says
//!   that all stands ([`Outputs::stands`](crate::Outputs::stands)). A write that would need one in work is refused with
//!   [`JournalError::NeedsErase`] and counted.
//! - *Wear* is levelled by the rings: every sector is erased once a round.
//!
//! The records lie in queues of the crate `sequential-storage`, which checks each by CRC. What it does not promise is
//! here: no erase in work, an order of records that outlives any cut, sectors whose erase was cut, read-back of every
//! program. The journal is outside the tick: nothing here runs in [`Controller::tick`](crate::Controller::tick), and the
//! link check does not cover it.

mod at_once;
mod book;
mod config;
mod error;
mod gate;
mod pack;
mod record;
mod ring;
mod sector;
mod survey;

pub use book::{Journal, Recovered};
pub use config::{JournalConfig, SECTOR};
pub use error::JournalError;
pub use record::{LARGEST_EVENT, LARGEST_GAP, LARGEST_SNAPSHOT};
