//! A run sheet or as-built file with a mistake is refused with the line and what would be right.

use sim::fit::sheet::{SheetError, measure};
use sim::input::InputError;
use sim::scenario::read;
use std::fs;

/// The demo sheet with one thing changed, its paths made absolute.
fn changed(from: &str, to: &str) -> Result<(), SheetError> {
    let text = fs::read_to_string(tests::demo("runs/demo-runs.toml")).expect("the demo sheet");
    assert!(text.contains(from), "{from:?} is not in the sheet");
    let runs = fs::canonicalize(tests::demo("runs")).expect("the folder");
    let text = text.replacen(from, to, 1).replace("../drills", "DRILLS");
    let text = text.replace("log = \"", &format!("log = \"{}/", runs.display()));
    let text = text.replace("DRILLS", &format!("{}/../drills", runs.display()));
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("sheet.toml");
    fs::write(&file, text).expect("the sheet is written");
    measure(&file).map(drop)
}

fn input(from: &str, to: &str) -> InputError {
    match changed(from, to) {
        Err(SheetError::Input(error)) => error,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_sheet_with_a_mistake_is_refused_with_its_line() {
    let table = [
        ("tape = \"100.0 m\"", "tape = \"100.0\"", "unit"),
        ("way = \"there\"", "way = \"thre\"", "thre"),
        ("side = \"drill\"", "side = \"left\"", "left"),
        ("tape = \"100.0 m\"", "tap = \"100.0 m\"", "tap"),
        ("log = \"spin.csv\"", "log = \"spun.csv\"", "not there"),
        ("whole = \"45.01 m\"", "whole = \"20.0 m\"", "order"),
    ];
    for (from, to, word) in table {
        let error = input(from, to);
        assert!(error.to_string().contains(word), "{from} to {to}: {error}");
        assert!(error.line().is_some() && !error.remedy.is_empty(), "{error}");
    }
}

#[test]
fn a_log_of_another_run_is_refused() {
    let error = changed("log = \"spin.csv\"", "log = \"ground-1.csv\"").unwrap_err().to_string();
    assert!(error.contains("ground run") && error.contains("spin run"), "{error}");
}

#[test]
fn a_side_that_is_listed_twice_is_refused() {
    let spin = "[[spin]]\nside = \"drill\"\nlog = \"spin.csv\"\n";
    let error = input("[[delivery]]", &format!("{spin}\n[[delivery]]"));
    assert!(error.what.contains("twice"), "{error}");
}

#[test]
fn an_as_built_file_of_another_drill_is_refused() {
    let drill = fs::read_to_string(tests::demo("drills/as-built.toml")).expect("the demo drill");
    let built = fs::read_to_string(tests::demo("runs/demo-as-built.toml")).expect("the file");
    let folder = tempfile::tempdir().expect("a folder");
    let write = |name: &str, text: String| {
        fs::write(folder.path().join(name), text).expect("a file is written");
    };
    write("drill.toml", drill.replace("../runs/demo-as-built.toml", "built.toml"));
    write("built.toml", built.replace("name = \"drill\"", "name = \"left\""));
    let error = read::drill(&folder.path().join("drill.toml")).unwrap_err();
    assert!(error.file.ends_with("built.toml") && error.line().is_some(), "{error}");
    assert!(error.to_string().contains("left"), "{error}");
}

#[test]
fn a_drill_without_a_told_machine_is_judged_on_the_measured_one() {
    let drill = fs::read_to_string(tests::demo("drills/as-built.toml")).expect("the demo drill");
    let (told, _) = drill.split_once("# What the bench's machine").expect("a machine");
    let folder = tempfile::tempdir().expect("a folder");
    let built = fs::canonicalize(tests::demo("runs/demo-as-built.toml")).expect("the file");
    let text = told.replace("../runs/demo-as-built.toml", &built.display().to_string());
    let file = folder.path().join("drill.toml");
    fs::write(&file, text).expect("the drill is written");
    let drill = read::drill(&file).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(drill.truth.drive, *drill.told_of(&drill.sides[0]));
    assert!((drill.true_delivery_delay_s() - drill.delivery_delay_s).abs() < 1e-12);
}
