//! Plays a trace on the host: `host TRACE`.

use std::process::ExitCode;

fn main() -> ExitCode {
    let trace = std::env::args().nth(1).ok_or_else(|| "name a trace".to_owned());
    let bytes = trace.and_then(|file| std::fs::read(file).map_err(|error| error.to_string()));
    let played = bytes.and_then(|bytes| {
        replay::replay(&bytes, replay::tick_of_core).map_err(|wrong| format!("{wrong:?}"))
    });
    match played {
        Ok(report) => println!("{report}"),
        Err(why) => {
            eprintln!("{why}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}
