//! `catch` makes a seed file of weighed catches and says how sure it is.

use super::bench::{code, document, meterwright, names, printed, root, said};
use serde_json::Value;
use sim::scenario::read;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// "Metric problems", calibration chapter, table 8.4:
/// <https://www.progressivegardening.com/agricultural-engineering-2/metric-problems-ism.html>: twelve of 25 outlets on
/// 0.20 m, a ground wheel of 0.80 m, 50 turns, 9.0 kg/ha wanted.
pub(crate) const PUBLISHED: &str = r#"
name = "published"
date = "2026-03-28"
outlets = 25
rate = "9.0 kg/ha"
width = "5 m"
travel_per_turn = "2.513274 m"
scale = "0.1 g"
[[catch]]
turns = 50
masses = ["22.6 g", "22.4 g", "22.0 g", "22.9 g", "22.7 g", "22.6 g", "22.0 g", "22.8 g", "22.8 g", "22.7 g", "22.6 g", "22.8 g"]
"#;

const REPEATED: &str = "demo-data/catches/demo-repeated.toml";
const SPEEDS: &str = "demo-data/catches/demo-speeds.toml";

/// Writes a sheet; gives its path.
pub(crate) fn sheet(folder: &Path, text: &str) -> String {
    let file = folder.join("sheet.toml");
    fs::write(&file, text).unwrap();
    file.to_str().unwrap().to_owned()
}

#[track_caller]
fn near(value: &Value, want: f64, within: f64) {
    let have = value.as_f64().unwrap_or(f64::NAN);
    assert!((have - want).abs() <= within, "have {have}, want {want}");
}

#[test]
fn the_published_catch_comes_out_to_the_gram() {
    let folder = tempdir().unwrap();
    let file = sheet(folder.path(), PUBLISHED);
    let output = meterwright(&["catch", &file, "--json"]);
    // One catch does not tell its scatter.
    assert_eq!(code(&output), 1, "{}", said(&output));
    let found = &document(&output)["catch"];
    near(&found["catches"][0]["net_kg"], 0.2709, 1e-9);
    let spread = &found["outlet_spread"];
    near(&spread["mean_kg"], 0.022_575, 1e-9);
    // Printed 21.4 and 23.7, all accepted; 8.9 is 8.98 with digits cut, accepted from 8.6 to 9.4.
    near(&spread["from_kg"], 0.021_446, 5e-7);
    near(&spread["to_kg"], 0.023_704, 5e-7);
    assert_eq!(spread["outside"], 0);
    near(&spread["cv_pct"], 1.32, 0.005);
    near(&found["ground"]["kg_per_ha"], 8.9823, 5e-5);
    near(&found["ground"]["from_kg_per_ha"], 8.55, 1e-9);
    near(&found["ground"]["to_kg_per_ha"], 9.45, 1e-9);
    near(&found["speeds"][0]["kg_per_turn"], 0.022_575 * 25.0 / 50.0, 1e-9);
    assert!(found["speeds"][0]["cv_pct"].is_null() && found["uncertainty_pct"].is_null());
    // 0.1 g of 22.0 g is 0.45 %; 50 · 0.1/(0.002 · 22.0) = 113.6.
    assert_eq!(found["scale"]["turns"], 114.0);
    let text = printed(&meterwright(&["catch", &file]));
    for word in [
        "270.9 g",
        "22.575 g",
        "21.446 g to 23.704 g",
        "8.9823 kg/ha",
        "nothing can be said of scatter",
    ] {
        assert!(text.contains(word), "no {word:?} in {text}");
    }
}

#[test]
fn options_alone_give_the_same_mass_per_turn() {
    let quick = ["--turns", "50", "--outlets", "25", "--caught", "12", "--total", "0.3709 kg"];
    let output = meterwright(&[&["catch", "--json", "--tare", "100 g"], &quick[..]].concat());
    near(&document(&output)["catch"]["speeds"][0]["kg_per_turn"], 0.011_287_5, 1e-9);
}

#[test]
fn five_catches_have_the_interval_of_the_tables() {
    let output = meterwright(&["catch", REPEATED, "--json"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let speed = &document(&output)["catch"]["speeds"][0];
    // Net 6015 5978 6031 6000 5993 g: mean 6003.4, standard deviation √(1661.2/4) = 20.379; t of 4 degrees 2.776.
    near(&speed["kg_per_turn"], 0.120_068, 1e-9);
    near(&speed["cv_pct"], 100.0 * 20.379 / 6003.4, 1e-4);
    near(&speed["mean_within_pct"], 100.0 * 2.776 * 20.379 / 6003.4 / 5.0_f64.sqrt(), 1e-4);
    // Chi-square of 4 degrees: 0.484 and 11.143; so small a scatter leaves K·√(4/u).
    near(&speed["cv_from_pct"], 0.339_46 * (4.0_f64 / 11.143).sqrt(), 1e-4);
    near(&speed["cv_to_pct"], 0.339_46 * (4.0_f64 / 0.4844).sqrt(), 1e-3);
}

#[test]
fn more_catches_are_asked_for_by_number() {
    let quick = ["--turns", "50", "--outlets", "24", "--total", "100 g", "--total", "102 g"];
    let output = meterwright(&[&["catch", "--json"], &quick[..]].concat());
    assert_eq!(code(&output), 1, "{}", said(&output));
    let speed = document(&output)["catch"]["speeds"][0].clone();
    // CV 1.4002 %: t · CV/√n is 2.23 % with four, 1.74 % with five.
    near(&speed["cv_pct"], 1.4002, 5e-5);
    assert_eq!(speed["more_catches"], 3);
    let text = printed(&meterwright(&[&["catch"], &quick[..]].concat()));
    assert!(text.contains("3 more catches would bring it there"), "{text}");
}

#[test]
fn outlets_that_were_not_caught_are_in_the_error_and_no_catch_removes_them() {
    let masses = r#"masses = ["20 g", "22 g", "24 g"]"#;
    let catch = format!("[[catch]]\nturns = 50\n{masses}\n");
    let folder = tempdir().unwrap();
    let text = format!(
        "name = \"a\"\ndate = \"2026-03-28\"\noutlets = 12\nscale = \"0.01 g\"\n{catch}{catch}{catch}"
    );
    let file = sheet(folder.path(), &text);
    let output = meterwright(&["catch", &file, "--json"]);
    assert_eq!(code(&output), 1);
    let found = &document(&output)["catch"];
    // CV 1/11; t of 2 degrees 4.303; nine of twelve not caught.
    let want = 100.0 * 4.303 / 11.0 / 3.0_f64.sqrt() * 0.75_f64.sqrt();
    near(&found["uncertainty_pct"], want, 0.005);
    assert!(found["speeds"][0]["more_catches"].is_null());
    assert_eq!(found["outlet_spread"]["outside"], 2);
    let text = printed(&meterwright(&["catch", &file]));
    assert!(text.contains("catch more outlets") && text.contains("outlet 1 of the list"), "{text}");
}

#[test]
fn the_seed_file_is_read_by_the_bench_and_never_overwritten_unasked() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("seed.toml");
    let file = out.to_str().unwrap();
    let output = meterwright(&["catch", REPEATED, "--out", file]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let lot = read::seed_lot(&out).unwrap_or_else(|error| panic!("{error}"));
    assert!((lot.kg_per_turn(0.5) - 0.120_068).abs() < 1e-9 && lot.demo);
    let caught = lot.caught.expect("where it comes from");
    assert_eq!((caught.date.as_str(), caught.catches), ("2026-03-28", 5));
    assert!(caught.uncertainty.is_some_and(|it| (it - 0.0042).abs() < 0.0001));
    let before = fs::read_to_string(&out).unwrap();
    let again = meterwright(&["catch", SPEEDS, "--out", file]);
    assert_eq!(code(&again), 2);
    assert!(said(&again).contains("--replace"), "{}", said(&again));
    assert_eq!(fs::read_to_string(&out).unwrap(), before, "the file is as it was");
    assert_eq!(names(folder.path()), ["seed.toml"]);
    let sized = meterwright(&["size", "demo-data/drills/reference.toml", file]);
    assert_eq!(code(&sized), 0, "{}", said(&sized));
}

#[test]
fn several_shaft_speeds_give_a_meter_curve_in_either_system_of_units() {
    for units in ["metric", "us"] {
        let folder = tempdir().unwrap();
        let out = folder.path().join("seed.toml");
        let output =
            meterwright(&["catch", SPEEDS, "--units", units, "--out", out.to_str().unwrap()]);
        // Three catches a speed do not tell the mean within 2 %: written all the same, and said.
        assert_eq!(code(&output), 1, "{}", said(&output));
        assert!(printed(&output).contains("all the same"), "{}", printed(&output));
        let lot = read::seed_lot(&out).unwrap_or_else(|error| panic!("{error}"));
        let ounce = 0.453_592_37 / 16.0;
        // Net 218.6 220.9 217.4 oz at 0.3 turns/s, 50 turns each.
        let want = [(0.3, 4.379_33), (0.7, 4.228_67), (1.2, 4.008_67)];
        for ((n, kg), (want_n, ounces)) in lot.curve.iter().zip(want) {
            assert!(
                (n - want_n).abs() < 1e-5 && (kg / (ounces * ounce) - 1.0).abs() < 2e-6,
                "{n} {kg}"
            );
        }
        assert_eq!(lot.curve.len(), 3);
    }
}

#[test]
fn the_last_line_is_the_next_step_in_the_units_asked_for() {
    let text = printed(&meterwright(&["catch", REPEATED, "--units", "us"]));
    assert!(text.lines().last().is_some_and(|line| line.starts_with("Next: ")), "{text}");
    assert!(text.contains(" oz") && !text.contains(" g\n"), "{text}");
}

#[test]
fn the_sheet_itself_is_never_written_over() {
    let folder = tempdir().unwrap();
    let file = sheet(folder.path(), PUBLISHED);
    let output = meterwright(&["catch", &file, "--out", &file, "--replace"]);
    assert_eq!(code(&output), 2, "{}", said(&output));
    assert_eq!(fs::read_to_string(&file).unwrap(), PUBLISHED);
}

#[test]
fn every_demo_sheet_and_mix_is_worked_out_and_says_that_it_is_a_demo() {
    for (command, folder) in [("catch", "demo-data/catches"), ("rate", "demo-data/rates")] {
        for name in names(&root().join(folder)) {
            if name == "README.md" {
                continue;
            }
            let output = meterwright(&[command, &format!("{folder}/{name}")]);
            assert!(code(&output) <= 1, "{name}: {}", said(&output));
            assert!(printed(&output).contains("(demo)"), "{name}");
        }
    }
}
