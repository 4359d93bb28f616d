//! Prints the step log of the reference drill's drive, `demo-data/logs/demo-steps.csv`.

use sim::fit::{Program, bench_log};
use std::path::Path;

fn main() {
    let drill = Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-data/drills/reference.toml");
    match sim::scenario::read::drill(&drill) {
        Ok(drill) => print!("{}", bench_log(&drill, &Program::short()).to_csv()),
        Err(error) => eprintln!("{error}"),
    }
}
