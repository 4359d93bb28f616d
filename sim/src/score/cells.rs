//! Soil cells of 0.5 m, built from five bins each.

use crate::bench::SideOutcome;
use crate::ground::{Bin, real};
use crate::trace::Cell;

/// Bins in a cell.
const BINS: usize = 5;

/// Length of a cell, m.
const CELL_M: f64 = 0.5;

/// Cells crossed slower than this are not running, m/s.
const SLOWEST_RUNNING_MPS: f64 = 0.4;

/// What makes a cell running.
#[derive(Clone, Copy, Debug)]
pub struct Running {
    /// Time after lift or operator began to ask, s.
    pub settle_s: f64,
}

/// The finished cells of one side.
pub fn cells(side: &SideOutcome, place: (usize, usize), running: Running) -> Vec<Cell> {
    let bins = side.ground.bins();
    let whole = bins.len().saturating_sub(1) / BINS;
    (0..whole)
        .map(|index| {
            let group = &bins[index * BINS..(index + 1) * BINS];
            let left_s = bins[(index + 1) * BINS].entered_s;
            cell(side, place, &Span { index, group, left_s }, running)
        })
        .collect()
}

/// The bins of a cell.
struct Span<'a> {
    index: usize,
    group: &'a [Bin],
    left_s: f64,
}

fn cell(side: &SideOutcome, place: (usize, usize), span: &Span<'_>, running: Running) -> Cell {
    let Span { index, group, left_s } = *span;
    let (piece, number) = place;
    let entered_s = group[0].entered_s;
    let laid: f64 = group.iter().map(|bin| bin.laid_kg).sum();
    let rate: f64 = group.iter().map(|bin| bin.rate_kg_per_m2).sum::<f64>() / real(BINS);
    let asked: f64 = group.iter().map(|bin| bin.asked_m).sum();
    let narrowed: f64 = group.iter().map(|bin| bin.narrowed).sum::<f64>() / real(BINS);
    let laid_rate = laid / (CELL_M * side.width_m * (1.0 - narrowed));
    let counted = asked > CELL_M - 1e-6 && rate > 0.0;
    let since = side.hand_on_s.iter().rev().find(|&&on| on <= entered_s).copied();
    let settled = since.is_some_and(|on| entered_s > on + running.settle_s);
    let fast = CELL_M / (left_s - entered_s) > SLOWEST_RUNNING_MPS;
    Cell {
        piece,
        side: number,
        start_m: real(index) * CELL_M,
        entered_s,
        left_s,
        laid_kg_per_ha: laid_rate * 1e4,
        target_kg_per_ha: rate * 1e4,
        error_pct: if counted { 100.0 * (laid_rate / rate - 1.0) } else { f64::NAN },
        counted,
        running: counted && settled && fast,
    }
}
