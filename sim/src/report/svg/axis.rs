//! The axes: time of the run, distance of a side. Pieces stand one after the other.
//!
//! A recording with gaps would be mostly gap; with several pieces the axis counts from zero and
//! leaves the gaps out, with a mark at each seam.

use crate::trace::{Cell, Tick};
use crate::unit::{LENGTH, System};

/// A horizontal axis.
#[derive(Debug)]
pub(super) struct Axis {
    /// What it counts, with its unit.
    pub name: String,
    /// First and last number.
    pub range: (f64, f64),
    /// Seams between pieces.
    pub seams: Vec<f64>,
    /// One of its unit in s or m.
    unit: f64,
    /// Per piece: what to take off before dividing by the unit.
    offsets: Vec<f64>,
}

impl Axis {
    /// Where `value` (s or m) of a piece stands.
    pub(super) fn at(&self, piece: usize, value: f64) -> f64 {
        (value - self.offsets.get(piece).copied().unwrap_or_default()) / self.unit
    }

    /// An axis of one piece, in its own unit from the start.
    pub(super) fn plain(name: String, range: (f64, f64)) -> Self {
        Self { name, range, seams: Vec::new(), unit: 1.0, offsets: vec![0.0] }
    }

    /// An axis over `spans` (piece, first, last), in s or m.
    fn over(name: &str, unit: f64, spans: &[Span]) -> Self {
        let pieces = spans.iter().map(|span| span.piece + 1).max().unwrap_or(0);
        let mut axis = Self {
            name: name.to_owned(),
            range: (0.0, 0.0),
            seams: Vec::new(),
            unit,
            offsets: vec![0.0; pieces],
        };
        if let [span] = spans {
            axis.range = (span.first / unit, span.last / unit);
            return axis;
        }
        let mut end = 0.0;
        for span in spans {
            axis.seams.push(end / unit);
            axis.offsets[span.piece] = span.first - end;
            end += span.last - span.first;
        }
        axis.seams = axis.seams.split_off(1.min(axis.seams.len()));
        axis.range = (0.0, end / unit);
        axis.name.push_str(", gaps of the recording left out");
        axis
    }
}

/// Extent of a piece.
struct Span {
    piece: usize,
    first: f64,
    last: f64,
}

/// The extents of the pieces from (piece, begin, end) in order.
fn spans(items: impl Iterator<Item = (usize, f64, f64)>) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    for (piece, first, last) in items {
        match spans.last_mut() {
            Some(span) if span.piece == piece => span.last = span.last.max(last),
            Some(_) | None => spans.push(Span { piece, first, last }),
        }
    }
    spans
}

/// Longest run whose axis is in seconds, s.
const SECONDS_UP_TO: f64 = 300.0;

/// The time axis of a run.
pub(super) fn time(ticks: &[Tick]) -> Axis {
    let spans = spans(ticks.iter().map(|tick| (tick.piece, tick.t_s, tick.t_s)));
    let whole: f64 = spans.iter().map(|span| span.last - span.first).sum();
    if whole > SECONDS_UP_TO {
        return Axis::over("time, min", 60.0, &spans);
    }
    Axis::over("time, s", 1.0, &spans)
}

/// The distance axis of one side's cells.
pub(super) fn distance(cells: &[&Cell], system: System) -> Axis {
    let gap = cells.windows(2).find(|pair| pair[0].piece == pair[1].piece);
    let length_m = gap.map_or(0.5, |pair| pair[1].start_m - pair[0].start_m);
    let spans = spans(cells.iter().map(|it| (it.piece, it.start_m, it.start_m + length_m)));
    let Some(unit) = LENGTH.preferred(system) else {
        return Axis::over("distance, m", 1.0, &spans);
    };
    Axis::over(&format!("distance, {}", unit.symbol()), unit.to_own(1.0), &spans)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_piece_keeps_its_own_numbers_and_several_stand_in_a_row() {
        let one = Axis::over("x", 1.0, &spans([(0, 7.0, 9.0)].into_iter()));
        assert_eq!((one.range, one.at(0, 8.0)), ((7.0, 9.0), 8.0));
        let two = Axis::over("x", 1.0, &spans([(0, 7.0, 9.0), (1, 100.0, 103.0)].into_iter()));
        assert_eq!((two.range, two.seams.as_slice()), ((0.0, 5.0), [2.0].as_slice()));
        assert!((two.at(1, 101.0) - 3.0).abs() < 1e-12);
    }
}
