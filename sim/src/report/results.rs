//! What a command found out, ready to be reported.

use crate::live::{Compared, Heard};
use crate::trace::Trace;
use crate::unit::System;
use crate::verdict::Verdict;
use serde::Serialize;
use std::path::{Path, PathBuf};

/// What a command found out.
#[derive(Clone, Copy, Debug)]
pub struct Results<'a> {
    /// The command: `verify`, `run`, `replay`.
    pub command: &'a str,
    /// The scenarios that were judged, in the order they were named.
    pub judged: &'a [Judged],
    /// Record of the one scenario that was run, if one was kept.
    pub record: Option<&'a Record>,
    /// Files that are written beside.
    pub files: &'a [PathBuf],
    /// The board that gave what was judged, if it was not the bench's own controller.
    pub board: Option<&'a BoardSaid>,
    /// Units of the reader.
    pub system: System,
}

/// A board on the live bench, and what came of it.
#[derive(Clone, Debug, Serialize)]
pub struct BoardSaid {
    /// The port as it was named.
    pub port: String,
    /// Program that it names.
    pub build: String,
    /// Fingerprint of its settings.
    pub fingerprint: String,
    /// What came over the line.
    #[serde(flatten)]
    pub heard: Heard,
    /// What it gave against what the bench's own controller gave.
    #[serde(flatten)]
    pub compared: Compared,
}

/// A scenario and its verdict.
#[derive(Clone, Debug)]
pub struct Judged {
    /// The scenario's or the log's file, as it was named.
    pub file: PathBuf,
    /// Names of the drill's sides.
    pub sides: Vec<String>,
    /// Number of tolerances the scenario sets; with none it cannot miss one.
    pub tolerances: usize,
    /// The verdict.
    pub verdict: Verdict,
}

/// Record of one run.
#[derive(Clone, Debug)]
pub struct Record {
    /// Noise seed of that run; none where there is no noise.
    pub noise_seed: Option<u64>,
    /// Its ticks and cells.
    pub trace: Trace,
}

impl Results<'_> {
    /// All tolerances were kept, and a board gave what the bench's own controller gave.
    pub fn pass(&self) -> bool {
        let equal = self.board.is_none_or(|board| board.compared.is_equal());
        equal && self.judged.iter().all(|judged| judged.verdict.pass)
    }

    /// Number of scenarios that kept their tolerances.
    pub fn passed(&self) -> usize {
        self.judged.iter().filter(|judged| judged.verdict.pass).count()
    }
}

impl Judged {
    /// The verdict in a word or two; one that could not be missed is not called a pass.
    pub const fn word(&self) -> &'static str {
        match (self.verdict.pass, self.tolerances) {
            (false, _) => "MISSED",
            (true, 0) => "no limits",
            (true, _) => "pass",
        }
    }

    /// Name of a side for a person: its own, or its number from 1.
    pub fn side(&self, side: usize) -> String {
        let name = self.sides.get(side).filter(|name| !name.is_empty());
        name.map_or_else(|| format!("side {}", side + 1), |name| format!("side \"{name}\""))
    }

    /// The file as a person types it.
    pub fn shown_file(&self) -> String {
        Path::display(&self.file).to_string()
    }
}
