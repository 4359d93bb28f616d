//! The score: how near the seed on the soil came to what was asked for.
//!
//! Every figure is computed from the soil's cells and the scenario's own inputs, never from what the
//! controller believes; the tally figures alone compare the controller's counts with the truth.

mod cells;
mod ends;
mod figures;

pub use cells::{Running, cells};
pub use ends::{Ends, ends};
pub use figures::{Tallies, Tally, score};

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
    /// What the controller counted as area over the true area asked for; of two products the worst of each and in all.
    /// NaN for a rival.
    pub tally_area_pct: f64,
    /// What the controller counted as mass over the mass metered, likewise; NaN for a rival.
    pub tally_mass_pct: f64,
    /// `control_rms_pct` over that of the limit law; NaN where none was run.
    pub floor_ratio: f64,
    /// Share of running cells within ±5 % if the meter were smooth: what the control alone does.
    pub control_within_5_pct: f64,
    /// The same within ±10 %.
    pub control_within_10_pct: f64,
    /// Root mean square if the meter were smooth.
    pub control_rms_pct: f64,
    /// Root mean square that the meter's own scatter adds, zero for a smooth meter.
    pub meter_rms_pct: f64,
    /// Number of running cells.
    pub running_cells: u64,
    /// Number of all counted cells.
    pub all_cells: u64,
}

/// Keys of the figures in the order in which they are shown.
pub const FIGURES: [&str; 22] = [
    "within_3_pct",
    "within_5_pct",
    "within_10_pct",
    "rms_pct",
    "mean_pct",
    "worst_pct",
    "all_within_10_pct",
    "mass_pct",
    "missed_pct",
    "doubled_pct",
    "start_error_m",
    "stop_error_m",
    "start_excess_m",
    "stop_excess_m",
    "tally_area_pct",
    "tally_mass_pct",
    "floor_ratio",
    "control_within_5_pct",
    "control_within_10_pct",
    "control_rms_pct",
    "meter_rms_pct",
    "running_cells",
];

impl Score {
    /// The figure of a key.
    #[expect(clippy::cast_precision_loss, reason = "a count of cells")]
    pub fn figure(&self, key: &str) -> Option<f64> {
        Some(match key {
            "within_3_pct" => self.within_3_pct,
            "within_5_pct" => self.within_5_pct,
            "within_10_pct" => self.within_10_pct,
            "rms_pct" => self.rms_pct,
            "mean_pct" => self.mean_pct,
            "worst_pct" => self.worst_pct,
            "all_within_10_pct" => self.all_within_10_pct,
            "mass_pct" => self.mass_pct,
            "missed_pct" => self.missed_pct,
            "doubled_pct" => self.doubled_pct,
            "start_error_m" => self.start_error_m,
            "stop_error_m" => self.stop_error_m,
            "start_excess_m" => self.start_excess_m,
            "stop_excess_m" => self.stop_excess_m,
            "tally_area_pct" => self.tally_area_pct,
            "tally_mass_pct" => self.tally_mass_pct,
            "floor_ratio" => self.floor_ratio,
            "control_within_5_pct" => self.control_within_5_pct,
            "control_within_10_pct" => self.control_within_10_pct,
            "control_rms_pct" => self.control_rms_pct,
            "meter_rms_pct" => self.meter_rms_pct,
            "running_cells" => self.running_cells as f64,
            _ => return None,
        })
    }

    /// Figure by figure the worse of two runs: a smaller share, a larger magnitude.
    #[must_use]
    pub fn worse(&self, other: &Self) -> Self {
        let far = |a: f64, b: f64| if b.abs() > a.abs() { b } else { a };
        Self {
            within_3_pct: self.within_3_pct.min(other.within_3_pct),
            within_5_pct: self.within_5_pct.min(other.within_5_pct),
            within_10_pct: self.within_10_pct.min(other.within_10_pct),
            rms_pct: self.rms_pct.max(other.rms_pct),
            mean_pct: far(self.mean_pct, other.mean_pct),
            worst_pct: far(self.worst_pct, other.worst_pct),
            all_within_10_pct: self.all_within_10_pct.min(other.all_within_10_pct),
            mass_pct: far(self.mass_pct, other.mass_pct),
            missed_pct: self.missed_pct.max(other.missed_pct),
            doubled_pct: self.doubled_pct.max(other.doubled_pct),
            start_error_m: far(self.start_error_m, other.start_error_m),
            stop_error_m: far(self.stop_error_m, other.stop_error_m),
            start_excess_m: self.start_excess_m.max(other.start_excess_m),
            stop_excess_m: self.stop_excess_m.max(other.stop_excess_m),
            tally_area_pct: far(self.tally_area_pct, other.tally_area_pct),
            tally_mass_pct: far(self.tally_mass_pct, other.tally_mass_pct),
            floor_ratio: self.floor_ratio.min(other.floor_ratio),
            control_within_5_pct: self.control_within_5_pct.min(other.control_within_5_pct),
            control_within_10_pct: self.control_within_10_pct.min(other.control_within_10_pct),
            control_rms_pct: self.control_rms_pct.max(other.control_rms_pct),
            meter_rms_pct: self.meter_rms_pct.max(other.meter_rms_pct),
            running_cells: self.running_cells.min(other.running_cells),
            all_cells: self.all_cells.min(other.all_cells),
        }
    }
}
