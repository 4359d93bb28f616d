//! Reads what must hold for a pass.

use super::section::Section;
use crate::field::FIELD_FIGURES;
use crate::input::{InputError, Trouble};
use crate::scenario::{Bound, Tolerance};
use crate::score::Score;

/// Keys of a bound.
const BOUNDS: [&str; 3] = ["at_least", "at_most", "within"];

/// Reads `[tolerance]`: a figure's key, then `{ at_least = … }`, `{ at_most = … }`, `{ within = … }`.
/// The figures of a field may be bounded where there is one.
pub(crate) fn tolerances(root: &Section<'_>) -> Result<Vec<Tolerance>, InputError> {
    let Some(section) = root.child("tolerance", &[])? else { return Ok(Vec::new()) };
    let known = figures();
    let mut known: Vec<&str> = known.iter().map(String::as_str).collect();
    known.extend(FIELD_FIGURES.iter().filter(|_| root.has("field")));
    let mut tolerances = Vec::new();
    for (figure, bounds) in section.each(&BOUNDS)? {
        if !known.contains(&figure.as_str()) {
            return Err(section.unknown(&figure, &known));
        }
        let before = tolerances.len();
        for bound in read_bounds(&figure, &bounds)? {
            tolerances.push(Tolerance { figure: figure.clone(), bound });
        }
        if tolerances.len() == before {
            return Err(bounds.missing("at_least, at_most or within"));
        }
    }
    Ok(tolerances)
}

/// Keys of the score's figures.
fn figures() -> Vec<String> {
    let score = serde_json::to_value(Score::default()).unwrap_or_default();
    score.as_object().map(|keys| keys.keys().cloned().collect()).unwrap_or_default()
}

/// The bounds of one figure.
fn read_bounds(figure: &str, section: &Section<'_>) -> Result<Vec<Bound>, InputError> {
    let share = figure.contains("within_");
    let mut bounds = Vec::new();
    for key in BOUNDS {
        let Some(entry) = section.find(key)? else { continue };
        let limit = entry.number()?;
        let impossible = share && !(0.0..=100.0).contains(&limit);
        if impossible || (key == "within" && limit < 0.0) {
            let range = if share { "0 to 100 (per cent)" } else { "0 or more" };
            return Err(entry.wants(Trouble::OutOfRange, range));
        }
        bounds.push(match key {
            "at_least" => Bound::AtLeast(limit),
            "at_most" => Bound::AtMost(limit),
            _ => Bound::Within(limit),
        });
    }
    Ok(bounds)
}
