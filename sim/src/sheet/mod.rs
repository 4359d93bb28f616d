//! The sheet for the cab and the shop: one page with everything that a person compares a built drive with.
//!
//! ```text
//!  drill, seed lot, image ─► content: facts, tables, alarms, checklist, cautions ─┬─► text
//!                                                                                 └─► one page of HTML
//!  ground speed v ─► shaft n = v · w · R / q(n) ─► turns/min, oil, seed R · w · v, ground w · v
//! ```
//!
//! Numbers are those that the controller is told, by the same formulas as `size`; alarms and what to do are the words of
//! the operator's display.

mod alarms;
mod checklist;
mod content;
mod html;
mod speeds;
mod text;

pub use content::sheet;
pub use html::html;
pub use text::text;

use serde::Serialize;

/// A page, part by part.
#[derive(Clone, Debug, Serialize)]
pub struct Sheet {
    /// What it is of.
    pub title: String,
    /// Invented for demonstration.
    pub demo: bool,
    /// Fingerprint of the settings that it belongs to.
    pub fingerprint: String,
    /// Its parts, in order.
    pub parts: Vec<Part>,
}

/// A part of the page.
#[derive(Clone, Debug, Serialize)]
pub struct Part {
    /// Its heading.
    pub heading: String,
    /// What it holds.
    pub body: Body,
}

/// What a part holds.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Body {
    /// Names with their values.
    Facts(Vec<[String; 2]>),
    /// A table.
    Table {
        /// Heads of the columns.
        head: Vec<String>,
        /// Rows, as many cells each.
        rows: Vec<Vec<String>>,
        /// What is to be known of it.
        note: String,
    },
    /// Things to tick, each with what should be found.
    Checks(Vec<[String; 2]>),
    /// Sentences.
    Lines(Vec<String>),
}
