//! Hysteresis: the spool follows the command with play, so up and down branch are one map of the spool.
//!
//! ```text
//!  turns/s │      down ╱ ╱ up            spool = clamp(spool before, u − h/2, u + h/2)
//!          │         ╱ ╱
//!          └───────┴─┴──── u             that h is right for which both branches fall on one line
//! ```

use super::rest;
use super::smooth::{Sample, knots, through};
use crate::fit::hold::{Hold, Holds, Level};

/// Widest hysteresis looked for, and the steps: coarse, then fine about the best.
const WIDEST: f64 = 0.15;
const COARSE: f64 = 0.005;
const FINE: f64 = 0.000_5;
/// What a hold's speed is off by at the least, share (a pump that swings).
const SWING: f64 = 0.015;
/// A shaft that still runs out this share of its speed is no sample.
const RUN_OUT: f64 = 0.1;
/// What one edge is off its place, edges.
const EDGE: f64 = 0.15;

/// Where the spool is in every hold, for a hysteresis.
pub(super) fn spools(holds: &Holds, hysteresis: f64) -> Vec<f64> {
    let mut spool: f64 = 0.0;
    let half = hysteresis / 2.0;
    let follow = |hold: &Hold| {
        spool = spool.clamp(hold.command - half, hold.command + half);
        spool
    };
    holds.list.iter().map(follow).collect()
}

/// The holds that turned the shaft, by spool.
pub(super) fn samples(holds: &Holds, hysteresis: f64) -> Vec<Sample> {
    let mut before = 0.0;
    let sample = |(hold, spool): (&Hold, f64)| {
        let ran = std::mem::replace(&mut before, hold.level.per_s().unwrap_or(0.0));
        let Level::Turning(per_s) = hold.level else { return None };
        if hold.command <= 0.0 || runs_out(holds, hold, ran) > RUN_OUT * per_s {
            return None;
        }
        let turns_per_s = per_s / f64::from(holds.pulses_per_turn);
        let seen = 0.6 * per_s * (hold.to_s - hold.from_s);
        let spread = turns_per_s * (SWING * SWING + (EDGE / seen.max(1.0)).powi(2)).sqrt();
        Some(Sample { spool, turns_per_s, weight: 1.0 / (spread * spread), repeat: hold.repeat })
    };
    holds.list.iter().zip(spools(holds, hysteresis)).filter_map(sample).collect()
}

/// What is left in the middle of a hold of the speed before, edges/s.
fn runs_out(holds: &Holds, hold: &Hold, before: f64) -> f64 {
    let (lag_s, dead_time_s) = holds.answer_s;
    let since = 0.5 * (hold.to_s - hold.from_s) - dead_time_s;
    before * libm::exp(-since.max(0.0) / lag_s)
}

/// The hysteresis that puts both branches on one line, by one repeat or by all.
pub(super) fn hysteresis(holds: &Holds, repeat: Option<usize>) -> f64 {
    let cost = |hysteresis: f64| {
        let taken = |sample: &Sample| repeat.is_none_or(|it| sample.repeat == it);
        let some: Vec<Sample> = samples(holds, hysteresis).into_iter().filter(taken).collect();
        let (opening, low) = rest::opening(holds, hysteresis, repeat)?;
        let above: Vec<Sample> = some.into_iter().filter(|it| it.spool > opening).collect();
        Some(low + through(&above, &knots(opening, 12)).1)
    };
    let best = |from: f64, to: f64, step: f64| {
        let (mut best, mut width) = ((f64::INFINITY, from.max(0.0)), from.max(0.0));
        while width <= to {
            let tried = (cost(width).unwrap_or(f64::INFINITY), width);
            best = if tried.0 < best.0 { tried } else { best };
            width += step;
        }
        best.1
    };
    let near = best(0.0, WIDEST, COARSE);
    best(near - COARSE, near + COARSE, FINE)
}
