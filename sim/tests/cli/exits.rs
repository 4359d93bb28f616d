//! Each class of ending has its exit code, and says why.

use super::bench::{PASSING, code, document, meterwright, missing, printed, said, track};
use std::fs;
use std::process::Command;
use tempfile::tempdir;

#[test]
fn a_scenario_within_its_tolerances_ends_with_0() {
    let output = meterwright(&["verify", PASSING]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert!(printed(&output).contains("1 scenario: 1 pass, 0 missed a tolerance"));
}

#[test]
fn a_missed_tolerance_ends_with_1_and_names_the_cell() {
    let folder = tempdir().unwrap();
    let output = meterwright(&["verify", PASSING, &missing(folder.path())]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    let text = printed(&output);
    assert!(text.contains("2 scenarios: 1 pass, 1 missed a tolerance"), "{text}");
    assert!(
        text.contains("short: typical miss (rms, %) (rms_pct): wanted at most 0.001"),
        "{text}"
    );
    assert!(text.contains("where 110 kg/ha was asked for"), "{text}");
}

#[test]
fn a_wrong_command_line_ends_with_2() {
    for arguments in [
        &["verify", "--no-such-option"][..],
        &["no-such-command"],
        &["--units", "cubits"],
        &["run", PASSING],
        &["run", PASSING, "--out", "x", "--noise-seed", "1"],
        &["replay", "demo-data/logs/demo-field.csv", "--noise", "0.02 m/s"],
        &["replay", "demo-data/logs/demo-field.csv", "--source", "gnss", "--latency", "0.1 m"],
        &["replay", "demo-data/logs/demo-field.csv", "--source", "gnss", "--rate-hz", "1000"],
    ] {
        let output = meterwright(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", said(&output));
        assert!(!said(&output).is_empty() && printed(&output).is_empty(), "{arguments:?}");
    }
}

#[test]
fn a_wrong_command_line_is_told_to_a_program_too() {
    for (command, arguments) in [
        ("verify", &["--json", "verify", "--no-such-option"][..]),
        ("rate", &["rate", "--json", "--rate", "4 lb/ac", "--rate", "5 lb/ac"]),
        ("", &["no-such-command", "--json"]),
    ] {
        let output = meterwright(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", said(&output));
        let told = document(&output);
        assert_eq!((&told["command"], &told["exit_code"]), (&command.into(), &2.into()));
        let message = told["errors"][0]["message"].as_str().expect("a message");
        assert!(said(&output).trim_end().ends_with(message), "{message}");
    }
}

#[test]
fn a_wrong_input_file_ends_with_3_and_every_one_is_named_with_its_line() {
    let folder = tempdir().unwrap();
    let wrong = folder.path().join("wrong.toml");
    fs::write(&wrong, "title = \"x\"\nwidht = 4\n").unwrap();
    let wrong = wrong.to_str().unwrap();
    let output = meterwright(&["verify", PASSING, wrong, "no-such-file.toml"]);
    assert_eq!(code(&output), 3);
    assert!(printed(&output).is_empty(), "nothing is judged: {}", printed(&output));
    assert!(said(&output).contains(&format!("{wrong}:2:1")), "{}", said(&output));
    assert!(said(&output).contains("no-such-file.toml"), "{}", said(&output));
}

#[test]
fn a_wrong_input_file_is_told_to_a_program_too() {
    let folder = tempdir().unwrap();
    let wrong = folder.path().join("wrong.toml");
    fs::write(&wrong, "title = \"x\"\nwidht = 4\n").unwrap();
    let output = meterwright(&["--json", "verify", wrong.to_str().unwrap()]);
    let document = document(&output);
    assert_eq!((code(&output), &document["exit_code"]), (3, &3.into()));
    assert_eq!(document["errors"][0]["line"], 2);
    assert_eq!(document["errors"][0]["column"], 1);
    assert!(document["errors"][0]["what"].as_str().unwrap().contains("widht"));
}

#[test]
fn a_wrong_log_ends_with_3() {
    let folder = tempdir().unwrap();
    let log = track(folder.path());
    let text = fs::read_to_string(&log).unwrap();
    fs::write(&log, text.replace("\n7,", "\nseven,")).unwrap();
    let output = meterwright(&["replay", &log]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("track.csv:9"), "{}", said(&output));
}

#[test]
#[cfg(target_os = "linux")]
fn output_that_cannot_be_delivered_ends_with_4() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = super::bench::command(&["verify", PASSING]).stdout(full).output().unwrap();
    assert_eq!(code(&output), 4);
    assert!(said(&output).contains("failed to write the output channel"), "{}", said(&output));
}

/// Set for the child of the test below.
const CHILD: &str = "METERWRIGHT_TEST_PANICS";

#[test]
fn a_panic_of_any_thread_ends_with_4() {
    if std::env::var_os(CHILD).is_some() {
        sim::command::broken_on_panic();
        let _ = std::thread::spawn(|| panic!("the bench broke")).join();
        return;
    }
    let output = Command::new(std::env::current_exe().unwrap())
        .args(["--exact", "exits::a_panic_of_any_thread_ends_with_4", "--nocapture"])
        .env(CHILD, "1")
        .output()
        .unwrap();
    assert_eq!(code(&output), 4, "{}", said(&output));
    assert!(said(&output).contains("internal error"), "{}", said(&output));
    assert!(said(&output).contains("the bench broke"), "{}", said(&output));
}

#[test]
fn help_and_version_end_with_0() {
    for arguments in [["--help"], ["--version"]] {
        assert_eq!(code(&meterwright(&arguments)), 0, "{arguments:?}");
    }
}
