//! The opening: where the parabola through the lowest speeds meets rest, and no hold that stood says otherwise.
//!
//! `n = a (u − u0) + b (u − u0)²` over the spool u; for a given u0 a and b are linear.

use super::branch::{samples, spools};
use super::smooth::Sample;
use crate::fit::hold::{Holds, Level};

/// Samples up to this share of full speed are looked at.
const LOW: f64 = 0.25;
/// How far below the lowest sample the opening may lie, and in how many steps, coarse and fine, it is looked for.
const REACH: f64 = 0.1;
const TRIES: u32 = 50;
/// b over a leans to zero, give or take this much, for full command.
const BEND: f64 = 3.0;
/// A hold that stood was watched for this share of its time.
const WATCHED: f64 = 0.6;

/// The opening of the map's middle, by one repeat or by all, and the weighted squares left over.
pub(super) fn opening(holds: &Holds, hysteresis: f64, repeat: Option<usize>) -> Option<(f64, f64)> {
    let taken = |of: usize| repeat.is_none_or(|it| it == of);
    let all = samples(holds, hysteresis);
    let full = all.iter().map(|sample| sample.turns_per_s).fold(0.0, f64::max);
    let low = |sample: &&Sample| sample.turns_per_s < LOW * full && taken(sample.repeat);
    let lowest: Vec<Sample> = all.iter().filter(low).copied().collect();
    let first = lowest.iter().map(|sample| sample.spool).fold(f64::INFINITY, f64::min);
    let pulses = f64::from(holds.pulses_per_turn);
    // Spool and the edges that would be due for each turn per second, of the holds that stood.
    let stood: Vec<(f64, f64)> = (holds.list.iter().zip(spools(holds, hysteresis)))
        .filter(|(hold, _)| hold.level == Level::Silent && taken(hold.repeat))
        .map(|(hold, spool)| (spool, pulses * WATCHED * (hold.to_s - hold.from_s)))
        .collect();
    let cost = |opening: f64| {
        let (a, b, squares) = parabola(&lowest, opening);
        let due = |&(spool, edges): &(f64, f64)| {
            let above = (spool - opening).max(0.0);
            (edges * (a * above + b * above * above) - 1.0).max(0.0).powi(2)
        };
        squares + stood.iter().map(due).sum::<f64>()
    };
    let best = |from: f64, step: f64| {
        let tried = (1..=TRIES).map(|it| from - step * f64::from(it));
        tried.map(|opening| (opening, cost(opening))).min_by(|x, y| x.1.total_cmp(&y.1))
    };
    let coarse = REACH / f64::from(TRIES);
    let (near, _) = best(first, coarse)?;
    let fine = 2.0 * coarse / f64::from(TRIES);
    // Above the lowest sample there is none.
    best((near + coarse).min(first), fine).filter(|_| lowest.len() >= 2)
}

/// a, b and the weighted squares left over.
fn parabola(samples: &[Sample], opening: f64) -> (f64, f64, f64) {
    let [mut xx, mut xy, mut x3, mut x4, mut x2y] = [0.0; 5];
    for sample in samples {
        let x = sample.spool - opening;
        xx += sample.weight * x * x;
        xy += sample.weight * x * sample.turns_per_s;
        x3 += sample.weight * x * x * x;
        x4 += sample.weight * x * x * x * x;
        x2y += sample.weight * x * x * sample.turns_per_s;
    }
    let slope = xy / xx;
    let lean = 1.0 / (BEND * slope).powi(2);
    let (x4, whole) = (x4 + lean, xx * (x4 + lean) - x3 * x3);
    let (a, b) = ((xy * x4 - x2y * x3) / whole, (x2y * xx - xy * x3) / whole);
    let left = |sample: &Sample| {
        let x = sample.spool - opening;
        sample.weight * (sample.turns_per_s - a * x - b * x * x).powi(2)
    };
    let squares = samples.iter().map(left).sum::<f64>() + lean * b * b;
    if a > 0.0 { (a, b, squares) } else { (a, b, f64::INFINITY) }
}
