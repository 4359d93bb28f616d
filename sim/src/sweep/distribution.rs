//! How a figure is distributed over the cases: order statistics, each the value of a case that was run.
//!
//! The p-quantile of n sorted values is `x[⌈p n⌉]`, counted from 1 (inverse of the empirical distribution
//! function; Hyndman and Fan 1996, definition 1). The mean is summed in rising order, so that nothing depends on
//! the order in which cases ended.

use crate::ground::real;
use serde::Serialize;

/// A figure over all cases in which it exists.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Distribution {
    /// Number of cases in which it exists.
    pub cases: usize,
    /// Smallest.
    pub min: f64,
    /// A twentieth of the cases is at or below this.
    pub p5: f64,
    /// Half of the cases is at or below this.
    pub median: f64,
    /// Nineteen of twenty cases are at or below this.
    pub p95: f64,
    /// Ninety-nine of a hundred cases are at or below this.
    pub p99: f64,
    /// Largest.
    pub max: f64,
    /// Mean.
    pub mean: f64,
}

impl Distribution {
    /// Of `values`; those that do not exist (NaN, infinite) are left out. None where none is left.
    pub fn of(values: impl IntoIterator<Item = f64>) -> Option<Self> {
        let mut sorted: Vec<f64> = values.into_iter().filter(|value| value.is_finite()).collect();
        sorted.sort_by(f64::total_cmp);
        let (&min, &max) = (sorted.first()?, sorted.last()?);
        let at = |percent| sorted[rank(sorted.len(), percent)];
        Some(Self {
            cases: sorted.len(),
            min,
            p5: at(5),
            median: at(50),
            p95: at(95),
            p99: at(99),
            max,
            mean: sorted.iter().sum::<f64>() / real(sorted.len()),
        })
    }
}

/// Index of the quantile in `count` sorted values.
const fn rank(count: usize, percent: usize) -> usize {
    (count * percent).div_ceil(100).saturating_sub(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quantiles_of_one_to_a_hundred_are_themselves() {
        let have = Distribution::of((1..=100).rev().map(f64::from)).unwrap();
        let want = [1.0, 5.0, 50.0, 95.0, 99.0, 100.0, 50.5];
        let shown = [have.min, have.p5, have.median, have.p95, have.p99, have.max, have.mean];
        assert_eq!((shown, have.cases), (want, 100));
    }

    #[test]
    fn what_does_not_exist_is_left_out() {
        let have = Distribution::of([f64::NAN, 2.0, 1.0]).unwrap();
        assert_eq!((have.cases, have.min, have.median, have.max), (2, 1.0, 1.0, 2.0));
        assert_eq!(Distribution::of([f64::NAN]), None);
    }
}
