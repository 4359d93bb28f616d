//! The opening command: where the curve through the lowest points of the map meets rest.
//!
//! `n = a (u − u0)^p` is a straight line in `ln n` over `ln (u − u0)`: u0 is the one at which the lowest
//! points lie nearest to such a line, with p leaning to 1.

use super::error::FitError;
use super::hold::Holds;
use super::map::{points, silent};
use super::result::FitPoint;

/// Lowest points that are looked at.
const LOWEST: usize = 5;
/// Scatter of a point at the least, share.
const SCATTER: f64 = 0.01;
/// Bend p is 1 give or take this much, unless the points say otherwise.
const BEND: f64 = 0.3;
/// How far below the lowest point the opening may lie, and in what steps.
const REACH: f64 = 0.5;
const TRIES: u32 = 5_000;

/// The opening command by one repeat, or by all.
pub(super) fn opening(holds: &Holds, repeat: Option<usize>) -> Result<f64, FitError> {
    let mut points = points(holds, repeat);
    points.truncate(LOWEST);
    let [first, _, ..] = points[..] else { return Err(FitError::OneSpeed) };
    let watched = silent(holds, repeat);
    let pulses = f64::from(holds.pulses_per_turn);
    let mut best = (f64::INFINITY, first.command);
    for index in 1..=TRIES {
        let opening = first.command - REACH * f64::from(index) / f64::from(TRIES);
        if opening < 0.0 {
            break;
        }
        let line = Line::through(&points, opening);
        // Where the shaft stood all the time it was watched, fewer than two edges were due.
        let missed = watched.is_some_and(|(command, time_s)| {
            command > opening && line.at(command - opening) * pulses * time_s > 2.0
        });
        if !missed && line.cost < best.0 {
            best = (line.cost, opening);
        }
    }
    Ok(best.1)
}

/// `ln n = a + p ln(u − u0)`.
#[derive(Clone, Copy, Debug)]
struct Line {
    a: f64,
    p: f64,
    cost: f64,
}

impl Line {
    fn through(points: &[FitPoint], opening: f64) -> Self {
        let place = |point: &FitPoint| {
            let scatter = point.turns_per_s.scatter.unwrap_or(0.0) / point.turns_per_s.value;
            let weight = 1.0 / (SCATTER * SCATTER + scatter * scatter);
            (libm::log(point.command - opening), libm::log(point.turns_per_s.value), weight)
        };
        let places: Vec<(f64, f64, f64)> = points.iter().map(place).collect();
        let [mut w, mut wx, mut wy] = [0.0; 3];
        for &(x, y, weight) in &places {
            w += weight;
            wx += weight * x;
            wy += weight * y;
        }
        let (mx, my) = (wx / w, wy / w);
        let [mut xx, mut xy] = [1.0 / (BEND * BEND); 2];
        for &(x, y, weight) in &places {
            xx += weight * (x - mx) * (x - mx);
            xy += weight * (x - mx) * (y - my);
        }
        let p = xy / xx;
        let a = my - p * mx;
        let left = |&(x, y, weight): &(f64, f64, f64)| weight * (y - a - p * x) * (y - a - p * x);
        let lean = (p - 1.0) / BEND;
        Self { a, p, cost: places.iter().map(left).sum::<f64>() + lean * lean }
    }

    fn at(&self, above: f64) -> f64 {
        libm::exp(self.a + self.p * libm::log(above))
    }
}
