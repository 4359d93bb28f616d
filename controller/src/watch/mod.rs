//! Watch: what can go wrong, how it is told and what it does. A fault may only take output away.
//!
//! | no. | item | class | told after |
//! |---|---|---|---|
//! | 1 | speed source lost | pause, latches after 2 s | pulses: at least 100 ms, once the silence implies 6 m/s²; samples: their limit |
//! | 2 | speed implausible | alarm | the tick of the jump |
//! | 3 | shaft silent while driven | latch | 12 edges that should have come and 500 ms (or dead time and twice the lag, and the time in which a motorised valve shuts, if that is longer) |
//! | 4 | shaft turns while at rest | latch | the tick of the third edge within 10 s, after the run-out |
//! | 5 | shaft does not follow | alarm | 2 s outside ±15 % (and the time in which a motorised valve shuts) |
//! | 6 | target above what the drive can turn | alarm | 0.5 s |
//! | 7 | target below what the drive can turn smoothly | alarm | 2 s |
//! | 8 | inputs stale | latch | the tick after more than 250 ms without one |
//! | 9 | settings invalid | latch | power-up |
//! | 10 | tick late | alarm | the tick after more than 20 ms |
//! | 11 | speed set by hand in use | alarm | the tick in which the last source is lost |
//! | 12 | a speed source is missing | alarm | the tick in which it is lost, while another is followed |
//! | 13 | speed sources disagree | alarm | 3 s more than a fifth apart |
//! | 14 | gap | alarm | the tick in which the ground left bare is longer than the set length |
//! | 15 | hopper empty | alarm | 1 s of the level switch |
//! | 16 | no seed in the tubes | alarm | delivery delay and 1 s after seed was metered |
//! | 17 | lift unknown | pause | the hitch's limit; a switch that chatters: eight changes within 0.25 s |
//! | 18 | stop button | latch | the tick that reads it; the button itself cuts the oil without the processor |
//! | 19 | road speed | latch | 1 s above the set speed |
//! | 20 | raised for long | latch | the set time with the implement lifted |
//! | 21 | shaft turns backwards | latch | 12 edges of a two-channel encoder |
//! | 22 | valve opened too far | alarm | 5 s with the map's correction beyond the told limit |
//! | 23 | correction at its limit | alarm; arms no more | 5 s with the correction at its limit |
//! | 24 | rate off | alarm | the set way with the shaft outside the set band |
//! | 25 | by the map alone | alarm | while a side runs without its encoder |
//! | 26 | box low | alarm | seed left below the set mass (found by the panel) |
//! | 27 | box will not last | alarm | seed left below what this pass still takes (found by the panel) |
//!
//! The numbers are stable: they may be written in a log or on a card.

mod flow;
mod item;
mod side;

use crate::quantity::Micros;
pub(crate) use flow::{Flow, Lasting};
pub use item::{Class, Item};
pub(crate) use side::{Heed, SideSeen, SideWatch, silent_after};

/// A tick later than this after the one before is told.
pub const LATE: Micros = Micros::from_millis(20);

/// Without a tick for so long the inputs are stale: the next tick finds a latched stop.
pub const STALE: Micros = Micros::from_millis(250);

/// A lost source is a pause for so long.
pub const LOST_FOR: Micros = Micros::from_millis(2_000);

/// The shut-off stays on in a pause for the length of a turn on the headland: a minute, common practice.
pub const PAUSED_FOR: Micros = Micros::from_millis(60_000);

/// The hopper's level switch must read empty for so long: seed moves.
pub const EMPTY_FOR: Micros = Micros::from_millis(1_000);

/// Edges that should have come from a shaft that is driven, before silence is told.
pub const SILENT_EDGES: u32 = 12;

/// The least time for it; a drive whose dead time and twice its lag last longer has so long.
pub const SILENT_FOR: Micros = Micros::from_millis(500);

/// A shaft that turned back by so many edges turns backwards: fewer are play and a hose that springs back.
pub const BACK_EDGES: u32 = 12;

/// A correction that is too far, or at its limit, for so long is told.
pub const CORRECTED_FOR: Micros = Micros::from_millis(5_000);

/// Faster than the road speed for so long disarms.
pub const ROAD_FOR: Micros = Micros::from_millis(1_000);

/// So many edges of a shaft at rest within [`REST_WITHIN`] are put down to a tooth standing at the sensor.
pub const REST_EDGES: usize = 2;

/// A shaft at rest that gives one edge more within this time turns.
pub const REST_WITHIN: Micros = Micros::from_millis(10_000);
