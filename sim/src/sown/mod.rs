//! What was sown, written down for a landlord, an agency or the owner.
//!
//! ```text
//!  flash image of a board ─► journal ─┐
//!  log as CSV ────────────────────────┴─► Sown ─┐
//!  field, date, operator, seed files ─► About ──┴─► Record ─► text, HTML, CSV, GeoJSON
//! ```
//!
//! Mass is counted: turns of the meter shaft times the mass per turn of the catch. Nothing is weighed, and every format
//! says so.

mod about;
pub mod demo;
mod flash;
mod format;
mod image;
mod log;
mod missing;
mod read;
mod record;

pub use about::{About, Told};
pub use flash::MemoryFlash;
pub use format::{csv, geojson, html, text};
pub use image::Layout;
pub use log::log;
pub use read::{EventSown, GapSown, SideSown, Sown, journal};
pub use record::{LotRecord, NO_WEIGHING, Record};
