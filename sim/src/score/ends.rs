//! Where seed began and ended, against where it was asked to.

use crate::bench::SideOutcome;
use crate::ground::real;
use crate::ground::{BIN_M, Bin};

/// Bins in 0.5 m: the rate must hold so long.
const HOLD: usize = 5;

/// How far before the request an early start or stop is looked for, bins.
const BEFORE: usize = 50;

/// Errors of one side's starts and stops.
#[derive(Clone, Copy, Debug, Default)]
pub struct Ends {
    /// Worst start error, m, signed.
    pub start_m: f64,
    /// Worst stop error, m, signed.
    pub stop_m: f64,
    /// Most by which a start error passed `v · latency + 0.3 m`, m; negative when all kept it.
    pub start_excess_m: f64,
    /// The same for stops.
    pub stop_excess_m: f64,
}

impl Ends {
    /// Neither starts nor stops seen.
    pub const fn none() -> Self {
        let least = f64::NEG_INFINITY;
        Self { start_m: 0.0, stop_m: 0.0, start_excess_m: least, stop_excess_m: least }
    }

    /// The worse of both in each figure.
    #[must_use]
    pub fn worse(self, other: Self) -> Self {
        let worst = |a: f64, b: f64| if b.abs() > a.abs() { b } else { a };
        Self {
            start_m: worst(self.start_m, other.start_m),
            stop_m: worst(self.stop_m, other.stop_m),
            start_excess_m: self.start_excess_m.max(other.start_excess_m),
            stop_excess_m: self.stop_excess_m.max(other.stop_excess_m),
        }
    }
}

/// Start and stop errors of a side; `latency_s` is τd + θ + τ1.
pub fn ends(side: &SideOutcome, latency_s: f64) -> Ends {
    let bins = side.ground.bins();
    let bins = &bins[..bins.len().saturating_sub(1)];
    let mut worst = Ends::none();
    let mut found_last = 0;
    for (index, edge) in side.edges.iter().enumerate() {
        let at = bin_at(edge.travel_m);
        let until = side.edges.get(index + 1).map_or(bins.len(), |next| {
            // A stop may be waited for up to the next start, a start up to the next stop.
            bin_at(next.travel_m).max(at)
        });
        // Nothing begins before the last end, nor ends before the last begin.
        let last = index.checked_sub(1).and_then(|before| side.edges.get(before));
        let bound = last.map_or(0, |last| bin_at(last.travel_m)).max(found_last);
        let from = at.saturating_sub(BEFORE).max(bound);
        let sown = bins.get(at).map_or(0.0, |bin| bin.rate_kg_per_m2 * (1.0 - bin.narrowed));
        let rate = sown * side.width_m * BIN_M;
        let found = (from..until.min(bins.len().saturating_sub(HOLD))).find(|&start| {
            bins[start..start + HOLD].iter().all(|bin| (bin.laid_kg >= rate / 2.0) == edge.on)
        });
        let Some(found) = found else { continue };
        found_last = found;
        let error = (real(found) - real(at)) * BIN_M;
        let allowed = mean_speed(bins, at, found, edge.t_s) * latency_s + 0.3;
        let excess = error.abs() - allowed;
        let this = if edge.on {
            Ends { start_m: error, start_excess_m: excess, ..Ends::none() }
        } else {
            Ends { stop_m: error, stop_excess_m: excess, ..Ends::none() }
        };
        worst = worst.worse(this);
    }
    worst
}

/// Mean speed from the request to the point found, m/s.
fn mean_speed(bins: &[Bin], at: usize, found: usize, t_s: f64) -> f64 {
    let entered = bins.get(found).map_or(t_s, |bin| bin.entered_s);
    let time = (entered - t_s).abs();
    if time > 0.0 { real(found.abs_diff(at)) * BIN_M / time } else { 0.0 }
}

/// The bin in which `travel_m` lies, on the grid of 0.1 m.
fn bin_at(travel_m: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "travel is not negative"
    )]
    let bin = libm::round(travel_m.max(0.0) / BIN_M) as usize;
    bin
}
