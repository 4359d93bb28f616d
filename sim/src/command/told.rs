//! What the controller is told: drill, seed lots and speed source, named file by file or by a scenario.

use super::Failure;
use super::replay::{Kind, Receiver, source};
use crate::scenario::{Scenario, read};
use clap::Args;
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
    /// Where the controller's ground speed comes from; of a receiver, as replay takes one where nothing else is named.
    #[arg(long, value_enum, default_value_t = Kind::Pulses, conflicts_with = "scenario")]
    source: Kind,
    /// Take drill, seed lots, speed sources and all that is fitted from a scenario that you proved.
    #[arg(long, value_name = "SCENARIO")]
    scenario: Option<PathBuf>,
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
        let source = source(self.source, &Receiver::default())?;
        let scenario = read::standing(drill, (seed, self.second_seed.as_deref()), source)?;
        Ok(Some((drill.clone(), scenario)))
    }
}
