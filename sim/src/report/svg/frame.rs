//! A panel: its frame, grid, numbers, title and legend.

use super::axis::Axis;
use super::palette::{GRID, INK, SOFT};
use super::scale::{Scale, label, rounds};
use super::sheet::{Ink, Sheet, Stroke, width_of};

/// Where a panel stands, px.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// Left edge.
    pub left: f64,
    /// Top edge.
    pub top: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// An entry of a legend.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key {
    /// What it is.
    pub words: &'static str,
    /// How it is drawn.
    pub stroke: Stroke,
}

impl Frame {
    /// Lower edge.
    pub(super) fn bottom(&self) -> f64 {
        self.top + self.height
    }

    /// From an axis to pixels across.
    pub(super) fn across(&self, axis: &Axis) -> Scale {
        Scale { numbers: axis.range, pixels: (self.left, self.left + self.width) }
    }

    /// From numbers to pixels upward.
    pub(super) fn upward(&self, low: f64, high: f64) -> Scale {
        Scale { numbers: (low, high), pixels: (self.bottom(), self.top) }
    }

    /// Grid, numbers at the left, seams between pieces, and the frame itself.
    pub(super) fn draw(&self, sheet: &mut Sheet, axis: &Axis, upward: &Scale) {
        let across = self.across(axis);
        let grid = Stroke { colour: GRID, width: 1.0 };
        for number in rounds(axis.range.0, axis.range.1, 12.0) {
            sheet.line(
                format!("M{:.1} {:.1}V{:.1}", across.at(number), self.top, self.bottom()),
                grid,
            );
        }
        let (low, high) = upward.numbers;
        for number in rounds(low, high, self.height / 26.0) {
            let y = upward.at(number);
            sheet.line(format!("M{:.1} {y:.1}h{:.1}", self.left, self.width), grid);
            let ink = Ink::plain(12.0).anchor("end").colour(SOFT);
            sheet.words(&label(number), (self.left - 7.0, y + 4.0), ink);
        }
        for &seam in &axis.seams {
            let seam_stroke = Stroke { colour: SOFT, width: 0.8 };
            sheet.line(
                format!("M{:.1} {:.1}V{:.1}", across.at(seam), self.top, self.bottom()),
                seam_stroke,
            );
        }
    }

    /// The frame itself, drawn last.
    pub(super) fn edge(&self, sheet: &mut Sheet) {
        let data = format!(
            "M{:.1} {:.1}h{:.1}v{:.1}h-{:.1}z",
            self.left, self.top, self.width, self.height, self.width
        );
        sheet.line(data, Stroke { colour: INK, width: 1.0 });
    }

    /// Title at the left above the frame, legend at the right.
    pub(super) fn title(&self, sheet: &mut Sheet, title: &str, keys: &[Key]) {
        let y = self.top - 8.0;
        sheet.words(title, (self.left, y), Ink::plain(14.0).bold());
        let mut right = self.left + self.width;
        for key in keys.iter().rev() {
            let from = right - width_of(key.words, 12.5);
            sheet.words(key.words, (from, y), Ink::plain(12.5));
            sheet.line(format!("M{:.1} {:.1}h26", from - 33.0, y - 4.0), key.stroke);
            right = from - 56.0;
        }
    }

    /// Numbers and name of the axis below the frame.
    pub(super) fn foot(&self, sheet: &mut Sheet, axis: &Axis) {
        let across = self.across(axis);
        let y = self.bottom() + 16.0;
        for number in rounds(axis.range.0, axis.range.1, 12.0) {
            let ink = Ink::plain(12.0).anchor("middle").colour(SOFT);
            sheet.words(&label(number), (across.at(number), y), ink);
        }
        let middle = self.left + self.width / 2.0;
        sheet.words(&axis.name, (middle, y + 17.0), Ink::plain(13.0).anchor("middle"));
    }
}
