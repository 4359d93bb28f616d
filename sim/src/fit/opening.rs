//! The opening command: where the curve through the lowest points of the map meets rest.
//!
//! Two kinds of curve are tried, `n = a (u − u0)^p` with p leaning to 1, and `n = a (u − u0) + p (u − u0)²`
//! with p leaning to 0. For a given u0 each is a straight line in suitable axes; the u0 and kind win whose
//! line misses the lowest points least.

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
/// A parabola's p over its a is 0 give or take this much, for full command.
const CURVE: f64 = 1.5;
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
        for curve in [Curve::power(&points, opening), Curve::parabola(&points, opening)] {
            // Where the shaft stood all the time it was watched, fewer than two edges were due.
            let missed = watched.is_some_and(|(command, time_s)| {
                command > opening && curve.at(command - opening) * pulses * time_s > 2.0
            });
            if !missed && curve.cost < best.0 {
                best = (curve.cost, opening);
            }
        }
    }
    Ok(best.1)
}

/// A curve from the opening command up.
#[derive(Clone, Copy, Debug)]
struct Curve {
    kind: Kind,
    line: Line,
    cost: f64,
}

#[derive(Clone, Copy, Debug)]
enum Kind {
    /// `ln n = a + p ln(u − u0)`.
    Power,
    /// `n / (u − u0) = a + p (u − u0)`.
    Parabola,
}

/// One over the square of a point's scatter, share.
fn weight(point: &FitPoint) -> f64 {
    let scatter = point.turns_per_s.scatter.unwrap_or(0.0) / point.turns_per_s.value;
    1.0 / (SCATTER * SCATTER + scatter * scatter)
}

impl Curve {
    fn power(points: &[FitPoint], opening: f64) -> Self {
        let place = |point: &FitPoint| {
            let (x, y) = (point.command - opening, point.turns_per_s.value);
            (libm::log(x), libm::log(y), weight(point))
        };
        let places: Vec<_> = points.iter().map(place).collect();
        let (line, cost) = Line::through(&places, 1.0, BEND);
        Self { kind: Kind::Power, line, cost }
    }

    fn parabola(points: &[FitPoint], opening: f64) -> Self {
        let place = |point: &FitPoint| {
            let x = point.command - opening;
            let y = point.turns_per_s.value / x;
            (x, y, weight(point) / (y * y))
        };
        let places: Vec<_> = points.iter().map(place).collect();
        let slope = places.iter().map(|place| place.1).fold(f64::INFINITY, f64::min);
        let (line, cost) = Line::through(&places, 0.0, CURVE * slope);
        // A parabola that starts downwards is none that a valve has.
        Self { kind: Kind::Parabola, line, cost: if line.a > 0.0 { cost } else { f64::INFINITY } }
    }

    fn at(&self, above: f64) -> f64 {
        let Line { a, p } = self.line;
        match self.kind {
            Kind::Power => libm::exp(a + p * libm::log(above)),
            Kind::Parabola => above * (a + p * above),
        }
    }
}

/// `y = a + p x`.
#[derive(Clone, Copy, Debug)]
struct Line {
    a: f64,
    p: f64,
}

impl Line {
    /// The line through `(x, y, weight)` whose slope is `usual` give or take `spread`; and what it misses.
    fn through(places: &[(f64, f64, f64)], usual: f64, spread: f64) -> (Self, f64) {
        let [mut w, mut wx, mut wy] = [0.0; 3];
        for &(x, y, weight) in places {
            w += weight;
            wx += weight * x;
            wy += weight * y;
        }
        let (mx, my) = (wx / w, wy / w);
        let lean = 1.0 / (spread * spread);
        let (mut xx, mut xy) = (lean, lean * usual);
        for &(x, y, weight) in places {
            xx += weight * (x - mx) * (x - mx);
            xy += weight * (x - mx) * (y - my);
        }
        let p = xy / xx;
        let a = my - p * mx;
        let left = |&(x, y, weight): &(f64, f64, f64)| weight * (y - a - p * x) * (y - a - p * x);
        let cost = places.iter().map(left).sum::<f64>() + lean * (p - usual) * (p - usual);
        (Self { a, p }, cost)
    }
}
