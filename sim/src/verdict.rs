//! Pass or fail of a scenario, and why.

use crate::field::FieldFigures;
use crate::score::Score;
use crate::unit::System;
use serde::Serialize;

/// Outcome of one scenario.
#[derive(Clone, Debug, Serialize)]
pub struct Verdict {
    /// Name of the scenario.
    pub scenario: String,
    /// One line that says what was tried.
    pub title: String,
    /// Name of the drill.
    pub drill: String,
    /// Where the numbers of the drive come from: `nominal`, or `measured DATE, N runs`.
    pub numbers: String,
    /// Name of the seed lot.
    pub seed_lot: String,
    /// Drill or seed lot is invented for demonstration.
    pub demo: bool,
    /// Speed source in words: `pulses, 130 per metre`, `GNSS 10 Hz, 0.1 s late, 0.02 m/s noise`.
    pub source: String,
    /// Fingerprint of the settings that were proved: that of the image a board loads.
    pub fingerprint: String,
    /// All tolerances were kept.
    pub pass: bool,
    /// Number of noise seeds run; each figure of `score` is that of the seed that is worst in it.
    pub runs: usize,
    /// The controller's figures.
    pub score: Score,
    /// Figures of the comparison laws on the same machine, worst seed where noise matters.
    pub rivals: Rivals,
    /// How the field was sown, where there is one; of the noise seed that did worst.
    pub field: Option<FieldFigures>,
    /// Source and notes for a reader of US customary units; data has them once.
    #[serde(skip)]
    pub us: Words,
    /// The tolerances that were missed; empty on a pass.
    pub misses: Vec<Miss>,
    /// Known floors and remarks, each a sentence.
    pub notes: Vec<String>,
    /// The gaps that the controller logged, of the first noise seed.
    pub gaps: Vec<LoggedGap>,
}

/// What a verdict says in words with quantities in them.
#[derive(Clone, Debug, Default)]
pub struct Words {
    /// Speed source.
    pub source: String,
    /// Remarks.
    pub notes: Vec<String>,
}

impl Verdict {
    /// Speed source and notes in the units of `system`.
    pub fn words(&self, system: System) -> (&str, &[String]) {
        match system {
            System::Us => (&self.us.source, &self.us.notes),
            System::Metric | System::Both => (&self.source, &self.notes),
        }
    }
}

/// A gap that the controller logged: ground left bare for longer than the drill's `least_gap`.
#[derive(Clone, Debug, Serialize)]
pub struct LoggedGap {
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Name of the side.
    pub side: String,
    /// Why, in words.
    pub cause: String,
    /// Way in work at which it began, m.
    pub start_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Where the opener was when it began, if that was known, degrees.
    pub latitude_deg: Option<f64>,
    /// The same.
    pub longitude_deg: Option<f64>,
}

/// Figures of the comparison laws.
#[derive(Clone, Debug, Serialize)]
pub struct Rivals {
    /// What the shop takes off: ground wheel and chain.
    pub chain: Score,
    /// What one would write first: latest speed value, no tracker, no lead.
    pub plain: Score,
    /// The best the machine allows: exact inverse and true future speed.
    pub limit: Score,
}

/// A tolerance that was missed.
#[derive(Clone, Debug, Serialize)]
pub struct Miss {
    /// Key of the figure: `within_5_pct`.
    pub figure: String,
    /// The bound in words: `at least 99.4`.
    pub bound: String,
    /// What it was.
    pub have: f64,
    /// Where it was worst.
    pub place: Option<Place>,
}

/// The soil cell to blame.
#[derive(Clone, Debug, Serialize)]
pub struct Place {
    /// Noise seed of the run, if there are several.
    pub seed: Option<u64>,
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Side, from 0.
    pub side: usize,
    /// Where the cell begins, m of the side's own travel.
    pub start_m: f64,
    /// When the side entered it, s.
    pub entered_s: f64,
    /// Rate laid, kg/ha.
    pub laid_kg_per_ha: f64,
    /// Rate asked for, kg/ha.
    pub target_kg_per_ha: f64,
    /// 100 (laid / target − 1).
    pub error_pct: f64,
}
