//! `fit` on a run sheet and on the firmware's own logs: what it writes, and what it leaves alone.

use super::bench::{code, document, meterwright, printed, root, said};
use std::fs;
use tempfile::tempdir;

/// The demo run sheet.
const SHEET: &str = "demo-data/runs/demo-runs.toml";

#[test]
fn a_run_sheet_writes_the_as_built_file_once() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("built.toml");
    let out = file.to_str().unwrap();
    let output = meterwright(&["fit", SHEET, "--out", out]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let want = fs::read_to_string(root().join("demo-data/runs/demo-as-built.toml")).unwrap();
    assert_eq!(fs::read_to_string(&file).unwrap(), want);
    fs::write(&file, "mine").unwrap();
    let refused = meterwright(&["fit", SHEET, "--out", out]);
    assert_eq!(code(&refused), 2);
    assert!(said(&refused).contains("--replace"), "{}", said(&refused));
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine", "it is left alone");
    assert_eq!(code(&meterwright(&["fit", SHEET, "--out", out, "--replace"])), 0);
    assert_eq!(fs::read_to_string(&file).unwrap(), want);
}

#[test]
fn a_run_sheet_is_told_as_data() {
    let output = meterwright(&["fit", SHEET, "--json"]);
    let built = &document(&output)["built"];
    assert_eq!(built["runs"], 12);
    assert!(built["sides"][0]["spin"]["lag_s"]["value"].is_number());
    assert_eq!(built["ground"]["passes"].as_array().unwrap().len(), 6);
}

#[test]
fn a_spin_log_alone_is_fitted() {
    let output = meterwright(&["fit", "demo-data/runs/spin.csv"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let text = printed(&output);
    assert!(text.contains("Opens at") && text.contains("[drive]"), "{text}");
}

#[test]
fn a_log_that_needs_the_tape_says_so() {
    let output = meterwright(&["fit", "demo-data/runs/ground-1.csv"]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("run sheet"), "{}", said(&output));
}

#[test]
fn an_as_built_file_needs_a_run_sheet() {
    let output = meterwright(&["fit", "demo-data/runs/spin.csv", "--out", "never.toml"]);
    assert_eq!(code(&output), 2);
    assert!(!root().join("never.toml").exists());
}

#[test]
fn verify_says_which_numbers_it_used() {
    let folder = tempdir().unwrap();
    let path =
        super::bench::scenario(folder.path(), "drills/as-built.toml", "rms_pct = { at_most = 5 }");
    let measured = printed(&meterwright(&["verify", &path]));
    assert!(measured.contains("measured 2026-04-02, 12 runs"), "{measured}");
    let nominal = printed(&meterwright(&["verify", super::bench::PASSING]));
    assert!(nominal.contains("nominal"), "{nominal}");
}
