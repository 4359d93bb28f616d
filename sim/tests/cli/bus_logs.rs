//! A recorded tractor bus is replayed like any other track.

use super::bench::{code, document, meterwright, repeated, said};
use std::fs;
use tempfile::tempdir;

const DEMO: &str = "demo-data/logs/demo-bus.log";

#[test]
fn the_demo_bus_log_is_replayed_by_its_ground_based_speed() {
    let output = meterwright(&["--json", "replay", DEMO]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let score = &document(&output)["verdicts"][0]["score"];
    let figure = |name: &str| score[name].as_f64().expect("a figure");
    // The hitch is down from 3 to 40 s. By the points of the demo that is 62.5 m over ground, and 65.7 m by the wheels,
    // which would be 131 cells of 0.5 m; the cells at both ends are not whole.
    let cells = figure("all_cells");
    assert!((120.0..=125.0).contains(&cells), "{cells} cells");
    assert!(figure("within_5_pct") >= 99.0, "within 5 %: {}", figure("within_5_pct"));
    assert!(figure("mass_pct").abs() < 1.0, "mass: {}", figure("mass_pct"));
}

#[test]
fn a_wrong_line_of_a_bus_log_ends_with_3_and_is_named() {
    let folder = tempdir().unwrap();
    let log = folder.path().join("wrong.candump");
    fs::write(
        &log,
        "(0.0) can0 0CFE4845#0000000000000015\n(0.1) can0 0CFE4845#00000000000000155\n",
    )
    .unwrap();
    let output = meterwright(&["replay", log.to_str().unwrap()]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("wrong.candump:2:21"), "{}", said(&output));
}

#[test]
fn a_scenario_written_from_a_bus_log_repeats_it() {
    repeated(DEMO);
}
