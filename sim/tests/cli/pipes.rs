//! What goes where: no progress in a pipe, no panic when the reader has gone.

use super::bench::{PASSING, code, command, document, meterwright, printed, said};
use std::process::Stdio;

#[test]
fn nothing_but_the_result_is_written_into_pipes() {
    for arguments in [&["verify", PASSING][..], &["--json", "verify", PASSING]] {
        let output = meterwright(arguments);
        assert_eq!(said(&output), "", "{arguments:?}");
        assert!(!printed(&output).contains(['\u{1b}', '\r']), "{arguments:?}");
    }
}

#[test]
fn a_reader_that_has_gone_does_not_change_the_verdict() {
    let mut child = command(&["verify", PASSING])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the command starts");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("the command ends");
    assert_eq!((code(&output), said(&output).as_str()), (0, ""));
}

#[test]
fn without_a_command_every_demo_scenario_is_verified_in_order() {
    let output = meterwright(&["--json"]);
    let document = document(&output);
    let verdicts = document["verdicts"].as_array().expect("a list");
    let names: Vec<&str> = verdicts.iter().filter_map(|it| it["scenario"].as_str()).collect();
    let files = super::bench::names(&super::bench::root().join("demo-data/scenarios"));
    let want: Vec<&str> = files.iter().filter_map(|name| name.strip_suffix(".toml")).collect();
    assert_eq!(names, want);
    assert_eq!(document["scenarios"], want.len());
    let missed = document["missed"].as_u64().expect("a number");
    assert_eq!(code(&output), i32::from(missed > 0));
}

#[test]
fn the_same_scenario_gives_the_same_bytes() {
    let arguments = ["verify", PASSING, "demo-data/scenarios/headland-two-sides.toml"];
    assert_eq!(printed(&meterwright(&arguments)), printed(&meterwright(&arguments)));
}

#[test]
fn a_reader_of_us_units_gets_them() {
    let text = printed(&meterwright(&["verify", PASSING, "--units", "us"]));
    assert!(text.lines().any(|line| line.split_whitespace().any(|word| word == "ft")), "{text}");
}
