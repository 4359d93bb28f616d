//! What lay on the soil: rate error of every cell against distance.

use super::axis::Axis;
use super::envelope::{same_column, tenth};
use super::frame::{Frame, Key};
use super::palette::{BAND, EXCUSED, INK, OUT, SOFT};
use super::scale::{Scale, label};
use super::sheet::{Ink, Sheet, Stroke, width_of};
use crate::trace::Cell;
use std::fmt::Write;

/// The band that is aimed at, %.
const AIM_PCT: f64 = 5.0;
/// Least and most that the panel shows, %.
const SHOWN_PCT: (f64, f64) = (12.0, 100.0);
/// A cell narrower than this is drawn as part of its pixel column, px.
const NARROW: f64 = 1.0;

const RUNNING: Stroke = Stroke { colour: INK, width: 1.6 };
const BAD: Stroke = Stroke { colour: OUT, width: 2.6 };
const FAINT: Stroke = Stroke { colour: EXCUSED, width: 1.0 };

/// Draws one side's soil.
pub(super) fn draw(sheet: &mut Sheet, frame: Frame, axis: &Axis, given: (&[&Cell], &str)) {
    let (cells, name) = given;
    let running = || cells.iter().filter(|cell| cell.running && cell.error_pct.is_finite());
    let worst = running().max_by(|a, b| a.error_pct.abs().total_cmp(&b.error_pct.abs()));
    let most = worst.map_or(0.0, |cell| cell.error_pct.abs()) * 1.15;
    let shown = most.clamp(SHOWN_PCT.0, SHOWN_PCT.1);
    let soil = Soil { axis, across: frame.across(axis), upward: frame.upward(-shown, shown) };
    let band = (soil.upward.at(AIM_PCT), soil.upward.at(-AIM_PCT));
    sheet.fill((frame.left, band.0), (frame.width, band.1 - band.0), BAND);
    frame.draw(sheet, axis, &soil.upward);
    let zero = soil.upward.at(0.0);
    sheet.line(
        format!("M{:.1} {zero:.1}h{:.1}", frame.left, frame.width),
        Stroke { colour: SOFT, width: 0.8 },
    );
    soil.cells(sheet, cells, FAINT, |cell| cell.counted && !cell.running);
    soil.cells(sheet, cells, RUNNING, |cell| cell.running);
    soil.cells(sheet, cells, BAD, |cell| cell.running && cell.error_pct.abs() > AIM_PCT);
    if let Some(worst) = worst {
        soil.mark(sheet, frame, worst);
    }
    title(sheet, frame, name, cells);
    frame.edge(sheet);
    beyond(sheet, frame, cells, shown);
}

fn title(sheet: &mut Sheet, frame: Frame, name: &str, cells: &[&Cell]) {
    let keys = [
        Key { words: "running", stroke: RUNNING },
        Key { words: "running, outside ±5 %", stroke: BAD },
        Key { words: "excused: a start, or at a crawl", stroke: FAINT },
        Key { words: "±5 %", stroke: Stroke { colour: BAND, width: 9.0 } },
    ];
    let outside = cells.iter().filter(|it| it.running && it.error_pct.abs() > AIM_PCT).count();
    let running = cells.iter().filter(|it| it.running).count();
    let side = if name.is_empty() { String::new() } else { format!(" — {name}") };
    let words = format!(
        "Rate error on the soil, %{side}: {outside} of {running} running cells outside ±5 %"
    );
    frame.title(sheet, &words, &keys);
}

/// Says how many cells the panel cannot show, and how far off they are.
fn beyond(sheet: &mut Sheet, frame: Frame, cells: &[&Cell], shown: f64) {
    let out = || cells.iter().filter(|it| it.counted && it.error_pct.abs() > shown * 1.001);
    let count = out().count();
    if count == 0 {
        return;
    }
    let low = out().map(|cell| cell.error_pct).fold(f64::INFINITY, f64::min);
    let high = out().map(|cell| cell.error_pct).fold(f64::NEG_INFINITY, f64::max);
    let far = if low < -shown { low } else { high };
    let words = format!(
        "{count} excused cell{} beyond the frame, as far as {} %",
        if count == 1 { "" } else { "s" },
        label(libm::round(far))
    );
    let ink = Ink::plain(12.0).colour(SOFT).anchor("end");
    sheet.words(&words, (frame.left + frame.width, frame.bottom() + 33.0), ink);
}

/// Scales of the panel.
struct Soil<'a> {
    axis: &'a Axis,
    across: Scale,
    upward: Scale,
}

/// A cell on the paper: from, to, height.
type Bar = (f64, f64, f64);

impl Soil<'_> {
    /// Draws the chosen cells: steps where there is room, else the envelope of each pixel column.
    fn cells(
        &self,
        sheet: &mut Sheet,
        cells: &[&Cell],
        stroke: Stroke,
        chosen: impl Fn(&Cell) -> bool,
    ) {
        let length = cells.windows(2).find(|pair| pair[0].piece == pair[1].piece);
        let length = length.map_or(0.5, |pair| pair[1].start_m - pair[0].start_m);
        let bar = |cell: &&&Cell| -> Bar {
            let x = |m| self.across.at(self.axis.at(cell.piece, m));
            (x(cell.start_m), x(cell.start_m + length), self.upward.held(cell.error_pct))
        };
        let chosen = |cell: &&&Cell| chosen(cell) && cell.error_pct.is_finite();
        let bars: Vec<Bar> = cells.iter().filter(chosen).map(|cell| bar(&cell)).collect();
        let narrow = bars.first().is_some_and(|bar| bar.1 - bar.0 < NARROW);
        let data = if narrow { columns(&bars) } else { steps(&bars) };
        if !data.is_empty() {
            sheet.line(data, stroke);
        }
    }

    /// Marks the worst running cell.
    fn mark(&self, sheet: &mut Sheet, frame: Frame, worst: &Cell) {
        let x = self.across.at(self.axis.at(worst.piece, worst.start_m));
        let y = self.upward.held(worst.error_pct);
        let sign = if worst.error_pct > 0.0 { "+" } else { "" };
        let words =
            format!("worst {sign}{} %", label(libm::round(worst.error_pct * 100.0) / 100.0));
        let left = x + 12.0 + width_of(&words, 12.5) > frame.left + frame.width;
        let anchor = if left { "end" } else { "start" };
        let beside = if worst.error_pct > 0.0 { y - 7.0 } else { y + 17.0 };
        let base = beside.clamp(frame.top + 13.0, frame.bottom() - 4.0);
        sheet.words(&words, (x, base), Ink::plain(12.5).anchor(anchor).bold().colour(OUT));
    }
}

/// A line of steps, broken where cells do not touch.
fn steps(bars: &[Bar]) -> String {
    let mut data = String::new();
    let mut end = f64::NEG_INFINITY;
    for &(from, to, y) in bars {
        let (left, right, high) = (tenth(from), tenth(to), tenth(y));
        let _ = if from - end > 0.05 {
            write!(data, "M{left} {high}H{right}")
        } else {
            write!(data, "V{high}H{right}")
        };
        end = to;
    }
    data
}

/// A stroke from the lowest to the highest of each pixel column.
fn columns(bars: &[Bar]) -> String {
    let mut data = String::new();
    for column in bars.chunk_by(|a, b| same_column(a.0, b.0)) {
        let top = column.iter().map(|bar| bar.2).fold(f64::INFINITY, f64::min);
        let bottom = column.iter().map(|bar| bar.2).fold(f64::NEG_INFINITY, f64::max);
        let x = libm::floor(column[0].0) + 0.5;
        // At least a pixel high, so that a column of equal cells is seen.
        let _ = write!(data, "M{x} {}V{}", tenth(top - 0.5), tenth(bottom + 0.5));
    }
    data
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn cells_that_touch_are_one_line_of_steps_and_a_gap_breaks_it() {
        let bars = [(0.0, 5.0, 1.0), (5.0, 10.0, 2.0), (20.0, 25.0, 3.0)];
        assert_eq!(steps(&bars), "M0 1H5V2H10M20 3H25");
    }

    #[test]
    fn a_pixel_column_shows_its_lowest_and_highest_cell() {
        let bars = [(0.1, 0.3, 10.0), (0.4, 0.6, 30.0), (0.7, 0.9, 20.0), (1.1, 1.3, 5.0)];
        assert_eq!(columns(&bars), "M0.5 9.5V30.5M1.5 4.5V5.5");
    }
}
