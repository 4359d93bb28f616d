//! What is doubtful is not called sure: numbers that a person could believe and that nothing stands behind.

use super::bench::{code, meterwright, printed, root, said};
use std::fs;
use tempfile::tempdir;

/// Runs a command; its exit code and all that it says.
fn run(arguments: &[&str]) -> (i32, String) {
    let output = meterwright(arguments);
    (code(&output), printed(&output) + &said(&output))
}

#[test]
fn outlets_of_which_nothing_is_known_make_the_mean_unknown() {
    let folder = tempdir().unwrap();
    let seed = folder.path().join("seed.toml").to_str().unwrap().to_owned();
    let totals = ["--total", "264 g", "--total", "265 g", "--total", "266 g"];
    let lot = ["--name", "x", "--date", "2026-02-28", "--rate", "110 kg/ha", "-o", &seed];
    let some = ["catch", "--turns", "50", "--outlets", "25", "--caught", "1"];
    let (exit, text) = run(&[&some[..], &totals, &lot].concat());
    assert_eq!(exit, 1, "{text}");
    assert!(text.contains("Nothing is known of the outlets that were not caught"), "{text}");
    let written = fs::read_to_string(&seed).unwrap();
    assert!(!written.contains("uncertainty ="), "{written}");
    let sheet = folder.path().join("one.toml").to_str().unwrap().to_owned();
    let catch = |g: &str| format!("[[catch]]\nturns = 50\nmasses = [\"{g} g\"]\n");
    let one = "name = \"x\"\ndate = \"2026-02-28\"\noutlets = 25\n".to_owned()
        + &["280", "281", "280.5"].map(catch).concat();
    fs::write(&sheet, one).unwrap();
    let (exit, text) = run(&["catch", &sheet]);
    assert_eq!(exit, 1, "{text}");
    let all = ["catch", "--turns", "50", "--outlets", "25"];
    let (exit, text) = run(&[&all[..], &totals].concat());
    assert_eq!(exit, 0, "all outlets in each: {text}");
}

#[test]
fn weighings_that_are_alike_are_no_surer_than_the_scale() {
    let alike =
        ["catch", "--turns", "50", "--outlets", "25", "--total", "6.6 kg", "--total", "6.6 kg"];
    let (exit, text) = run(&alike);
    assert_eq!(exit, 1, "{text}");
    assert!(text.contains("Tell the scale"), "{text}");
    // A step of 20 g hides 5.77 g, 0.0875 % of 6.6 kg; two catches: 12.706 × 0.0875 % / √2 = 0.786 %.
    let (exit, text) = run(&[&alike[..], &["--scale", "20 g"]].concat());
    assert_eq!(exit, 0, "{text}");
    assert!(text.contains("± 0.786 %"), "{text}");
}

#[test]
fn turns_of_one_side_and_another_unit_of_area_are_not_settled_by() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("new.toml").to_str().unwrap().to_owned();
    let lot = "demo-data/records/demo-caught.toml";
    let fill = |area: &'static str, turns: &'static str| {
        let masses = ["--loaded", "1350 kg", "--left", "31 kg", "--scale", "0.5 kg"];
        let counted = ["--area", area, "--turns", turns, "--date", "2026-04-12"];
        [&["reconcile", lot][..], &masses, &counted].concat()
    };
    let (exit, text) = run(&[&fill("12 ha", "5500")[..], &["-o", &out]].concat());
    assert_eq!(exit, 3, "{text}");
    assert!(text.contains("of all sides") && !folder.path().join("new.toml").exists(), "{text}");
    for area in ["12 m2", "12 ac"] {
        let (exit, text) = run(&fill(area, "11000"));
        assert!(exit == 3 && text.contains("unit of the area"), "{area}: {exit} {text}");
    }
    assert_eq!(run(&fill("12 ha", "11000")).0, 0);
    let own = folder.path().join("own.toml").to_str().unwrap().to_owned();
    fs::copy(root().join(lot), &own).unwrap();
    let mut over = fill("12 ha", "11000");
    over[1] = &own;
    let (exit, text) = run(&[&over[..], &["-o", &own, "--replace"]].concat());
    assert_eq!(exit, 2, "a seed file that is read is not written over: {text}");
}

#[test]
fn a_catch_that_does_not_say_how_sure_it_is_is_not_taken_for_exact() {
    let fill = |turns: &'static str| {
        let masses = ["--loaded", "1350 kg", "--left", "31 kg", "--scale", "0.5 kg"];
        let lot = ["reconcile", "demo-data/seeds/demo-110.toml", "--units", "us"];
        [&lot[..], &masses, &["--area", "12 ha", "--turns", turns]].concat()
    };
    // 1319 kg by 10 800 turns are 1.77 % more than 0.12 kg; by 10 000 turns 9.92 %, 0.1319 kg or 0.29079 lb a turn.
    let (exit, text) = run(&fill("10800"));
    assert!(exit == 0 && text.contains("taken to be sure to ±2.00 %"), "{text}");
    let (exit, text) = run(&fill("10000"));
    assert!(exit == 1 && text.contains("mass_per_turn = \"0.29079 lb\""), "{text}");
    assert!(text.contains("the same command with --date DAY and --out NEW-SEED.toml"), "{text}");
}

#[test]
fn the_relief_that_is_named_is_one_that_the_meter_bears() {
    let files = ["size", "demo-data/drills/sized.toml", "demo-data/seeds/demo-110.toml"];
    let (_, text) = run(&files);
    assert!(text.contains("at or below 98.1 bar"), "{text}");
    assert_eq!(run(&[&files[..], &["--relief", "98.1 bar"]].concat()).0, 0);
    let (exit, text) = run(&[&files[..], &["--from", "0.228 m/s", "--to", "4.5 m/s"]].concat());
    assert!(exit == 0 && text.contains("from 0.228 m/s to 4.5 m/s"), "{text}");
}

#[test]
fn a_shear_pin_is_called_what_it_is() {
    let files = ["size", "demo-data/drills/sized.toml", "demo-data/seeds/demo-110.toml"];
    // The relief puts 138 N·m on a blocked meter that bears 150.
    let pins = [("200 N·m", "such a pin spares nothing"), ("120 N·m", "parts before that")];
    for (pin, says) in pins {
        let (exit, text) = run(&[&files[..], &["--shear-pin", pin]].concat());
        assert!(exit == 0 && text.contains(says), "{pin}: {text}");
    }
    let stronger = ["--shear-pin", "200 N·m", "--relief", "160 bar"];
    let (exit, text) = run(&[&files[..], &stronger].concat());
    assert!(exit == 1 && text.contains("DANGER"), "{text}");
}

#[test]
fn more_plants_than_germinate_are_refused() {
    let rate = ["rate", "--plants", "280 /m2", "--thousand", "50.9 g", "--germination", "80%"];
    let (exit, text) = run(&[&rate[..], &["--establishment", "95%"]].concat());
    assert!(exit == 3 && text.contains("holds germination already"), "{text}");
    assert_eq!(run(&[&rate[..], &["--establishment", "75%"]].concat()).0, 0);
}

#[test]
fn a_log_with_rows_twice_or_missing_makes_no_record() {
    let log = fs::read_to_string(root().join("demo-data/records/demo-log.csv")).unwrap();
    let without = |start: &str| {
        log.lines().filter(|line| !line.starts_with(start)).collect::<Vec<_>>().join("\n")
    };
    let wrong = [
        (log.replace("sown,,2", "sown,,1"), "there twice"),
        (without("gap,2"), "gap 3 follows gap 1"),
        (log.replace("49ER-48KH", "=cmd"), "no fingerprint"),
    ];
    let folder = tempdir().unwrap();
    let file = folder.path().join("log.csv").to_str().unwrap().to_owned();
    for (text, said) in wrong {
        fs::write(&file, text).unwrap();
        let record = ["record", &file, "--field", "x", "--date", "2026-04-12"];
        let (exit, text) = run(&record);
        assert!(exit == 3 && text.contains(said), "{said}: {exit} {text}");
    }
}
