//! `reconcile`: a fill settled by weight, its history, and what it refuses.

use super::bench::{code, document, meterwright, names, printed, said};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const SEED: &str = "# from the bin\nname = \"lot 7\"\nrate = \"110 kg/ha\"\nmass_per_turn = \"120 g\" # caught\n\n\
                    [caught]\ndate = \"2026-04-02\"\ncatches = 5\nuncertainty = \"0.5 %\"\n";

/// Writes a seed file; gives its path.
fn seed(folder: &Path) -> String {
    let path = folder.join("seed.toml");
    fs::write(&path, SEED).unwrap();
    path.to_str().unwrap().to_owned()
}

/// A fill that gives 110 kg/ha and 0.12 kg a turn, with an option put in another's place.
fn fill(over: &[(&str, &str)]) -> Vec<String> {
    let mut options = vec![
        ("--loaded", "1350 kg"),
        ("--left", "30 kg"),
        ("--area", "12 ha"),
        ("--turns", "11000"),
        ("--scale", "0.5 kg"),
        ("--date", "2026-04-12"),
    ];
    for (option, text) in over {
        options.retain(|(name, _)| name != option);
        options.push((option, text));
    }
    options.iter().flat_map(|(name, text)| [(*name).to_owned(), (*text).to_owned()]).collect()
}

fn run(seed: &str, options: &[String], more: &[&str]) -> std::process::Output {
    let mut all = vec!["reconcile", seed];
    all.extend(options.iter().map(String::as_str));
    all.extend(more);
    meterwright(&all)
}

#[test]
fn a_fill_that_is_right_says_so_and_ends_with_0() {
    let folder = tempdir().unwrap();
    let output = run(&seed(folder.path()), &fill(&[]), &["--json", "--price", "2 /kg"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let found = &document(&output)["reconcile"];
    let near = |pointer: &str, want: f64| {
        let have = found.pointer(pointer).and_then(serde_json::Value::as_f64).unwrap_or(f64::NAN);
        assert!((have - want).abs() < 1e-9 * want.abs().max(1.0), "{pointer}: {have}, want {want}");
    };
    near("/rate_kg_per_ha/value", 110.0);
    near("/fill/kg_per_turn/value", 0.12);
    near("/fill/laid_kg/uncertainty", 0.5 * 2.0_f64.sqrt());
    near("/over_kg/value", 0.0);
    // Area of 12 ha ±1 % at 110 kg/ha: ±13.2 kg; with the weighings √(174.24 + 0.5) kg, at 2 a kilogram.
    near("/over_cost/uncertainty", 2.0 * 174.74_f64.sqrt());
    assert_eq!(found["disagrees"], false);
}

#[test]
fn fills_that_disagree_with_the_catch_are_told_and_the_seed_file_is_put_right() {
    let folder = tempdir().unwrap();
    let seed = seed(folder.path());
    let place = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let (history, out) = (place("fills.toml"), place("new.toml"));
    for (date, turns) in [("2026-04-12", "10700"), ("2026-04-13", "10720"), ("2026-04-14", "10690")]
    {
        let options = fill(&[("--date", date), ("--turns", turns)]);
        let output = run(&seed, &options, &["--history", &history]);
        assert_eq!(code(&output), 1, "{}", said(&output));
        assert!(printed(&output).contains("WARNING"), "{}", printed(&output));
        assert!(printed(&output).contains("Next: "), "{}", printed(&output));
    }
    let text = fs::read_to_string(&history).unwrap();
    assert_eq!(text.matches("[[fill]]").count(), 3, "{text}");
    let options = fill(&[("--date", "2026-04-15"), ("--turns", "10700")]);
    let output = run(&seed, &options, &["--history", &history, "--out", &out]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    assert!(printed(&output).contains("drift"), "{}", printed(&output));
    let mended = fs::read_to_string(&out).unwrap();
    assert!(mended.starts_with("# from the bin\n") && mended.contains(" # caught"), "{mended}");
    assert!(mended.contains("mass_per_turn = \"123."), "grams stay grams: {mended}");
    assert!(mended.contains("date = \"2026-04-15\"") && mended.contains("catches = 3"), "{mended}");
    // By the file put right the same fill agrees.
    let output = run(&out, &options, &[]);
    assert_eq!(code(&output), 0, "{}", printed(&output));
    // The old seed file is as it was, and no file is written over.
    assert_eq!(fs::read_to_string(&seed).unwrap(), SEED);
    assert_eq!(code(&run(&seed, &options, &["--out", &seed])), 2);
    assert_eq!(code(&run(&seed, &options, &["--out", &out])), 2);
    assert_eq!(fs::read_to_string(&seed).unwrap(), SEED);
}

#[test]
fn a_wrong_value_ends_with_3_and_nothing_is_written() {
    let folder = tempdir().unwrap();
    let seed = seed(folder.path());
    let history = folder.path().join("fills.toml").to_str().unwrap().to_owned();
    for (option, text, word) in [
        ("--loaded", "-1350 kg", "out of range"),
        ("--left", "1400 kg", "nothing was laid"),
        ("--left", "-1 kg", "out of range"),
        ("--area", "0 ha", "out of range"),
        ("--area", "12 kg", "is a mass"),
        ("--area", "12", "has no unit"),
        ("--turns", "0", "no turns"),
        ("--turns", "-5", "no turns"),
        ("--turns", "NaN", "no turns"),
        ("--turns", "many", "not a plain number"),
        ("--turns", "11", "no meter strays so far"),
        // 612 kg less 30 kg by 11 000 turns are 53 g: below half of what was caught.
        ("--loaded", "1350 lb", "no meter strays so far"),
        ("--loaded", "1350 g", "nothing was laid"),
        ("--scale", "0 kg", "out of range"),
        ("--scale", "950 kg", "they tell nothing"),
        ("--date", "12.4.2026", "is no day"),
        ("--price", "2 kg", "is a mass"),
    ] {
        let output = run(&seed, &fill(&[(option, text)]), &["--history", &history]);
        assert!(said(&output).contains(word), "{option} {text}: {}", said(&output));
        assert_eq!(code(&output), 3, "{option} {text}: {}", said(&output));
        assert!(printed(&output).is_empty(), "{option} {text}");
    }
    assert_eq!(names(folder.path()), ["seed.toml"]);
}

#[test]
fn a_history_of_another_lot_or_one_with_the_fill_is_refused_as_it_is() {
    let folder = tempdir().unwrap();
    let seed = seed(folder.path());
    let path = folder.path().join("fills.toml");
    let history = path.to_str().unwrap();
    let other = "lot = \"lot 8\"\n";
    fs::write(&path, other).unwrap();
    let output = run(&seed, &fill(&[]), &["--history", history]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains(":1:7") && said(&output).contains("lot 8"), "{}", said(&output));
    assert_eq!(fs::read_to_string(&path).unwrap(), other);
    fs::remove_file(&path).unwrap();
    assert_eq!(code(&run(&seed, &fill(&[]), &["--history", history])), 0);
    let once = fs::read_to_string(&path).unwrap();
    let again = run(&seed, &fill(&[]), &["--history", history]);
    assert_eq!(code(&again), 3);
    assert!(said(&again).contains("already"), "{}", said(&again));
    assert_eq!(fs::read_to_string(&path).unwrap(), once);
    // A person may add a remark or a fill; what follows from the masses must follow from them.
    fs::write(&path, once.replace("mass_per_turn = \"0.12 kg\"", "mass_per_turn = \"0.13 kg\""))
        .unwrap();
    let wrong = run(&seed, &fill(&[("--date", "2026-04-13")]), &["--history", history]);
    assert_eq!(code(&wrong), 3);
    assert!(said(&wrong).contains("not what was laid"), "{}", said(&wrong));
}

#[test]
fn a_fill_of_a_file_and_of_options_is_the_same() {
    let folder = tempdir().unwrap();
    let seed = seed(folder.path());
    let path = folder.path().join("fill.toml");
    let text = "date = \"2026-04-12\"\nloaded = \"1350 kg\"\nleft = \"30 kg\"\narea = \"12 ha\"\nturns = 11000\n\
                scale = \"0.5 kg\"\n";
    fs::write(&path, text).unwrap();
    let file = path.to_str().unwrap();
    let of_file = meterwright(&["reconcile", &seed, "--fill", file]);
    assert_eq!(code(&of_file), 0, "{}", said(&of_file));
    assert_eq!(printed(&of_file), printed(&run(&seed, &fill(&[]), &[])));
    fs::write(&path, text.replace("\"30 kg\"", "\"1350 kg\"")).unwrap();
    let wrong = meterwright(&["reconcile", &seed, "--fill", file]);
    assert_eq!(code(&wrong), 3);
    assert!(said(&wrong).contains("fill.toml:3:8"), "{}", said(&wrong));
}

#[test]
fn a_meter_curve_is_scaled_as_a_whole_and_needs_the_shaft_speed() {
    let folder = tempdir().unwrap();
    let (old, new) = (folder.path().join("seed.toml"), folder.path().join("new.toml"));
    let curve = "name = \"lot 7\"\nrate = \"110 kg/ha\"\nmeter_curve = [[\"0.5 turns/s\", \"0.124 kg\"], \
                 [\"1 turns/s\", \"0.116 kg\"]]\n";
    fs::write(&old, curve).unwrap();
    let (seed, out) = (old.to_str().unwrap(), new.to_str().unwrap());
    let output = run(seed, &fill(&[]), &["--out", out]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("--shaft-speed"), "{}", said(&output));
    // 1320 kg by 11 000 turns are 0.12 kg; the curve says 0.124 kg at 0.4 turns/s: all by 0.12/0.124.
    let output = run(seed, &fill(&[]), &["--shaft-speed", "0.4 turns/s", "--out", out]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    let mended = fs::read_to_string(&new).unwrap();
    assert!(mended.contains("\"0.12 kg\"") && mended.contains("\"0.112258 kg\""), "{mended}");
}

#[test]
fn a_fill_in_pounds_and_acres_is_shown_so() {
    let folder = tempdir().unwrap();
    let options =
        fill(&[("--loaded", "2976 lb 3 oz"), ("--left", "66 lb"), ("--area", "29.65 ac")]);
    let output = run(&seed(folder.path()), &options, &["--units", "us"]);
    assert_eq!(code(&output), 0, "{}{}", said(&output), printed(&output));
    let text = printed(&output);
    assert!(text.contains("lb/ac") && text.contains("29.65 ac") && !text.contains(" kg"), "{text}");
}
