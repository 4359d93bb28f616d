//! What a command leaves behind: everything when it succeeds, nothing when it fails.

use super::bench::{
    PASSING, code, document, meterwright, missing, names, printed, root, said, scenario, track,
};
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

#[test]
fn an_output_never_takes_the_place_of_an_input() {
    let folder = tempdir().unwrap();
    let log = folder.path().join("trace.csv");
    let recorded = fs::read(root().join("demo-data/logs/demo-field.csv")).expect("the demo log");
    fs::write(&log, &recorded).expect("a copy of it");
    let name = log.to_str().expect("a name");
    let out = folder.path().to_str().expect("a name");
    for arguments in [["replay", name, "--write-scenario", name], ["replay", name, "--out", out]] {
        let output = meterwright(&arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", said(&output));
        assert!(said(&output).contains("one of the files that are read"), "{}", said(&output));
        assert_eq!(fs::read(&log).expect("the log is there"), recorded, "{arguments:?}");
    }
}

#[test]
fn a_track_that_asks_for_no_seed_is_not_called_a_miss() {
    let folder = tempdir().unwrap();
    let log = folder.path().join("lifted.csv");
    let rows: Vec<String> = (0..60).map(|t| format!("{t},1.5,0\n")).collect();
    fs::write(&log, format!("t_s,speed_mps,in_work\n{}", rows.concat())).expect("a log");
    let output = meterwright(&["replay", log.to_str().expect("a name")]);
    assert_eq!(code(&output), 0, "{}", printed(&output));
    assert!(printed(&output).contains("no seed was asked for"), "{}", printed(&output));
}

#[test]
fn a_drive_that_stops_for_good_is_told_with_its_reason() {
    let folder = tempdir().unwrap();
    let demo = fs::read_to_string(root().join("demo-data/drills/reference.toml")).unwrap();
    // The true valve opens at a command that the controller never comes to.
    let stuck =
        format!("{demo}\n[truth.drive]\nmap = [[0.90, \"0 turns/s\"], [1.0, \"0.02 turns/s\"]]\n");
    let drill = folder.path().join("stuck.toml");
    fs::write(&drill, stuck).unwrap();
    let scenario =
        scenario(folder.path(), drill.to_str().expect("a name"), "rms_pct = { at_most = 1.1 }");
    let output = meterwright(&["verify", &scenario]);
    assert_eq!(code(&output), 1, "{}{}", printed(&output), said(&output));
    assert!(printed(&output).contains("STOPPED at"), "{}", printed(&output));
}
