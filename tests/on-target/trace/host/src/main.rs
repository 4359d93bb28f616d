//! Plays a trace on the host: `host TRACE`; `host TRACE float` plays the law in f32 beside it.

use float::beside::Beside;
use std::process::ExitCode;

fn main() -> ExitCode {
    match play() {
        Ok(line) => println!("{line}"),
        Err(why) => {
            eprintln!("{why}");
            return ExitCode::FAILURE;
        }
    }
    ExitCode::SUCCESS
}

fn play() -> Result<String, String> {
    let mut words = std::env::args().skip(1);
    let file = words.next().ok_or("name a trace")?;
    let trace = std::fs::read(&file).map_err(|error| format!("{file}: {error}"))?;
    let wrong = |wrong| format!("{file}: {wrong:?}");
    if words.next().is_none() {
        let report = replay::replay(&trace, &mut replay::tick_of_core).map_err(wrong)?;
        return Ok(report.to_string());
    }
    let mut beside = Beside::default();
    replay::replay(&trace, &mut beside).map_err(wrong)?;
    Ok(beside.to_string())
}
