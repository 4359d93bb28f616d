//! Reports: one trait, one file a format, from results to text, without touching a file or a clock.
//!
//! ```text
//!  Results { verdicts, record of a run } ──► text   the table a person reads
//!                                        ├─► json   the same for a program, one documented schema
//!                                        ├─► csv    every tick, every soil cell
//!                                        └─► svg    the picture of a run
//! ```
//!
//! Files and JSON are in the units their keys name (SI, kg/ha); text and picture follow the reader's
//! choice of units.

mod csv;
pub(crate) mod escape;
mod json;
mod results;
#[cfg(test)]
mod sample;
mod svg;
mod text;

pub use self::csv::{Cells, Ticks};
pub use self::svg::{Picture, map, sizing_plot};
pub use json::{Complaint, Json, SCHEMA_VERSION, complaints, document, document_with};
pub use results::{BoardSaid, Judged, Record, Results};
pub use text::Table;
pub(crate) use text::words;

/// A format.
pub trait Report {
    /// The whole report, as it is written to a file or printed.
    fn render(&self, results: &Results<'_>) -> String;
}
