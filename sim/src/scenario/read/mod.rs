//! Reads scenario, drill and seed files: TOML, keys in words, units written out in the values.
//!
//! Every complaint names file, line and column, the offending text and what would be right. A key
//! that is not known is refused, with the nearest that is: a misspelt key never falls back to its
//! default in silence.
//!
//! ```text
//!  InputFile ──► TOML with spans ──► Section (known keys) ──► Entry (value, place) ──► plain SI number
//! ```

mod as_built;
mod drill;
mod drive;
mod entry;
mod event;
mod field;
pub(crate) mod hydraulics;
mod limits;
mod fitted;
mod points;
pub(crate) mod ranges;
mod replay;
mod run;
mod section;
mod seed_lot;
mod source;
mod speed;
mod tolerance;
mod truth;
mod wanted;

pub(crate) use as_built::of as as_built_of;
pub(crate) use drill::{ENCODER_PULSES, GROUND_PULSES, LOWEST_SPEED, WIDTH};
pub(crate) use entry::{DAY, Entry};
pub(crate) use section::{Section, parse};
pub(crate) use seed_lot::{ANY_SPEED, SEEDING_RATE, TURN, seed_lot_of};
pub(crate) use speed::referred;
pub(crate) use tolerance::tolerances;
pub(crate) use truth::off as as_told;
pub(crate) use wanted::Wanted;

pub use drill::drill;
pub use replay::{replay, standing};
pub use run::{scenario, scenario_of};
pub use seed_lot::seed_lot;
