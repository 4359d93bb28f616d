//! Ranges files that are wrong are refused with their place; the demo ones are right.

use super::file;
use sim::sweep::read;
use std::fs;
use tempfile::tempdir;
use tests::demo;

#[test]
fn wrong_ranges_are_refused_with_their_place_and_what_would_be_right() {
    let folder = tempdir().unwrap();
    // Ranges begin in line 7.
    let cases = [
        ("lag = { from = \"0.1 s\" }", "7:1", "[lag] has no to; add a line to = ..."),
        (
            "lag = { from = \"0.1 m\", to = \"0.2 s\" }",
            "7:16",
            "\"0.1 m\" is a length; from wants a time",
        ),
        ("lag = { from = 0.1, to = \"0.2 s\" }", "7:16", "\"0.1\" has no unit"),
        ("lag = { from = \"0.1 s\", to = \"9 s\" }", "7:30", "to works from 0.01 s to 2 s"),
        ("lag = { from = \"0.2 s\", to = \"0.1 s\" }", "7:30", "is not above from"),
        ("leg = { from = 1, to = 2 }", "7:1", "did you mean lag?"),
        ("gain = { from = 0.8, to = 1.2, spred = \"x\" }", "7:32", "did you mean spread?"),
        (
            "gain = { from = 0.8, to = 1.2, spread = \"log\" }",
            "7:41",
            "spread wants \"uniform\" or",
        ),
        (
            "gain = { from = 0.8, to = 1.2, mean = 1 }",
            "7:39",
            "mean means nothing with this spread",
        ),
        ("gain = { from = 0.8, to = 1.2, spread = \"normal\" }", "7:1", "[gain] has no mean"),
        ("swing = { from = 0, to = 0.1, spread = \"log-uniform\" }", "7:18", "has no logarithm"),
        ("encoder_pulses = { from = 60.5, to = 360 }", "7:27", "a whole number, 1 to 4096"),
        (
            "gnss_noise = { from = \"0 m/s\", to = \"0.1 m/s\" }",
            "7:1",
            "changes nothing without a scenario with GNSS",
        ),
        ("meter_pulsation = { from = 0, to = 0.1 }", "7:1", "without flutes of the meter"),
        ("dip_every = { from = \"5 s\", to = \"9 s\" }", "7:1", "without dip_depth"),
        ("", "6:2", "names no parameter; vary one, such as gain"),
    ];
    for (vary, place, why) in cases {
        let error = read(&file(&folder, "", vary)).expect_err(vary).to_string();
        assert!(
            error.contains(&format!(".toml:{place}: ")) && error.contains(why),
            "{vary}: {error}"
        );
    }
    let good = "lag = { from = \"0.1 s\", to = \"0.2 s\" }";
    for (head, why) in [("cases = 0", "a whole number, 1 to"), ("case = 3", "did you mean cases?")]
    {
        let error = read(&file(&folder, head, good)).expect_err(head).to_string();
        assert!(error.contains(".toml:2:") && error.contains(why), "{head}: {error}");
    }
}

#[test]
fn a_bound_on_a_figure_that_no_sweep_has_is_refused() {
    let folder = tempdir().unwrap();
    let path = file(&folder, "", "gain = { from = 0.8, to = 1.2 }");
    let text = fs::read_to_string(&path).unwrap();
    let bound = "\n\n[scenario.tolerance]\nfloor_ratio = { at_least = 1 }\n\n[vary]";
    fs::write(&path, text.replace("\n\n[vary]", bound)).unwrap();
    let error = read(&path).expect_err("no limit law runs").to_string();
    assert!(error.contains("floor_ratio is no figure of a sweep"), "{error}");
}

#[test]
fn the_demo_ranges_are_read_and_have_bounds_on_every_scenario() {
    for entry in fs::read_dir(demo("sweeps")).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|it| it == "toml") {
            let ranges = read(&path).unwrap_or_else(|error| panic!("{error}"));
            assert!(ranges.demo, "{}", path.display());
            let bound = |it: &sim::scenario::Scenario| !it.tolerances.is_empty();
            assert!(ranges.scenarios.iter().all(bound), "{} can only pass", path.display());
        }
    }
}
