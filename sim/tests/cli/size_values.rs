//! `size` by options: wrong values end with 3 and their name, missing ones with 2, and a picture is never written over.

use super::bench::{code, document, meterwright, printed, said};
use std::fs;
use tempfile::tempdir;

const DRILL: &str = "demo-data/drills/sized.toml";
const SEED: &str = "demo-data/seeds/demo-110.toml";

/// Sizes the demo drill with further arguments.
fn sized(further: &[&str]) -> std::process::Output {
    meterwright(&[&["size", DRILL, SEED], further].concat())
}

#[test]
fn a_wrong_value_ends_with_3_and_names_its_option() {
    let wrong = [
        ["--width", "-4 m"],
        ["--width", "0 m"],
        ["--width", "4 bar"],
        ["--width", "4"],
        ["--rate", "110 kg"],
        ["--rate", "-1 kg/ha"],
        ["--mass-per-turn", "0 g"],
        ["--full-speed", "0 turns/s"],
        ["--encoder-pulses", "0"],
        ["--encoder-pulses", "1.5"],
        ["--encoder-pulses", "many"],
        ["--ground-pulses", "-130 /m"],
        ["--flutes", "-1"],
        ["--lowest-speed", "9 m/s"],
        ["--displacement", "-32 cm3"],
        ["--displacement", "32 L/min"],
        ["--ratio", "0"],
        ["--ratio", "-3"],
        ["--ratio", "NaN"],
        ["--ratio", "3 m"],
        ["--volumetric", "140 %"],
        ["--mechanical", "0 %"],
        ["--lowest-motor-speed", "0 turns/min"],
        ["--highest-motor-speed", "fast"],
        ["--relief", "-90 bar"],
        ["--relief", "0 bar"],
        ["--relief", "90 N·m"],
        ["--tractor-flow", "0 gpm"],
        ["--valve-flow", "11 bar"],
        ["--valve-drop", "-1 psi"],
        ["--meter-torque", "0 N·m"],
        ["--bearable-torque", "-150 lb-in"],
        ["--shear-pin", "140 bar"],
        ["--from", "0 m/s"],
        ["--to", "-3 m/s"],
    ];
    for [option, value] in wrong {
        let output = sized(&[option, value]);
        assert_eq!(code(&output), 3, "{option} {value}: {}{}", printed(&output), said(&output));
        let text = said(&output);
        assert!(text.contains(option) && text.contains(value), "{option} {value}: {text}");
        assert!(printed(&output).is_empty(), "{option} {value}");
    }
}

#[test]
fn values_that_contradict_each_other_end_with_3() {
    for (arguments, word) in [
        (vec!["--from", "3 m/s", "--to", "1 m/s"], "--from"),
        (vec!["--meter-torque", "200 N·m"], "bearable_torque"),
        (vec!["--lowest-motor-speed", "900 rpm"], "highest_motor_speed"),
        (vec!["--shear-pin", "10 N·m"], "shear_pin"),
    ] {
        let output = sized(&arguments);
        assert_eq!(code(&output), 3, "{arguments:?}");
        assert!(said(&output).contains(word), "{}", said(&output));
    }
    let output = meterwright(&["size", "demo-data/drills/two-sides.toml", SEED, "--width", "3 m"]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("2 sides"), "{}", said(&output));
}

#[test]
fn a_drill_file_whose_oil_side_contradicts_itself_is_refused_with_its_place() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("drill.toml");
    let text = fs::read_to_string(super::bench::root().join(DRILL)).unwrap();
    for (pin, want) in [("10 N·m", 3), ("140 N·m", 0)] {
        let pinned = format!("[hydraulics]\nshear_pin = \"{pin}\"");
        fs::write(&file, text.replace("[hydraulics]", &pinned)).unwrap();
        let output = meterwright(&["size", file.to_str().unwrap(), SEED, "--relief", "160 bar"]);
        assert_eq!(code(&output), want, "{pin}: {}", said(&output));
        let told = format!("{}{}", said(&output), printed(&output));
        assert!(want == 0 || told.contains("drill.toml:") && told.contains("shear_pin"), "{told}");
    }
}

#[test]
fn what_is_missing_is_named_at_once() {
    let output = meterwright(&["size", "--width", "4 m", "--relief", "90 bar"]);
    assert_eq!(code(&output), 2);
    for option in ["--displacement", "--ratio", "--tractor-flow", "--rate", "--mass-per-turn"] {
        assert!(said(&output).contains(option), "{option}: {}", said(&output));
    }
    assert!(!said(&output).contains("--relief"), "{}", said(&output));
    assert_eq!(code(&meterwright(&["size"])), 2);
}

#[test]
fn options_alone_size_a_drive() {
    let few = ["size", "--width", "13'", "--rate", "98 lb/ac", "--mass-per-turn", "4.2 oz"];
    let output = meterwright(&[few.as_slice(), &["--full-speed", "99 rpm"]].concat());
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert!(printed(&output).contains("What no option names"), "{}", printed(&output));
    let last = printed(&output).lines().last().map(str::to_owned);
    assert!(last.is_some_and(|it| it.starts_with("Next: ") && it.contains("size DRILL SEED")));
}

#[test]
fn an_option_takes_the_place_of_what_the_file_says() {
    let flow = |further: &[&str]| {
        let all = [further, &["--json"]].concat();
        let document = document(&sized(&all));
        document["size"]["sides"][0]["speeds"][1]["flow_m3_per_s"].as_f64().unwrap()
    };
    let share = flow(&["--displacement", "64 cm3"]) / flow(&[]);
    assert!((share - 2.0).abs() < 1e-9, "{share}");
}

#[test]
fn a_relief_that_breaks_the_meter_is_a_danger_and_ends_with_1() {
    let output = sized(&["--relief", "160 bar"]);
    assert_eq!(code(&output), 1);
    let text = printed(&output);
    assert!(
        text.contains("DANGER") && text.contains("98.1 bar") && text.contains("manual"),
        "{text}"
    );
    let safe = printed(&sized(&[]));
    assert!(!safe.contains("DANGER") && safe.contains("does not slip"), "{safe}");
}

#[test]
fn speeds_that_are_named_must_be_reached() {
    for (to, want) in [("4.4 m/s", 0), ("4.6 m/s", 1)] {
        let output = sized(&["--to", to]);
        assert_eq!(code(&output), want, "{to}: {}", printed(&output));
    }
}

#[test]
fn a_drill_without_an_oil_side_is_told_what_to_add() {
    let text = printed(&meterwright(&["size", "demo-data/drills/reference.toml", SEED]));
    assert!(text.contains("has no [hydraulics]") && !text.contains("L/min"), "{text}");
}

#[test]
fn the_picture_is_written_once_and_names_its_units() {
    let folder = tempdir().unwrap();
    let file = folder.path().join("new/size.svg");
    let plot = file.to_str().unwrap();
    assert_eq!(code(&sized(&["--plot", plot])), 0);
    let metric = fs::read_to_string(&file).unwrap();
    assert!(metric.contains("L/min") && metric.contains("ground speed, m/s"));
    for zone in ["too slow", "too fast", "full command"] {
        assert!(metric.contains(zone), "{zone}");
    }
    let again = sized(&["--plot", plot, "--units", "us"]);
    assert_eq!(code(&again), 2, "{}", printed(&again));
    assert_eq!(fs::read_to_string(&file).unwrap(), metric, "not touched");
    assert_eq!(code(&sized(&["--plot", plot, "--units", "us", "--replace"])), 0);
    let us = fs::read_to_string(&file).unwrap();
    assert!(us.contains("gpm") && us.contains("ground speed, mph") && !us.contains("m/s"));
    assert_eq!(code(&sized(&["--plot", DRILL, "--replace"])), 2, "an input is never written over");
}

#[test]
fn two_systems_of_units_say_the_same_figures() {
    let drill = "demo-data/drills/grain-13-ft.toml";
    let json = |units: &str| {
        let seed = "demo-data/seeds/demo-us.toml";
        let output = meterwright(&["size", drill, seed, "--json", "--units", units]);
        let size = document(&output)["size"].clone();
        [size["from_mps"].clone(), size["to_mps"].clone(), size["oil"].clone()]
    };
    assert_eq!(json("us"), json("metric"));
}
