//! `cells.csv`: every soil cell.

use super::{flag, number, table};
use crate::report::{Report, Results};
use crate::trace::Cell;

/// Every soil cell, one row each.
#[derive(Clone, Copy, Debug)]
pub struct Cells;

/// Columns.
const COLUMNS: [&str; 10] = [
    "piece",
    "side",
    "start_m",
    "entered_s",
    "left_s",
    "laid_kg_per_ha",
    "target_kg_per_ha",
    "error_pct",
    "counted",
    "running",
];

impl Report for Cells {
    fn render(&self, results: &Results<'_>) -> String {
        let cells = results.record.map_or(&[][..], |record| &record.trace.cells);
        table(&COLUMNS.map(str::to_owned), cells.iter().map(row))
    }
}

fn row(cell: &Cell) -> Vec<String> {
    vec![
        cell.piece.to_string(),
        cell.side.to_string(),
        number(cell.start_m, 3),
        number(cell.entered_s, 3),
        number(cell.left_s, 3),
        number(cell.laid_kg_per_ha, 4),
        number(cell.target_kg_per_ha, 4),
        number(cell.error_pct, 4),
        flag(cell.counted).to_owned(),
        flag(cell.running).to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::record;
    use super::*;
    use crate::unit::System;

    #[test]
    fn a_cell_where_nothing_was_asked_for_has_no_error() {
        let record = record(1, 10);
        let results = Results {
            command: "run",
            judged: &[],
            record: Some(&record),
            files: &[],
            board: None,
            system: System::Us,
        };
        let text = Cells.render(&results);
        let rows: Vec<&str> = text.lines().collect();
        assert_eq!(rows.len(), 41);
        assert_eq!(rows[1], "0,0,0.000,0.000,0.250,0.0000,110.0000,-100.0000,1,0");
        assert_eq!(rows[40], "0,0,19.500,9.750,10.000,0.0000,0.0000,,0,0");
    }
}
