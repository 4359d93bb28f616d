//! A pump that swings: a sine on the shaft speed, found over the whole run and taken off the positions.
//!
//! ```text
//!  speed / map's speed = 1 + a sin ωt + b cos ωt        least squares over a, b for every ω tried
//!  positions: each step from edge to edge is divided by it
//! ```
//!
//! An engine's governor that hunts, or a pump that another consumer loads, swings slower than a hold lasts, so no
//! mean over a hold rids the map of it.

use super::smooth::at;
use crate::fit::hold::{Hold, Holds, Level, Sight};

/// Slowest and fastest swing looked for, rad/s.
const RATES: std::ops::Range<f64> = 0.15..6.0;
/// Speeds are taken over so long, s, and at least so many edges.
const WINDOW_S: f64 = 0.4;
const EDGES: f64 = 3.0;
/// What an edge is off its place, and a window's speed at the least, edges and share.
const EDGE: f64 = 0.15;
const LEAST: f64 = 0.003;
/// A sine that explains less than this of the squares is none.
const EXPLAINS: f64 = 0.2;

/// A swing.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Swing {
    rad_per_s: f64,
    sine: f64,
    cosine: f64,
}

/// A speed over the map's, and one over its variance.
struct Window {
    t_s: f64,
    share: f64,
    weight: f64,
}

impl Swing {
    /// Speed over the map's at an instant.
    pub(super) fn at(self, t_s: f64) -> f64 {
        let angle = self.rad_per_s * t_s;
        1.0 + self.sine * libm::sin(angle) + self.cosine * libm::cos(angle)
    }

    /// Its amplitude, share.
    pub(super) fn amplitude(self) -> f64 {
        self.sine.hypot(self.cosine)
    }

    /// Its period, s.
    pub(super) fn period_s(self) -> f64 {
        2.0 * core::f64::consts::PI / self.rad_per_s
    }

    /// Looks for a swing about a map; `spools` is where the spool is in every hold.
    pub(super) fn of(
        holds: &Holds,
        spools: &[f64],
        (knots, speeds): (&[f64], &[f64]),
    ) -> Option<Self> {
        let pulses = f64::from(holds.pulses_per_turn);
        let (mut windows, mut before) = (Vec::new(), 0.0);
        for (hold, spool) in holds.list.iter().zip(spools) {
            let per_s = pulses * at(knots, speeds, *spool);
            windows.extend(seen(holds, hold, (before, per_s)));
            before = per_s;
        }
        let span_s = windows.last()?.t_s - windows.first()?.t_s;
        let all: f64 = windows.iter().map(|it| it.weight * (it.share - 1.0).powi(2)).sum();
        // A sine of another rate is told apart from 2 pi over the span on.
        let coarse = 1.5 / span_s.max(1.0);
        let (best, _) = Self::best(&windows, RATES, coarse);
        let near = best.rad_per_s - coarse..best.rad_per_s + coarse;
        let (best, explained) = Self::best(&windows, near, coarse / 15.0);
        (explained > EXPLAINS * all).then_some(best)
    }

    /// The sine of these rates that explains most, and the squares that it explains.
    fn best(windows: &[Window], rates: std::ops::Range<f64>, step: f64) -> (Self, f64) {
        let (mut best, mut explained) = (Self::default(), 0.0);
        let mut rate = rates.start;
        while rate < rates.end {
            let (swing, squares) = Self::fitted(windows, rate);
            if squares > explained {
                (best, explained) = (swing, squares);
            }
            rate += step;
        }
        (best, explained)
    }

    /// The sine of a rate that comes nearest, and the squares that it explains.
    fn fitted(windows: &[Window], rad_per_s: f64) -> (Self, f64) {
        let [mut ss, mut sc, mut cc, mut sy, mut cy] = [0.0; 5];
        for Window { t_s, share, weight } in windows {
            let (s, c) = (libm::sin(rad_per_s * t_s), libm::cos(rad_per_s * t_s));
            ss += weight * s * s;
            sc += weight * s * c;
            cc += weight * c * c;
            sy += weight * s * (share - 1.0);
            cy += weight * c * (share - 1.0);
        }
        let whole = ss * cc - sc * sc;
        let (sine, cosine) = ((sy * cc - cy * sc) / whole, (cy * ss - sy * sc) / whole);
        (Self { rad_per_s, sine, cosine }, sine * sy + cosine * cy)
    }

    /// The holds with the swing taken off every position.
    pub(super) fn taken_off(self, holds: &Holds) -> Holds {
        let mut still = holds.clone();
        let mut before = Sight { t_s: 0.0, edges: 0.0, weight: 1.0 };
        let mut place = 0.0;
        for (sight, steady) in holds.sights.iter().zip(&mut still.sights) {
            place += (sight.edges - before.edges) / self.at(f64::midpoint(sight.t_s, before.t_s));
            steady.edges = place;
            before = *sight;
        }
        let steady = |count: u64| {
            #[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 edges")]
            let count = count as f64;
            let last = holds.sights.partition_point(|sight| sight.edges <= count);
            last.checked_sub(1).and_then(|at| still.sights.get(at)).map_or(0.0, |it| it.edges)
        };
        let places: Vec<(f64, f64)> =
            holds.list.iter().map(|hold| (steady(hold.count.0), steady(hold.count.1))).collect();
        still.list.iter_mut().zip(places).for_each(|(hold, place)| hold.place = place);
        still
    }
}

/// The settled speeds of a hold over what map and lag make of the step to it.
fn seen(holds: &Holds, hold: &Hold, (before, per_s): (f64, f64)) -> Vec<Window> {
    let (lag_s, dead_time_s) = holds.answer_s;
    let from_s = hold.from_s + (dead_time_s + 4.0 * lag_s).min(0.6 * (hold.to_s - hold.from_s));
    let mut list = Vec::new();
    let Level::Turning(_) = hold.level else { return list };
    let sights = holds.between(from_s, hold.to_s);
    let Some(mut first) = sights.first() else { return list };
    for sight in sights {
        let (time_s, edges) = (sight.t_s - first.t_s, sight.edges - first.edges);
        if time_s >= WINDOW_S && edges >= EDGES && per_s > 0.0 {
            let spread = (EDGE / edges).hypot(LEAST);
            let t_s = f64::midpoint(sight.t_s, first.t_s);
            let since_s = t_s - hold.from_s - dead_time_s;
            let due = per_s + (before - per_s) * libm::exp(-since_s.max(0.0) / lag_s);
            list.push(Window { t_s, share: edges / time_s / due, weight: 1.0 / (spread * spread) });
            first = sight;
        }
    }
    list
}
