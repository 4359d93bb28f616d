//! SVG: the picture of one run.
//!
//! ```text
//!  header    what was run, the verdict, the figures
//!  ── time ─────────────────────────────────────────────
//!  speed     true and believed
//!  shaft     asked and true, a panel a side
//!  valve     command, a panel a side
//!  states    a strip a side, in colours and words
//!  ── distance ─────────────────────────────────────────
//!  soil      rate error of every cell with the ±5 % band, a panel a side
//! ```
//!
//! Colours are those of Okabe and Ito (2008), told apart by colour-blind eyes; what they say is said
//! by width, lightness or words too, so that a grey print tells the same. Long runs are drawn as
//! envelopes: the smallest and largest value of every pixel column.

mod axis;
mod curve;
mod envelope;
mod frame;
mod header;
mod map;
mod palette;
mod scale;
mod sheet;
mod sizing;
mod soil;
mod strip;

pub use map::map;
pub use sizing::sizing_plot;

use super::{Judged, Record, Report, Results};
use frame::Frame;
use sheet::Sheet;

/// The run as a picture.
#[derive(Clone, Copy, Debug)]
pub struct Picture;

/// Width of the picture, px.
const WIDTH: f64 = 1400.0;
/// Left edge of the panels, px.
const LEFT: f64 = 92.0;
/// Width of the panels, px.
const PANEL: f64 = WIDTH - LEFT - 28.0;
/// Room above a panel for its title, px.
const TITLE: f64 = 26.0;
/// Room below the last panel of an axis for its numbers, px.
const FOOT: f64 = 44.0;

impl Report for Picture {
    fn render(&self, results: &Results<'_>) -> String {
        let mut sheet = Sheet::default();
        let (Some(judged), Some(record)) = (results.judged.first(), results.record) else {
            return sheet.finish(WIDTH, 40.0, "nothing was run");
        };
        let mut below = header::draw(&mut sheet, results, judged, record);
        below = over_time(&mut sheet, below, results, (judged, record));
        below = over_distance(&mut sheet, below, results, (judged, record));
        sheet.finish(WIDTH, below, &judged.verdict.title)
    }
}

/// The panels that share the time axis; gives the height below them.
fn over_time(
    sheet: &mut Sheet,
    top: f64,
    results: &Results<'_>,
    (judged, record): (&Judged, &Record),
) -> f64 {
    let ticks = &record.trace.ticks;
    let sides = ticks.first().map_or(0, |tick| tick.sides.len());
    let (shaft, valve) = if sides > 2 { (84.0, 52.0) } else { (118.0, 72.0) };
    let axis = axis::time(ticks);
    let mut below = top;
    let mut next = |height: f64| {
        let frame = Frame { left: LEFT, top: below + TITLE, width: PANEL, height };
        below += TITLE + height;
        frame
    };
    curve::speed(sheet, next(124.0), &axis, (ticks, results.system));
    for side in 0..sides {
        let name = if sides > 1 { judged.side(side) } else { String::new() };
        curve::shaft(sheet, next(shaft), &axis, (ticks, side, &name));
        curve::valve(sheet, next(valve), &axis, (ticks, side, &name));
    }
    let frame = next(strip::height(ticks));
    strip::draw(sheet, frame, &axis, (ticks, judged));
    frame.foot(sheet, &axis);
    below + FOOT
}

/// The panels of the soil; gives the height below them.
fn over_distance(
    sheet: &mut Sheet,
    top: f64,
    results: &Results<'_>,
    (judged, record): (&Judged, &Record),
) -> f64 {
    let cells = &record.trace.cells;
    let sides = cells.iter().map(|cell| cell.side + 1).max().unwrap_or(0);
    let height = if sides > 1 { 140.0 } else { 220.0 };
    let mut below = top;
    for side in 0..sides {
        let name = if sides > 1 { judged.side(side) } else { String::new() };
        let own: Vec<_> = cells.iter().filter(|cell| cell.side == side).collect();
        let axis = axis::distance(&own, results.system);
        let frame = Frame { left: LEFT, top: below + TITLE, width: PANEL, height };
        soil::draw(sheet, frame, &axis, (&own, &name));
        frame.foot(sheet, &axis);
        below += TITLE + height + FOOT;
    }
    below
}

#[cfg(test)]
mod tests {
    use super::super::sample::{missing, passing, record};
    use super::*;
    use crate::unit::System;

    fn drawn(judged: &Judged, record: &Record) -> String {
        Picture.render(&Results {
            command: "run",
            judged: std::slice::from_ref(judged),
            record: Some(record),
            files: &[],
            board: None,
            system: System::Metric,
        })
    }

    #[test]
    fn a_picture_names_what_was_run_and_carries_units() {
        let picture = drawn(&missing("b"), &record(1, 60));
        for part in [
            "1 to 3 m/s and back",
            "Reference drill",
            "demonstration data",
            "MISSED",
            "Ground speed, m/s",
            "turns/s",
            "sowing",
            "distance, m",
            "time, s",
        ] {
            assert!(picture.contains(part), "no {part:?}");
        }
    }

    #[test]
    fn a_picture_is_the_same_bytes_every_time() {
        let (judged, record) = (passing("a"), record(2, 30));
        assert_eq!(drawn(&judged, &record), drawn(&judged, &record));
    }

    #[test]
    fn ninety_minutes_stay_below_a_megabyte() {
        let picture = drawn(&passing("a"), &record(4, 5400));
        assert!(picture.len() < 1_000_000, "{} bytes", picture.len());
    }

    #[test]
    fn names_with_markup_in_them_stay_text() {
        let mut judged = passing("a");
        judged.verdict.title = "a < b & \"c\"".to_owned();
        let picture = drawn(&judged, &record(1, 5));
        assert!(picture.contains("a &lt; b &amp; \"c\""), "{}", &picture[..600]);
    }
}
