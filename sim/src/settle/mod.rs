//! Settling up: seed weighed in and out against area and turns of the tally, fill by fill.
//!
//! ```text
//!  seed file ─► asked rate, mass per turn, its catch ─┐
//!  fill: loaded, left, area, turns, scale ────────────┼─► true rate, error, mass per turn, cost, each with how sure
//!  history of the lot: the fills before ──────────────┘   │
//!     ▲                                                   ├─► last fills against the catch, drift
//!     └─ this fill, at its end ◄──────────────────────────┴─► seed file with its mass per turn put right
//! ```

mod fill;
mod history;
mod outcome;
mod seed_file;
mod text;

#[cfg(feature = "host")]
pub(crate) use fill::PRICE_OF_SEED;
pub(crate) use fill::{AREA_SHARE, FILL_KEYS, GROUND, LOADED, SCALE, SHAFT, read};
pub use fill::{Fault, Fill, Typed};
pub use history::History;
pub use outcome::{ASSUMED_AREA, FillLine, Settled, settle};
pub use seed_file::mended;
pub use text::{lines, report};
