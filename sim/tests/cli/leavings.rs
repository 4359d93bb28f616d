//! What a command leaves behind: everything when it succeeds, nothing when it fails.

use super::bench::{PASSING, code, document, meterwright, missing, names, said, track};
use std::fs;
use tempfile::tempdir;

const RECORD: [&str; 3] = ["cells.csv", "trace.csv", "trace.svg"];

#[test]
fn a_run_leaves_its_record_even_where_a_tolerance_was_missed() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("new/out");
    let output = meterwright(&["run", &missing(folder.path()), "--out", out.to_str().unwrap()]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    assert_eq!(names(&out), RECORD);
    let picture = fs::read_to_string(out.join("trace.svg")).unwrap();
    assert!(picture.starts_with("<svg") && picture.trim_end().ends_with("</svg>"));
    assert!(fs::read_to_string(out.join("trace.csv")).unwrap().lines().count() > 1000);
    assert!(fs::read_to_string(out.join("cells.csv")).unwrap().lines().count() > 50);
}

#[test]
fn a_second_run_replaces_the_record_with_the_same_bytes() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let read = || RECORD.map(|name| fs::read(folder.path().join(name)).unwrap());
    meterwright(&["run", PASSING, "--out", out]);
    let first = read();
    meterwright(&["run", PASSING, "--out", out]);
    assert!(first == read());
    assert_eq!(names(folder.path()), RECORD);
}

#[test]
fn a_wrong_scenario_leaves_no_folder() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let output = meterwright(&["run", "no-such-file.toml", "--out", out.to_str().unwrap()]);
    assert_eq!(code(&output), 3);
    assert!(!out.exists());
}

#[test]
fn a_target_that_cannot_be_written_ends_with_2_before_anything_is_written() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("file");
    fs::write(&file, "").unwrap();
    let below = file.join("out");
    let output = meterwright(&["run", PASSING, "--out", below.to_str().unwrap()]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert!(said(&output).contains("is not a folder"), "{}", said(&output));

    let out = folder.path().join("out");
    fs::create_dir_all(out.join("trace.svg")).unwrap();
    let output = meterwright(&["run", PASSING, "--out", out.to_str().unwrap()]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert_eq!(names(&out), ["trace.svg"], "the two other files were not written");
}

#[test]
fn a_scenario_that_a_replay_wrote_repeats_it() {
    let folder = tempdir().unwrap();
    let log = track(folder.path());
    let written = folder.path().join("deep/again.toml");
    let written = written.to_str().unwrap();
    let replay = meterwright(&[
        "replay",
        &log,
        "--source",
        "gnss",
        "--rate-hz",
        "5",
        "--latency",
        "200 ms",
        "--noise",
        "0.03 m/s",
        "--noise-seed",
        "4",
        "--write-scenario",
        written,
        "--json",
    ]);
    assert_eq!(code(&replay), 0, "{}", said(&replay));
    let again = meterwright(&["verify", written, "--json"]);
    assert_eq!(code(&again), 0, "{}", said(&again));
    let (replay, again) = (document(&replay), document(&again));
    assert_eq!(replay["files"][0], written);
    for key in ["score", "source", "drill", "seed_lot", "rivals"] {
        assert_eq!(replay["verdicts"][0][key], again["verdicts"][0][key], "{key}");
    }
}

#[test]
fn a_replay_of_a_wrong_log_writes_no_scenario() {
    let folder = tempdir().unwrap();
    let written = folder.path().join("again.toml");
    let output =
        meterwright(&["replay", "no-such.csv", "--write-scenario", written.to_str().unwrap()]);
    assert_eq!(code(&output), 3);
    assert_eq!(names(folder.path()), [""; 0]);
}
