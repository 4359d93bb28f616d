//! A line of straight pieces through scattered samples, at rest at its first knot.
//!
//! Weighted least squares over the speeds at the knots; a small weight on every kink keeps a knot in place that no
//! sample is near to.

/// A sample: spool, shaft speed, one over its variance.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sample {
    pub(super) spool: f64,
    pub(super) turns_per_s: f64,
    pub(super) weight: f64,
    pub(super) repeat: usize,
}

/// A kink is none, give or take this share of the speed that a straight map would have there.
const KINK: f64 = 0.1;

/// Knots from `opening` to full command, closer at the opening.
pub(super) fn knots(opening: f64, count: u32) -> Vec<f64> {
    let share = |knot: u32| (f64::from(knot) / f64::from(count - 1)).powf(1.5);
    (0..count).map(|knot| opening + (1.0 - opening) * share(knot)).collect()
}

/// The speeds at the knots, and the weighted squares left over.
pub(super) fn through(samples: &[Sample], knots: &[f64]) -> (Vec<f64>, f64) {
    let unknown = knots.len() - 1;
    let mut matrix = vec![vec![0.0; unknown + 1]; unknown];
    for sample in samples {
        let Some((piece, share)) = place(knots, sample.spool) else { continue };
        // Knot 0 is at rest and no unknown.
        let parts = [(piece, 1.0 - share), (piece + 1, share)];
        for (row, by) in parts.into_iter().filter(|part| part.0 > 0) {
            for (column, also) in parts.into_iter().filter(|part| part.0 > 0) {
                matrix[row - 1][column - 1] += sample.weight * by * also;
            }
            matrix[row - 1][unknown] += sample.weight * by * sample.turns_per_s;
        }
    }
    keep_smooth(&mut matrix, knots, samples);
    let mut speeds = vec![0.0];
    speeds.extend(solve(matrix));
    let left = |sample: &Sample| {
        let miss = sample.turns_per_s - at(knots, &speeds, sample.spool);
        sample.weight * miss * miss
    };
    let squares = samples.iter().map(left).sum();
    (speeds, squares)
}

/// The speed at `spool` by knots and their speeds.
pub(super) fn at(knots: &[f64], speeds: &[f64], spool: f64) -> f64 {
    let Some((piece, share)) = place(knots, spool) else { return 0.0 };
    speeds[piece] + share * (speeds[piece + 1] - speeds[piece])
}

/// The piece that `spool` is in and its share of it; none at rest.
fn place(knots: &[f64], spool: f64) -> Option<(usize, f64)> {
    let piece = knots.partition_point(|knot| *knot < spool).checked_sub(1)?;
    let piece = piece.min(knots.len() - 2);
    Some((piece, (spool - knots[piece]) / (knots[piece + 1] - knots[piece])))
}

/// Adds the kinks' weight: the slope should go on as it was.
fn keep_smooth(matrix: &mut [Vec<f64>], knots: &[f64], samples: &[Sample]) {
    let full = samples.iter().map(|sample| sample.turns_per_s).fold(0.0, f64::max);
    let (low, high) = (knots[0], knots[knots.len() - 1]);
    for middle in 1..knots.len() - 1 {
        let usual = KINK * full * (knots[middle] - low) / (high - low);
        let weight = 1.0 / (usual * usual);
        let (left, right) = (knots[middle] - knots[middle - 1], knots[middle + 1] - knots[middle]);
        let whole = left + right;
        let parts = [(middle - 1, right / whole), (middle, -1.0), (middle + 1, left / whole)];
        for (row, by) in parts.into_iter().filter(|part| part.0 > 0) {
            for (column, also) in parts.into_iter().filter(|part| part.0 > 0) {
                matrix[row - 1][column - 1] += weight * by * also;
            }
        }
    }
}

/// Gauss's elimination with pivots; the last column is the right side.
fn solve(mut matrix: Vec<Vec<f64>>) -> Vec<f64> {
    let count = matrix.len();
    for column in 0..count {
        let ranked = |row: &usize| matrix[*row][column].abs();
        let pivot = (column..count).max_by(|a, b| ranked(a).total_cmp(&ranked(b)));
        matrix.swap(column, pivot.unwrap_or(column));
        let head = matrix[column].clone();
        for (index, row) in matrix.iter_mut().enumerate() {
            if index != column && head[column] != 0.0 {
                let times = row[column] / head[column];
                row.iter_mut().zip(&head).for_each(|(cell, above)| *cell -= times * above);
            }
        }
    }
    (0..count).map(|row| matrix[row][count] / matrix[row][row]).collect()
}

#[cfg(test)]
mod tests {
    use super::{Sample, at, knots, through};

    #[test]
    fn samples_on_a_bent_line_give_the_line_back() {
        let bent = |x: f64| x * x + x;
        let sample = |step: u32| {
            let spool = 0.2 + f64::from(step) / 125.0;
            let turns_per_s = bent(spool - 0.2);
            let weight = (0.015 * turns_per_s).powi(-2);
            Sample { spool, turns_per_s, weight, repeat: 0 }
        };
        let samples: Vec<Sample> = (1..=98).map(sample).collect();
        let knots = knots(0.2, 12);
        let (speeds, _) = through(&samples, &knots);
        for step in 1..=100 {
            let spool = 0.2 + f64::from(step) / 125.0;
            let miss = at(&knots, &speeds, spool) / bent(spool - 0.2) - 1.0;
            assert!(miss.abs() < 0.01, "at {spool} it is {miss} off");
        }
    }
}
