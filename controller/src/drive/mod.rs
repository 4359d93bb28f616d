//! Drive: from the shaft speed wanted to a valve command.
//!
//! ```text
//!  wanted at t + τd + θ ──┬──────────────► × (1 + gain trim) ─► + offset trim ─┐
//!     + τ1 · dn/dt (lead) ┘                     ▲                 ▲            ├─► map⁻¹ ─► command
//!  wanted at the measurement's instant ─► − ─► Kc ────────────────┼────────────┘
//!  measured ──────────────────────────────┘      └─► Ki/s ────────┘
//! ```

mod map;
mod row;
mod pi;

pub(crate) use map::FULL;
pub use map::{MAX_MAP_POINTS, MapError, MapPoint, ValveMap};
pub use pi::{Drive, DriveState, Feedback};
