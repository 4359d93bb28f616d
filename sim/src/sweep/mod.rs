//! The sweep: many cases of a scenario, each on a machine drawn at random within written ranges.
//!
//! ```text
//!  ranges file ─► Ranges ─► Draws (case number ─► values) ─► Case ─► bench ─► Row ─► results file
//!                                                                           │          │ merge
//!                                                                           ▼          ▼
//!                                             text, JSON ◄── Analysis: distribution, worst, rank
//! ```
//!
//! A case follows from the seed, its number and the number of cases alone, never from its neighbours: any
//! shard on any number of threads runs it to the same bits, and shards put together are the one run.

mod parameter;
mod apply;
mod case;
mod ranges;
mod draw;
mod shard;
mod run;
mod results;
mod recorded;
mod distribution;
mod rank;
mod analysis;
mod view;
mod columns;
mod text;
mod repeated;
mod document;

pub use analysis::{Analysis, Bad, Driver, FigureRow, Missed, Part, worst_of};
pub use case::Case;
pub use distribution::Distribution;
pub use document::{repeated_document, sweep_document};
pub use draw::Draws;
pub use parameter::{Needs, PARAMETERS, Parameter};
pub use ranges::{Ranges, Spread, Varied, read};
pub use rank::{Ranked, ranks, spearman};
pub use recorded::{Recorded, merge, read_results};
pub use repeated::repeated_text;
pub use results::{FIGURES, Plan, Row, write};
pub use run::{Refused, run, run_case};
pub use shard::Shard;
pub use text::{shard_text, sweep_text};
pub use view::View;
