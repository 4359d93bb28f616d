//! One case of a sweep, run again.

use super::columns::columns;
use super::view::{bound, name, number, unit, values};
use super::{Analysis, Draws, FIGURES, Plan, Ranges, Row};
use crate::unit::System;
use std::fmt::Write;

/// The figures of a case, as a person reads them.
pub fn repeated_text(ranges: &Ranges, plan: Plan, rows: &[Row], system: System) -> String {
    let Some(first) = rows.first() else { return String::new() };
    let case = first.case;
    let noise = Draws::new(ranges, plan.seed, plan.cases).noise_seed(case);
    let mut text = format!(
        "Case {case} of {} of {}, seed {}, noise seed {noise}\n{}\n",
        plan.cases,
        ranges.file.display(),
        plan.seed,
        values(ranges, plan, case, system)
    );
    let mut table = vec![vec![String::new(), "in".to_owned()]];
    table[0].extend(ranges.scenarios.iter().map(|scenario| scenario.name.clone()));
    for (index, figure) in FIGURES.iter().enumerate() {
        let mut cells = vec![name(figure), unit(figure, system).to_owned()];
        cells.extend(rows.iter().map(|row| number(figure, row.figures[index], system)));
        table.push(cells);
    }
    text.push_str(&columns(&table, &[0, 1]));
    for part in Analysis::of(ranges, plan, rows).parts {
        for missed in &part.missed {
            let _ = writeln!(
                text,
                "MISSED in {}: {} ({}): wanted {}, have {}",
                part.scenario,
                name(&missed.figure),
                missed.figure,
                bound(missed.bound, &|value| format!("{value}")),
                missed.have
            );
        }
    }
    text.push_str("Next: run the scenario that is worst with these numbers in its drill file.\n");
    text
}
