//! What the tractor truly drives in a piece: speed and curvature at every step.
//!
//! ```text
//!  curves by time  ─► two lags of 0.3 s: a driver turns the wheel as the tractor speeds up
//!  path of a field ─► followed by distance, in the middle of every step: its curves are eased already
//! ```

use super::STEP_S;
use super::clock::{seconds, steps};
use crate::field::path::Path;
use crate::profile::{Piece, Smooth};
use crate::scenario::Scenario;

/// Ground speed at every step, m/s.
pub fn speeds(piece: &Piece) -> Vec<f64> {
    let count = usize::try_from(steps(piece.end_s() - piece.start_s())).unwrap_or(0) + 1;
    Smooth::new(piece, STEP_S).take(count).collect()
}

/// Curvature of the path at every step, 1/m.
pub fn curvatures(scenario: &Scenario, t0: f64, speeds: &[f64]) -> Vec<f64> {
    if let Some(path) = scenario.field.as_ref().and_then(|field| field.path()) {
        return along(path, speeds);
    }
    if scenario.turns.is_empty() {
        return vec![0.0; speeds.len()];
    }
    turned(scenario, t0, speeds.len())
}

/// Of a path that is followed by distance.
fn along(path: &Path, speeds: &[f64]) -> Vec<f64> {
    let mut s = 0.0;
    let mut curve = Vec::with_capacity(speeds.len());
    for (index, &speed) in speeds.iter().enumerate() {
        let next = speeds.get(index + 1).copied().unwrap_or(speed);
        let ahead_m = f64::midpoint(speed, next) * STEP_S;
        curve.push(path.curvature(s + ahead_m / 2.0));
        s += ahead_m;
    }
    curve
}

/// Of curves by time, with the lags of the tractor.
fn turned(scenario: &Scenario, t0: f64, count: usize) -> Vec<f64> {
    let keep = libm::exp(-STEP_S / 0.3);
    let mut lags = [0.0; 2];
    let mut turns = scenario.turns.iter().peekable();
    let mut aim = 0.0;
    let mut curve = Vec::with_capacity(count);
    for k in 0..count as u64 {
        let t = t0 + seconds(k);
        while let Some(turn) = turns.next_if(|turn| turn.at_s <= t) {
            aim = turn.curvature_per_m;
        }
        lags[0] = aim + (lags[0] - aim) * keep;
        lags[1] = lags[0] + (lags[1] - lags[0]) * keep;
        curve.push(lags[1]);
    }
    curve
}
