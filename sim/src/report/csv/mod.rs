//! CSV: a header row that names columns and units, then one row a tick or a soil cell.
//!
//! Columns as in `docs/schema.md`. Sides and pieces count from 0, as in the JSON. Numbers are rounded
//! to the digits that mean something; a number that does not exist is an empty field.

mod cells;
mod ticks;

pub use cells::Cells;
pub use ticks::Ticks;

/// A number with `places` digits after the point; empty where there is none.
fn number(value: f64, places: usize) -> String {
    if value.is_finite() { format!("{value:.places$}") } else { String::new() }
}

/// 1 for yes, 0 for no.
const fn flag(yes: bool) -> &'static str {
    if yes { "1" } else { "0" }
}

/// Rows joined to text. Fields are numbers and words of ours: nothing needs quotes.
fn table(header: &[String], rows: impl Iterator<Item = Vec<String>>) -> String {
    let mut text = header.join(",");
    text.push('\n');
    for row in rows {
        text.push_str(&row.join(","));
        text.push('\n');
    }
    text
}
