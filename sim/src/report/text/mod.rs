//! Text: the table that a person reads on a terminal, about 150 columns wide.
//!
//! ```text
//!  set-ups   drill, seed lot, speed source, demonstration mark
//!  table     one row a scenario
//!  fields    area sown once, twice, not at all; the largest gaps and overlaps
//!  misses    which figure, what was wanted, what there is, where, laid against asked for
//!  notes     each once, with the scenarios it belongs to
//!  board     on the live bench: who it is, and whether it gave the same
//!  sum       N scenarios: P pass, F missed a tolerance, and what to do next
//! ```

mod board;
mod columns;
mod field;
mod figure;
mod grid;
mod gaps;
mod misses;
mod notes;
mod number;
mod setups;

pub(crate) use figure::words;

use super::{Report, Results};
use number::count;
use std::fmt::Write;

/// The verdicts as a table.
#[derive(Clone, Copy, Debug)]
pub struct Table;

impl Report for Table {
    fn render(&self, results: &Results<'_>) -> String {
        let setups = setups::Setups::of(results.judged, results.system);
        let mut parts = vec![setups.text(), columns::table(results, &setups)];
        parts.extend(field::text(results));
        parts.extend(misses::text(results));
        parts.extend(gaps::text(results));
        parts.extend(notes::text(results.judged, results.system));
        parts.extend(results.board.map(board::text));
        parts.push(sum(results));
        parts.join("\n")
    }
}

/// The last lines: how many passed, what was written, what to do next.
fn sum(results: &Results<'_>) -> String {
    let (all, passed) = (results.judged.len(), results.passed());
    let missed = all - passed;
    let open = results.judged.iter().filter(|judged| judged.tolerances == 0).count();
    let all = count(all, "scenario");
    let mut text = format!("{all}: {passed} pass, {missed} missed a tolerance");
    if open > 0 {
        let _ = write!(text, " ({open} without any to miss)");
    }
    text.push('\n');
    for file in results.files {
        let _ = writeln!(text, "wrote {}", file.display());
    }
    text.push_str(&next(results));
    text
}

/// The next step to take.
fn next(results: &Results<'_>) -> String {
    let first = results.judged.iter().find(|judged| !judged.verdict.pass);
    match (first, results.command) {
        (_, "live") if results.board.is_some_and(|board| !board.compared.is_equal()) => {
            "Next: build the live image and this program from the same sources, and load it anew (docs/live.md).\n".to_owned()
        }
        (None, "live") => "Next: load the field image again before the board goes back to the drill (docs/live.md).\n".to_owned(),
        (Some(_), "run" | "replay") if !results.files.is_empty() => {
            "Next: open trace.svg and look at the place named above.\n".to_owned()
        }
        (Some(judged), "replay") => {
            format!("Next: see it: meterwright replay {} --out DIR\n", judged.shown_file())
        }
        (Some(judged), _) => {
            format!("Next: see the first miss: meterwright run {} --out DIR\n", judged.shown_file())
        }
        (None, "replay") => "Next: look at the figures; a replay by itself has no tolerance to \
             miss. Write a scenario file (--write-scenario FILE), add a [tolerance] table to it, \
             verify it.\n"
            .to_owned(),
        (None, _) => "Next: put your own drill and seed lot in a scenario file; once the drive is \
             built, measure it by its runs (docs/measuring.md) and fit them (meterwright fit SHEET).\n"
            .to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::sample::{missing, passing};
    use super::super::{Judged, Results};
    use super::*;
    use crate::unit::System;

    fn rendered(judged: &[Judged], system: System) -> String {
        let results =
            Results { command: "verify", judged, record: None, files: &[], board: None, system };
        Table.render(&results)
    }

    #[test]
    fn the_table_fits_a_terminal_of_150_columns() {
        let judged = [passing("start-stop-restart-pulses"), missing("headland-two-sides")];
        for line in rendered(&judged, System::Metric).lines() {
            assert!(line.chars().count() <= 150, "{}: {line}", line.chars().count());
        }
    }

    #[test]
    fn a_miss_says_which_figure_where_and_by_how_much() {
        let text = rendered(&[passing("a"), missing("b")], System::Metric);
        for part in [
            "b: share of ground within ±5 %",
            "wanted at least 99.9, have 99.40",
            "worst at 23.5 m, second 14.20, noise seed 7",
            "laid 103.1 kg/ha where 110 kg/ha was asked for (-6.31 %)",
            "2 scenarios: 1 pass, 1 missed a tolerance",
            "meterwright run demo-data/scenarios/b.toml --out DIR",
        ] {
            assert!(text.contains(part), "no {part:?} in\n{text}");
        }
    }

    #[test]
    fn a_reader_of_us_units_sees_feet_and_pounds_per_acre() {
        let text = rendered(&[missing("b")], System::Us);
        assert!(text.contains("77.1 ft"), "{text}");
        assert!(text.contains("98.14 lb/ac"), "{text}");
        assert!(text.contains("+1.97"), "0.6 m of skip, in feet:\n{text}");
    }

    #[test]
    fn equal_notes_are_said_once_and_demonstration_data_is_marked() {
        let text = rendered(&[passing("a"), missing("b")], System::Metric);
        assert_eq!(text.matches("with no preview").count(), 1, "{text}");
        assert_eq!(text.matches("(demo)").count(), 2, "one a set-up:\n{text}");
    }

    #[test]
    fn a_scenario_without_tolerances_is_not_called_a_pass() {
        let mut judged = passing("a");
        judged.tolerances = 0;
        let text = rendered(&[judged], System::Metric);
        let row = text.lines().find(|line| line.starts_with("a ")).expect("a row");
        assert!(row.contains("no limits") && !row.contains("pass"), "{row}");
        assert!(text.contains("(1 without any to miss)"), "{text}");
    }

    #[test]
    fn a_figure_that_does_not_exist_is_a_dash() {
        let text = rendered(&[missing("b")], System::Metric);
        let row = text.lines().find(|line| line.starts_with("b ")).expect("a row");
        assert!(row.contains('–'), "{row}");
    }
}
