//! The measuring runs: what they find of machines whose true numbers are known.

mod demo;
mod distribution;
mod firmware;
mod machine;
mod on_the_ground;
mod outlet;
mod sheet;
mod sowing;
mod spin;
mod trouble;

use sim::fit::run_log::RunLog;
use sim::input::InputFile;
use std::path::Path;

/// The log, as it is read from a file.
fn read(text: String) -> RunLog {
    let file = InputFile::from_bytes(Path::new("run.csv"), text.into_bytes()).unwrap();
    RunLog::read(&file).unwrap_or_else(|error| panic!("{error}"))
}
