//! Control law of a seed meter drive: `no_std`, fixed point, no heap, no float, no panic.
//!
//! A meter shaft is turned by a hydraulic motor and must follow the ground so that every square metre
//! gets the seed that was asked for. One call does a tick of 10 ms:
//!
//! ```text
//!  Inputs ─► sense (ground speed, yaw, shaft, lift) ─► section (lay seed or not)
//!                 │                                        │
//!                 └──► demand (shaft speed wanted) ─► drive (valve command) ─► Outputs
//!                            seed (meter curve) ┘          │
//!                      tally (raw counts) ◄────────────────┤
//!                      watch (may only take output away) ◄─┘
//! ```
//!
//! The core reads no clock, owns no pin and keeps no float: time is an input. The board turns pins into
//! [`Inputs`] and [`Outputs`] into pins ([`board`]); the simulator does the same with physics, so what is
//! proved is what is flashed.
//!
//! Features: `defmt` formats and `serde` writes every public type but the wrappers of pins. What has been checked
//! (settings, curve, map, demand, drive) is written only: it is read back by checking it anew. `journal` adds the
//! journal in flash, which is outside the tick.
//!
//! [`panel`] is what the operator sees and presses. It is outside the tick and changes nothing by itself.
//!
//! The controller is not a safety function and is not certified (ISO 25119, ISO 13849).

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

pub mod inputs;
pub mod quantity;
pub mod sense;
pub mod seed;
pub mod demand;
pub mod section;
mod line;
pub mod place;
pub mod gap;
pub mod measure;
pub mod run;
pub mod drive;
pub mod passed;
pub mod tally;
pub mod watch;
pub mod settings;
pub mod outputs;
mod blind;
mod side;
mod state;
mod controller;
mod accounts;
mod shown;
pub mod snapshot;
#[cfg(feature = "journal")]
pub mod journal;
pub mod board;
pub mod panel;

pub use controller::{Act, Controller, Refusal};
pub use inputs::{Inputs, SideInputs};
pub use outputs::{Outputs, SideOutputs};
pub use settings::{Settings, SettingsConfig, SettingsError};

/// Most sides of a drill.
pub const MAX_SIDES: usize = 4;
