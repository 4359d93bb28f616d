//! `size` says what a drive can do, against worked examples that were published.

use super::bench::{code, document, meterwright, printed, root, said};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const DRILL: &str = "demo-data/drills/small-seed.toml";
const SEED: &str = "demo-data/seeds/demo-small.toml";

/// Writes the reference drill with another width, and a seed lot.
fn written(folder: &Path, [width, rate, mass]: [&str; 3]) -> [String; 2] {
    let drill = fs::read_to_string(root().join("demo-data/drills/reference.toml")).unwrap();
    let (drill_file, seed_file) = (folder.join("drill.toml"), folder.join("seed.toml"));
    fs::write(&drill_file, drill.replace("\"4.0 m\"", &format!("\"{width}\""))).unwrap();
    let lot =
        format!("name = \"lot\"\nrate = \"{rate}\"\nmass_per_turn = \"{mass}\"\ndemo = true\n");
    fs::write(&seed_file, lot).unwrap();
    [drill_file, seed_file].map(|file| file.to_str().unwrap().to_owned())
}

/// Turns per metre that `size` finds.
fn turns_per_m(case: [&str; 3]) -> f64 {
    let folder = tempdir().unwrap();
    let [drill, seed] = written(folder.path(), case);
    let output = meterwright(&["size", &drill, &seed, "--json"]);
    let found = &document(&output)["size"]["sides"][0]["turns_per_m"];
    found.as_f64().unwrap_or_else(|| panic!("{}", said(&output)))
}

#[test]
fn turns_of_the_meter_are_those_of_a_published_example() {
    // 200 kg/ha, 38 g a turn and row, rows of 0.40 m: published 5263.16 turns of the roll a hectare of 25 000 m of row
    // (entrance exam solution, questions.collegedunia.com, read for the project's check values, CAL-10).
    let have = turns_per_m(["0.40 m", "200 kg/ha", "38 g"]) * 25_000.0;
    assert!((have - 5_263.16).abs() < 0.005, "{have} turns a hectare");
}

#[test]
fn turns_of_the_meter_are_those_of_the_ground_wheel_it_replaces() {
    // Nine rows of 20 cm, 6.8 g a turn and row, a wheel of 0.5 m that turns twice for each turn of the roll (inputs:
    // saranextgen.com, question 157314, CAL-11). The rate that such a chain lays asks for the chain's own turns.
    let chain = 1.0 / (2.0 * std::f64::consts::PI * 0.5);
    let have = turns_per_m(["1.8 m", "108.22536 kg/ha", "61.2 g"]);
    assert!((have / chain - 1.0).abs() < 1e-6, "{have} turns a metre, the chain {chain}");
}

#[test]
fn the_drill_of_the_demo_is_sized_as_the_arithmetic_has_it() {
    let output = meterwright(&["size", DRILL, SEED, "--json"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let document = document(&output);
    let side = &document["size"]["sides"][0];
    let near = |key: &str, have: &serde_json::Value, want: f64| {
        let have = have.as_f64().unwrap_or(f64::NAN);
        assert!((have / want - 1.0).abs() < 1e-9, "{key}: have {have}, want {want}");
    };
    // 4 kg/ha on 4 m, 36 g a turn: 1.6 g a metre.
    near("turns", &side["turns_per_m"], 1.6 / 36.0);
    near("travel per flute", &side["travel_per_flute_m"], 2.25);
    // 0.25 turns/s at full command; two of 1024 edges a turn in 0.15 s.
    near("fastest", &side["highest"]["speed_mps"], 5.625);
    near("two edges", &side["two_edges_from_mps"], 2.0 / 0.15 / 1024.0 * 22.5);
    let two = &side["speeds"][3];
    near("speed", &two["speed_mps"], 2.0);
    near("edges", &two["edges_per_s"], 2.0 * 1.6 / 36.0 * 1024.0);
    near("opening", &two["opening"], 0.2 + 0.8 * (2.0 * 1.6 / 36.0) / 0.25);
    assert_eq!(side["highest"]["by"], "full_command");
    assert_eq!(side["lowest"]["by"], "lowest_sowing_speed");
}

#[test]
fn a_drive_that_is_too_slow_ends_with_1_and_says_what_to_change() {
    let folder = tempdir().unwrap();
    let [drill, seed] = written(folder.path(), ["18 m", "500 kg/ha", "20 g"]);
    let output = meterwright(&["size", &drill, &seed]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    assert!(printed(&output).contains("cannot lay the rate"), "{}", printed(&output));
    let json = meterwright(&["size", &drill, &seed, "--json"]);
    assert_eq!(document(&json)["exit_code"], 1, "the document says so too");
}

#[test]
fn every_wrong_file_is_named_at_once() {
    let output = meterwright(&["size", "no-drill.toml", "no-seed.toml"]);
    assert_eq!(code(&output), 3);
    for name in ["no-drill.toml", "no-seed.toml"] {
        assert!(said(&output).contains(name), "{}", said(&output));
    }
}

#[test]
fn the_last_line_is_the_next_step_in_the_units_asked_for() {
    let text = printed(&meterwright(&["size", DRILL, SEED, "--units", "us"]));
    assert!(text.lines().last().is_some_and(|line| line.starts_with("Next: ")), "{text}");
    assert!(text.contains("mph") && !text.contains("m/s"), "{text}");
}

#[test]
fn few_edges_are_told_in_words() {
    let drill = "demo-data/drills/slow-shaft-60.toml";
    let seed = "demo-data/seeds/demo-small-slow.toml";
    let text = printed(&meterwright(&["size", drill, seed]));
    assert!(text.contains("Two edges never fall in the drive's lag here"), "{text}");
}
