//! The score: how near the seed on the soil came to what was asked for.
//!
//! Every figure is computed from the soil's cells and the scenario's own inputs, never from what the
//! controller believes; the tally figures alone compare the controller's counts with the truth.

mod cells;
mod ends;
mod figures;

pub use cells::{Running, cells};
pub use ends::{Ends, ends};
pub use figures::{Tallies, score};

use serde::Serialize;

/// Figures of one run. Shares and errors are in per cent, lengths in metres.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct Score {
    /// Share of running cells within ±3 % of the target.
    pub within_3_pct: f64,
    /// Share of running cells within ±5 % of the target.
    pub within_5_pct: f64,
    /// Share of running cells within ±10 % of the target.
    pub within_10_pct: f64,
    /// Root mean square of the running cells' rate error.
    pub rms_pct: f64,
    /// Mean of the running cells' rate error.
    pub mean_pct: f64,
    /// Rate error of largest magnitude among the running cells, signed.
    pub worst_pct: f64,
    /// Share of all counted cells, starts included, within ±10 % of the target.
    pub all_within_10_pct: f64,
    /// 100 (laid / owed − 1).
    pub mass_pct: f64,
    /// Seed missing in cells below target, over owed.
    pub missed_pct: f64,
    /// Seed too much in cells above target and outside, over owed.
    pub doubled_pct: f64,
    /// Worst start error, signed: + skip, − early.
    pub start_error_m: f64,
    /// Worst stop error, signed: + overrun, − early stop.
    pub stop_error_m: f64,
    /// Most by which a start error passed `v (τd + θ + τ1) + 0.3 m`, v the mean speed on the way;
    /// negative when all starts kept it.
    pub start_excess_m: f64,
    /// The same for stops.
    pub stop_excess_m: f64,
    /// What the controller counted as area over the true area asked for; NaN for a rival.
    pub tally_area_pct: f64,
    /// What the controller counted as mass over the mass metered; NaN for a rival.
    pub tally_mass_pct: f64,
    /// `rms_pct` over that of the limit law; NaN where none was run.
    pub floor_ratio: f64,
    /// Number of running cells.
    pub running_cells: u64,
    /// Number of all counted cells.
    pub all_cells: u64,
}
