//! Missed tolerances: which figure, what was wanted, what there is, and the cell to blame.

use super::figure::words;
use super::number::{signed, telling};
use crate::report::{Judged, Results};
use crate::unit::{LENGTH, RATE, System};
use crate::verdict::{Miss, Place};
use std::fmt::Write;

/// The list of misses; nothing when there are none.
pub(super) fn text(results: &Results<'_>) -> Option<String> {
    let mut text = "Missed tolerances\n".to_owned();
    for judged in results.judged {
        for miss in &judged.verdict.misses {
            text.push_str(&line(judged, miss, results.system));
        }
    }
    let any = results.judged.iter().any(|judged| !judged.verdict.misses.is_empty());
    any.then_some(text)
}

fn line(judged: &Judged, miss: &Miss, system: System) -> String {
    let Miss { figure, bound, have, place } = miss;
    let scenario = &judged.verdict.scenario;
    let mut text = format!(
        "  {scenario}: {} ({figure}): wanted {bound}, have {}\n",
        words(figure),
        telling(*have, bound)
    );
    if let Some(place) = place {
        let _ = writeln!(text, "    worst at {}", at(judged, place, system));
    }
    text
}

fn at(judged: &Judged, place: &Place, system: System) -> String {
    let side = match judged.sides.len() {
        0 | 1 => String::new(),
        _ => judged.side(place.side) + ", ",
    };
    let mut text =
        format!("{side}{}, second {:.2}", LENGTH.show(place.start_m, system, 3), place.entered_s);
    if place.piece > 0 {
        let _ = write!(text, " of piece {}", place.piece + 1);
    }
    if let Some(seed) = place.seed {
        let _ = write!(text, ", noise seed {seed}");
    }
    text + &format!(
        ": laid {} where {} was asked for ({} %)",
        RATE.show(place.laid_kg_per_ha, system, 4),
        RATE.show(place.target_kg_per_ha, system, 4),
        signed(place.error_pct, 2)
    )
}
