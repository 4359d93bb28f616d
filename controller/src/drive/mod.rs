//! Drive: from the shaft speed wanted to what the valve is given.
//!
//! A proportional valve is given a command (`pi`):
//!
//! ```text
//!  wanted at t + τd + θ ──┬──────────────► × (1 + gain trim) ─► + offset trim ─┐
//!     + τ1 · dn/dt (lead) ┘                     ▲                 ▲            ├─► map⁻¹ ─► command
//!  wanted at the measurement's instant ─► − ─► Kc ────────────────┼────────────┘
//!  measured ──────────────────────────────┘      └─► Ki/s ────────┘
//! ```
//!
//! A motorised valve is given turns: open, hold or close for the length of a tick (`motorised`). Its map's
//! command is its place, 0 shut to 1 open. Both laws stand behind [`Drive`].

mod correction;
mod kind;
mod map;
mod motorised;
mod row;
mod pi;
mod shaft;
mod sparse;
mod travel;
mod turn;

pub use correction::Corrected;
pub(crate) use kind::Numbers;
pub use kind::{Drive, DriveState, Driven, Feedback, ValveKind};
pub(crate) use map::FULL;
pub use map::{MAX_MAP_POINTS, MapError, MapPoint, ValveMap};
pub use motorised::MotorisedConfig;
pub use turn::{HOLD_TICKS, ValveTurn};
