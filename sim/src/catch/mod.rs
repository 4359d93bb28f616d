//! Catch tests: what the meter shaft delivers in a turn, and how sure that is.
//!
//! ```text
//!  each catch: (gross − tare) of the outlets caught ─► × outlets / caught / turns = mass per turn of the whole shaft
//!                │                                       │ those at one shaft speed
//!                ▼                                       ▼
//!     outlets side by side, ± 5 % band       mean, scatter, 95 % interval ─► enough? ─► seed file
//! ```
//!
//! Mass per turn always is that of the whole shaft: of *all* outlets that it feeds, whether caught or not.
//!
//! How sure the mean is has three parts, added as squares or taken as a floor:
//! repeated catches scatter; outlets that were not caught may differ from those that were; a scale has a step.

mod found;
mod outlets;
mod seed_file;
mod sheet;
mod speeds;
mod weighing;

pub use found::{CatchRow, Found, Ground, Scale, found};
pub use outlets::{Outlet, Outlets};
pub use seed_file::seed_file;
pub use sheet::read;
pub use speeds::{Fall, Speed};
pub use weighing::{GroundDrive, Raw, Test, Weighing};

pub(crate) use weighing::{MASS_CAUGHT, RATE_WANTED, SCALE, WISHED, turns_are_good};

/// Wished error of the mean where none is told.
pub const USUAL_WISHED: f64 = 0.02;

/// Outlets are to lie within this share of their mean.
pub const OUTLET_BAND: f64 = 0.05;

/// A scale's step is to be below this share of the lightest that was weighed.
pub const SCALE_SHARE: f64 = 0.002;

/// Most points of a meter curve.
pub const MOST_SPEEDS: usize = 6;
