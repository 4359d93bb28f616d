//! Records the inputs of the controller for the processors to play: `record FOLDER`.
//!
//! ```text
//!  demo scenarios ─┐
//!  faults ─────────┼─► what the controller was given, tick by tick ─► trace ─► host, M4, M0+, WebAssembly
//!  wild inputs ────┘
//! ```
//!
//! | file | what |
//! |---|---|
//! | `all.trace` | the beginning of many demo scenarios, every fault of the fault bench, wild inputs: over 60,000 ticks |
//! | `flipped.trace` | the same with one bit of one input turned over: the sum must tell it |
//! | `ramp-pulses.trace`, `ramp-receiver.trace` | two sides, straight on, from 1 to 3 m/s at 0.5 m/s²: for the comparison with f32 |
//! | `sides-1.trace`, `sides-2.trace`, `sides-4.trace` | the headland cycle of the fault bench with every set of sensors, for the cost of a tick; sides 3 and 4 read what 1 and 2 read |

mod faults;
mod scenarios;
mod trace;
mod wild;

use sim::fault::setup::Setup;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use trace::Trace;

fn main() -> ExitCode {
    let Some(folder) = std::env::args().nth(1).map(PathBuf::from) else {
        eprintln!("name a folder");
        return ExitCode::from(2);
    };
    match record(&folder) {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn record(folder: &Path) -> Result<(), String> {
    let mut all = Trace::default();
    scenarios::record(&mut all)?;
    faults::record(&mut all)?;
    wild::record(&mut all)?;
    keep(folder, "all", &all)?;
    keep(folder, "flipped", &all.flipped())?;
    keep(folder, "ramp-pulses", &faults::ramp(Setup::Pulses)?)?;
    keep(folder, "ramp-receiver", &faults::ramp(Setup::Receiver)?)?;
    for sides in [1, 2, 4] {
        keep(folder, &format!("sides-{sides}"), &faults::cost(sides)?)?;
    }
    Ok(())
}

fn keep(folder: &Path, name: &str, trace: &Trace) -> Result<(), String> {
    let bytes = trace.bytes();
    let file = folder.join(format!("{name}.trace"));
    std::fs::write(&file, &bytes).map_err(|error| format!("{}: {error}", file.display()))?;
    println!("{name}: {} ticks in {} runs, {} bytes", trace.ticks(), trace.runs(), bytes.len());
    Ok(())
}
