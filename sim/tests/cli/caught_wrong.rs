//! `catch` refuses what cannot be: exit code 3, the place, what would be right, and nothing written.

use super::bench::{code, meterwright, names, said};
use super::caught::{PUBLISHED, sheet};
use tempfile::tempdir;

/// A command line ends with exit code 3, says `words`, and leaves no seed file.
#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let folder = tempdir().unwrap();
    let out = folder.path().join("seed.toml");
    let seed = ["--out", out.to_str().unwrap()];
    let output = meterwright(&[&["catch"], arguments, &seed[..]].concat());
    let said = said(&output);
    assert_eq!(code(&output), 3, "{arguments:?}: {said}");
    assert_eq!(names(folder.path()), Vec::<String>::new(), "nothing is written");
    for word in words {
        assert!(said.contains(word), "{arguments:?}: no {word:?} in {said}");
    }
}

/// The same for the published sheet with one thing changed; the place is named.
#[track_caller]
fn refused_sheet(from: &str, to: &str, words: &[&str]) {
    assert!(PUBLISHED.contains(from), "{from}");
    let folder = tempdir().unwrap();
    let file = sheet(folder.path(), &PUBLISHED.replacen(from, to, 1));
    refused(&[&file], &[&["sheet.toml:"], words].concat());
}

#[test]
fn a_mass_below_zero_is_refused() {
    refused_sheet("\"22.6 g\"", "\"-22.6 g\"", &["\"-22.6 g\" is out of range", "masses"]);
    let quick = ["--turns", "50", "--outlets", "25", "--total", "-270 g"];
    refused(&quick, &["--total", "\"-270 g\" is out of range"]);
}

#[test]
fn no_turns_are_refused() {
    refused_sheet("turns = 50", "turns = 0", &["0 turns are no catch", "0.1 to 100000"]);
    refused_sheet("turns = 50", "turns = \"50\"", &["plain number"]);
    for turns in ["0", "-5", "nan", "many"] {
        refused(&["--turns", turns, "--outlets", "25", "--total", "270 g"], &["--turns"]);
    }
}

#[test]
fn more_outlets_caught_than_there_are_is_refused() {
    refused_sheet("outlets = 25", "outlets = 11", &["12 outlets were caught of 11"]);
    refused_sheet("outlets = 25", "outlets = 25\ncaught = 13", &["12 masses for 13 outlets"]);
    refused_sheet("outlets = 25", "outlets = 0", &["1 to 500"]);
    let quick = ["--turns", "50", "--outlets", "25", "--total", "270 g", "--caught"];
    for caught in ["26", "0"] {
        let words = format!("{caught} outlets were caught of 25");
        refused(&[&quick[..], &[caught]].concat(), &["--caught", &words]);
    }
    refused(&["--turns", "50", "--outlets", "0", "--total", "270 g"], &["--outlets"]);
}

#[test]
fn a_tare_above_what_was_weighed_is_refused() {
    refused_sheet(
        "turns = 50",
        "turns = 50\ntare = \"22.5 g\"",
        &["tare of 0.0225 kg", "0.0224 kg"],
    );
    let quick = ["--turns", "50", "--outlets", "25", "--total", "270 g", "--tare"];
    refused(&[&quick[..], &["271 g"]].concat(), &["--tare", "above"]);
    refused(&[&quick[..], &["270 g"]].concat(), &["--total", "nothing was caught"]);
}

#[test]
fn units_that_do_not_match_are_refused() {
    refused_sheet("\"22.6 g\"", "\"22.6 ft\"", &["a length", "a mass such as"]);
    refused_sheet("9.0 kg/ha", "9.0 kg", &["a mass", "a seeding rate such as"]);
    refused_sheet(
        "turns = 50",
        "turns = 50\nshaft = \"50 mph\"",
        &["a speed", "a shaft speed such as"],
    );
    let quick = ["--turns", "50", "--outlets", "25", "--total"];
    refused(&[&quick[..], &["270"]].concat(), &["--total", "no unit"]);
}

#[test]
fn catches_that_contradict_each_other_are_refused() {
    refused_sheet(
        "turns = 50",
        "turns = 50\ntotal = \"271 g\"",
        &["masses and total are both given"],
    );
    refused_sheet("turns = 50\nmasses", "turns = 50\n# masses", &["a catch without a mass"]);
    refused_sheet("turns = 50", "turns = 50\nspeed = 1", &["\"speed\" is not a key of [[catch]]"]);
    refused_sheet(
        "[[catch]]",
        "[[catch]]\nturns = 1\ntotal = \"9 g\"\nshaft = \"1 turns/s\"\n[[catch]]",
        &["no shaft speed"],
    );
    refused_sheet(
        "[[catch]]",
        "[[catch]]\nturns = 1\nmasses = [\"9 g\"]\n[[catch]]",
        &["12 masses here, 1 in the first"],
    );
    refused_sheet("2026-03-28", "28 March", &["a day such as"]);
    refused_sheet("[[catch]]", "[[catches]]", &["did you mean catch"]);
}

#[test]
fn a_meter_curve_that_does_not_rise_is_refused() {
    let folder = tempdir().unwrap();
    let catch = |shaft: &str, total: &str| {
        format!("[[catch]]\nturns = 50\nshaft = \"{shaft} turns/s\"\ntotal = \"{total} g\"\n")
    };
    let text = [
        "name = \"a\"\ndate = \"2026-03-28\"\nrate = \"9 kg/ha\"\noutlets = 12\n".to_owned(),
        catch("1", "300"),
        catch("2", "150"),
    ]
    .concat();
    refused(&[&sheet(folder.path(), &text)], &["sheet.toml:9", "lays no more in a second"]);
    let many: String = (1..=7).map(|at| catch(&at.to_string(), "300")).collect();
    let text =
        format!("name = \"a\"\ndate = \"2026-03-28\"\nrate = \"9 kg/ha\"\noutlets = 12\n{many}");
    refused(&[&sheet(folder.path(), &text)], &["7 shaft speeds are too many"]);
}

#[test]
fn a_seed_file_without_rate_or_with_a_mass_no_meter_has_is_refused() {
    let quick = [
        "--turns",
        "50",
        "--outlets",
        "25",
        "--total",
        "270 g",
        "--name",
        "a",
        "--date",
        "2026-03-28",
    ];
    refused(&quick, &["--rate", "none is told"]);
    let heavy = [
        "--turns",
        "1",
        "--outlets",
        "2",
        "--total",
        "90 kg",
        "--name",
        "a",
        "--date",
        "2026-03-28",
        "--rate",
        "9 kg/ha",
    ];
    refused(&heavy, &["no seed file", "out of range"]);
    let folder = tempdir().unwrap();
    let file = sheet(folder.path(), &PUBLISHED.replace("rate = \"9.0 kg/ha\"", ""));
    refused(&[&file], &["sheet.toml", "a rate"]);
}
