//! What the controller is told: drill, seed lots and speed source, named file by file or by a scenario.

use super::Failure;
use crate::scenario::{Gnss, Scenario, Source, read};
use clap::{Args, ValueEnum};
use std::path::{Path, PathBuf};

/// The files.
#[derive(Debug, Args)]
pub(super) struct Told {
    /// The drill file.
    #[arg(value_name = "DRILL", requires = "seed", conflicts_with = "scenario")]
    drill: Option<PathBuf>,
    /// The seed lot file.
    #[arg(value_name = "SEED")]
    seed: Option<PathBuf>,
    /// The seed lot file of the second box.
    #[arg(long, value_name = "SEED", requires = "drill")]
    second_seed: Option<PathBuf>,
    /// Where the controller's ground speed comes from.
    #[arg(long, value_enum, default_value_t = From::Pulses, conflicts_with = "scenario")]
    source: From,
    /// Take drill, seed lots, speed sources and all that is fitted from a scenario that you proved.
    #[arg(long, value_name = "SCENARIO")]
    scenario: Option<PathBuf>,
}

/// Where ground speed comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum From {
    /// Pulses of a ground wheel or radar.
    Pulses,
    /// Ten timed speed samples a second of a receiver, 0.1 s late.
    Gnss,
}

impl Told {
    /// The files that are read.
    pub(super) fn files(&self) -> Vec<&Path> {
        let files = [&self.drill, &self.seed, &self.second_seed, &self.scenario];
        files.into_iter().flatten().map(PathBuf::as_path).collect()
    }

    /// The scenario that they make, with the file that is to blame; none where none is named.
    pub(super) fn read(&self) -> Result<Option<(PathBuf, Scenario)>, Failure> {
        if let Some(file) = &self.scenario {
            return Ok(Some((file.clone(), read::scenario(file)?)));
        }
        let (Some(drill), Some(seed)) = (&self.drill, &self.seed) else { return Ok(None) };
        let source = match self.source {
            From::Pulses => Source::Pulses,
            From::Gnss => Source::Gnss(Gnss {
                interval_s: 0.1,
                latency_s: 0.1,
                noise_mps: 0.02,
                seeds: vec![1],
            }),
        };
        let scenario = read::standing(drill, (seed, self.second_seed.as_deref()), source)?;
        Ok(Some((drill.clone(), scenario)))
    }
}
