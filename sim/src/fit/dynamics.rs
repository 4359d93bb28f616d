//! Lag τ1 and dead time θ: Gauss-Newton on the squares of all steps together, then of each repeat.

use super::error::FitError;
use super::hold::Holds;
use super::result::Measured;
use super::step::{Step, Sums};

/// Lag and dead time with their scatter over the repeats.
#[derive(Clone, Debug)]
pub(super) struct Dynamics {
    pub(super) lag_s: Measured,
    pub(super) dead_time_s: Measured,
    /// Both by each repeat.
    pub(super) each: Vec<(f64, f64)>,
    /// Steps that were used.
    pub(super) steps: usize,
    /// What the edges alone leave open: standard deviation of lag and of dead time, s.
    pub(super) open_s: (f64, f64),
}

/// Where the search starts.
const LAGS_S: [f64; 7] = [0.02, 0.05, 0.1, 0.2, 0.4, 0.8, 1.6];
const DEAD_TIMES_S: [f64; 7] = [0.0, 0.02, 0.05, 0.1, 0.17, 0.3, 0.5];
/// Shortest lag looked for, s.
const LEAST_LAG_S: f64 = 0.005;

impl Dynamics {
    /// Fits all steps that change the speed by at least this share of the fastest hold's; leaves the holds' speeds
    /// measured with the result.
    pub(super) fn fit(holds: &mut Holds, least: f64) -> Result<Self, FitError> {
        holds.measure(0.2, 0.05);
        let mut at = start(&steps(holds, (0.5, 0.3), least))?;
        let mut used = Vec::new();
        let mut sums = Sums::default();
        for _ in 0..3 {
            holds.measure(at.0, at.1);
            used = steps(holds, at, least);
            (at, sums) = descend(&used, at);
        }
        holds.measure(at.0, at.1);
        let mut each = (Vec::new(), Vec::new());
        for repeat in 0..holds.repeats() {
            let part: Vec<Step> =
                used.iter().filter(|step| step.repeat == repeat).cloned().collect();
            // A repeat that was cut short says too little.
            if part.len() * holds.repeats() * 2 > used.len() {
                let (found, _) = descend(&part, at);
                each.0.push(found.0);
                each.1.push(found.1);
            }
        }
        Ok(Self {
            lag_s: Measured::over(at.0, &each.0),
            dead_time_s: Measured::over(at.1, &each.1),
            each: each.0.iter().copied().zip(each.1.iter().copied()).collect(),
            steps: used.len(),
            open_s: open(&sums),
        })
    }
}

fn steps(holds: &Holds, at: (f64, f64), least: f64) -> Vec<Step> {
    let speed = |index: usize| holds.list.get(index).and_then(|hold| hold.level.per_s());
    let fastest = (0..holds.list.len()).filter_map(speed).fold(0.0, f64::max);
    let large = |&index: &usize| {
        let rise = speed(index).unwrap_or(0.0) - speed(index - 1).unwrap_or(0.0);
        rise.abs() >= least * fastest
    };
    (1..holds.list.len()).filter(large).filter_map(|index| Step::of(holds, index, at)).collect()
}

fn sums(steps: &[Step], (lag_s, dead_time_s): (f64, f64)) -> Sums {
    let mut sums = Sums::default();
    for step in steps {
        step.add(&mut sums, lag_s, dead_time_s);
    }
    sums
}

/// The best of a coarse grid.
fn start(steps: &[Step]) -> Result<(f64, f64), FitError> {
    let mut best = (f64::INFINITY, (0.2, 0.05));
    for lag in LAGS_S {
        for dead in DEAD_TIMES_S {
            let squares = sums(steps, (lag, dead)).squares;
            if squares < best.0 {
                best = (squares, (lag, dead));
            }
        }
    }
    if steps.is_empty() { Err(FitError::NoDynamics) } else { Ok(best.1) }
}

/// Gauss-Newton from `at`, with halved steps while they do not help.
fn descend(steps: &[Step], mut at: (f64, f64)) -> ((f64, f64), Sums) {
    let mut here = sums(steps, at);
    for _ in 0..25 {
        let [dd, dl, ll] = here.normal;
        let whole = dd * ll - dl * dl;
        let dead = (here.right[0] * ll - here.right[1] * dl) / whole;
        let lag = (here.right[1] * dd - here.right[0] * dl) / whole;
        if !(dead.is_finite() && lag.is_finite()) {
            break;
        }
        let mut share = 1.0;
        let before = here.squares;
        for _ in 0..8 {
            let there = ((at.0 + share * lag).max(LEAST_LAG_S), (at.1 + share * dead).max(0.0));
            let tried = sums(steps, there);
            if tried.squares < here.squares {
                (at, here) = (there, tried);
                break;
            }
            share /= 2.0;
        }
        if before - here.squares <= 1e-9 * before {
            break;
        }
    }
    (at, here)
}

/// Standard deviations of lag and dead time by the curvature of the squares.
fn open(sums: &Sums) -> (f64, f64) {
    let [dd, dl, ll] = sums.normal;
    let whole = dd * ll - dl * dl;
    let spread = (sums.squares / sums.count.max(1.0)).max(0.0);
    ((spread * dd / whole).sqrt(), (spread * ll / whole).sqrt())
}
