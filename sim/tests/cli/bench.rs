//! Runs the built command, and makes the files it is run on.

use serde_json::Value;
use sim::fit::{Program, record};
use std::collections::VecDeque;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

/// The command with `arguments`, run in the project's folder.
pub(crate) fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_meterwright"));
    command.args(arguments).current_dir(root());
    command
}

/// Runs it to its end.
pub(crate) fn meterwright(arguments: &[&str]) -> Output {
    command(arguments).output().expect("the command starts")
}

/// The project's folder.
pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..").canonicalize().expect("the project is there")
}

/// Exit code of an ended command.
pub(crate) fn code(output: &Output) -> i32 {
    output.status.code().expect("it ended by itself")
}

/// What was printed.
pub(crate) fn printed(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("text")
}

/// What was said on the error channel.
pub(crate) fn said(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("text")
}

/// The JSON document that was printed.
pub(crate) fn document(output: &Output) -> Value {
    let text = printed(output);
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error} in\n{text}"))
}

/// A scenario that passes, in little time.
pub(crate) const PASSING: &str = "demo-data/scenarios/ramp-0.3-pulses.toml";

/// Writes a scenario that misses its tolerance; gives its path.
pub(crate) fn missing(folder: &Path) -> String {
    scenario(folder, "drills/reference.toml", "rms_pct = { at_most = 0.001 }")
}

/// Writes a scenario of a short ramp; gives its path.
pub(crate) fn scenario(folder: &Path, drill: &str, tolerance: &str) -> String {
    let demo = root().join("demo-data");
    let text = format!(
        "title = \"a short ramp\"\ndrill = '{}'\nseed = '{}'\n\n[speed]\nprofile = \"ramp\"\n\
         acceleration = \"0.5 m/s2\"\n\n[tolerance]\n{tolerance}\n",
        demo.join(drill).display(),
        demo.join("seeds/demo-110.toml").display()
    );
    let path = folder.join("short.toml");
    fs::write(&path, text).expect("the folder can be written");
    path.to_str().expect("a plain path").to_owned()
}

/// Writes a recorded track of two minutes; gives its path.
pub(crate) fn track(folder: &Path) -> String {
    let mut text = "t_s,speed_mps\n".to_owned();
    for second in 0..120_u32 {
        let speed = 2.0 + f64::from(second % 20) * 0.02;
        text.push_str(
            &[second.to_string(), ",".to_owned(), speed.to_string(), "\n".to_owned()].concat(),
        );
    }
    let path = folder.join("track.csv");
    fs::write(&path, text).expect("the folder can be written");
    path.to_str().expect("a plain path").to_owned()
}

/// Records the standard step program on a drive of the reference drill's numbers; gives its path.
pub(crate) fn step_log(folder: &Path) -> String {
    // Dead time 0.05 s in steps of 1 ms, then a lag of 0.15 s.
    let (mut waiting, mut speed) = (VecDeque::from([0.0; 50]), 0.0);
    let mut drive = |command: f64, step_s: f64| {
        waiting.push_back(1.65 * (command - 0.2).max(0.0) / 0.8);
        let wanted = waiting.pop_front().unwrap_or_default();
        speed += (wanted - speed) * step_s / 0.15;
        speed
    };
    let log = record(&Program::standard(), (180, 0.004), 1, &mut drive);
    let path = folder.join("steps.csv");
    fs::write(&path, log.to_csv()).expect("the folder can be written");
    path.to_str().expect("a plain path").to_owned()
}

/// Names in a folder, sorted.
pub(crate) fn names(folder: &Path) -> Vec<String> {
    let entries = folder.read_dir().expect("a folder");
    let name = |entry: fs::DirEntry| entry.file_name().to_string_lossy().into_owned();
    let mut names: Vec<String> = entries.map(|entry| name(entry.expect("an entry"))).collect();
    names.sort();
    names
}

/// Replays a recording, writes its scenario, and has the scenario give the same figures.
pub(crate) fn repeated(recording: &str) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("again.toml");
    let file = file.to_str().unwrap();
    let first = meterwright(&["--json", "replay", recording, "--write-scenario", file]);
    assert_eq!(code(&first), 0, "{}", said(&first));
    let again = meterwright(&["--json", "verify", file]);
    assert_eq!(code(&again), 0, "{}", said(&again));
    let figures = |output| document(output)["verdicts"][0]["score"].clone();
    assert_eq!(figures(&first), figures(&again));
}
