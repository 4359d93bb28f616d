//! `trace.csv`: every tick of the controller.

use super::{flag, number, table};
use crate::report::{Report, Results};
use crate::trace::{SideTick, Tick};

/// Every tick, one row each.
#[derive(Clone, Copy, Debug)]
pub struct Ticks;

/// Columns of the drill as a whole.
const DRILL: [&str; 9] = [
    "piece",
    "t_s",
    "travel_m",
    "speed_mps",
    "believed_mps",
    "yaw_rad_per_s",
    "asked",
    "alarm",
    "supply",
];

/// Columns of a side, after its `side0_`, `side1_`, ...
const SIDE: [&str; 5] =
    ["wanted_turns_per_s", "measured_turns_per_s", "true_turns_per_s", "command", "state"];

impl Report for Ticks {
    fn render(&self, results: &Results<'_>) -> String {
        let ticks = results.record.map_or(&[][..], |record| &record.trace.ticks);
        let sides = ticks.first().map_or(1, |tick| tick.sides.len());
        let mut header: Vec<String> = DRILL.map(str::to_owned).into();
        for side in 0..sides {
            header.extend(SIDE.map(|column| format!("side{side}_{column}")));
        }
        table(&header, ticks.iter().map(row))
    }
}

fn row(tick: &Tick) -> Vec<String> {
    let mut row = vec![
        tick.piece.to_string(),
        number(tick.t_s, 3),
        number(tick.travel_m, 4),
        number(tick.speed_mps, 5),
        number(tick.believed_mps, 5),
        number(tick.yaw_rad_per_s, 5),
        flag(tick.asked).to_owned(),
        tick.alarm.to_string(),
        flag(tick.supply).to_owned(),
    ];
    row.extend(tick.sides.iter().flat_map(side));
    row
}

fn side(side: &SideTick) -> [String; 5] {
    [
        number(side.wanted_turns_per_s, 6),
        number(side.measured_turns_per_s, 6),
        number(side.true_turns_per_s, 6),
        number(side.command, 6),
        side.state.to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::record;
    use super::*;
    use crate::unit::System;

    #[test]
    fn every_tick_has_a_row_and_every_row_a_field_for_each_column() {
        let record = record(2, 3);
        let results = Results {
            command: "run",
            judged: &[],
            record: Some(&record),
            files: &[],
            board: None,
            system: System::Metric,
        };
        let text = Ticks.render(&results);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        assert_eq!(reader.headers().unwrap().iter().filter(|it| it.ends_with("_state")).count(), 2);
        let rows: Vec<_> =
            reader.records().map(|row| row.expect("as long as the header")).collect();
        assert_eq!(rows.len(), 300);
        assert_eq!(&rows[150][1], "1.500");
        assert_eq!(&rows[150][13], "sowing");
    }
}
