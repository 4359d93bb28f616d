//! `fit` finds the drive again, and what it prints can be pasted into a drill file.

use super::bench::{code, document, meterwright, printed, root, said, step_log};
use sim::scenario::read;
use std::fs;
use tempfile::tempdir;

#[test]
fn a_recorded_drive_is_found_again() {
    let folder = tempdir().unwrap();
    let output = meterwright(&["fit", &step_log(folder.path()), "--json"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let fit = &document(&output)["fit"];
    for (key, want, off) in [
        ("opening", 0.20, 0.01),
        ("gain", 1.65 / 0.8, 0.05 * 1.65 / 0.8),
        ("lag_s", 0.15, 0.05 * 0.15),
        ("dead_time_s", 0.05, 0.010),
    ] {
        let have = fit[key]["value"].as_f64().expect("a number");
        assert!((have - want).abs() <= off, "{key}: have {have}, want {want} within {off}");
        assert!(fit[key]["scatter"].is_number(), "{key} has no scatter");
    }
}

#[test]
fn the_printed_drive_fits_a_drill_file() {
    let folder = tempdir().unwrap();
    let text = printed(&meterwright(&["fit", &step_log(folder.path())]));
    let drive: Vec<&str> = text
        .lines()
        .skip_while(|line| *line != "[drive]")
        .take_while(|line| !line.is_empty())
        .collect();
    let drill = fs::read_to_string(root().join("demo-data/drills/reference.toml")).unwrap();
    let (before, rest) = drill.split_once("[drive]").expect("a drive");
    let (_, after) = rest.split_once("\n[").expect("a section after it");
    let path = folder.path().join("drill.toml");
    fs::write(&path, format!("{before}{}\n\n[{after}", drive.join("\n"))).unwrap();
    let drill = read::drill(&path).unwrap_or_else(|error| panic!("{error}"));
    assert!((drill.told.lag_s - 0.15).abs() < 0.01, "{:?}", drill.told);
}

#[test]
fn a_step_log_that_does_not_show_the_drive_ends_with_3() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("still.csv");
    fs::write(&path, "# encoder_pulses_per_turn = 180\nt_s,command,edges\n0,0,0\n0.01,0,0\n")
        .unwrap();
    let output = meterwright(&["fit", path.to_str().unwrap()]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("failed to fit the drive"), "{}", said(&output));
    fs::write(&path, "t_s,command,edges\n0,0,0\n").unwrap();
    let output = meterwright(&["fit", path.to_str().unwrap()]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("encoder_pulses_per_turn"), "{}", said(&output));
}
