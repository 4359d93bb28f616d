//! Run sheets, logs and as-built files that are wrong: what is said, and that nothing is written.

use super::bench::{code, meterwright, printed, root, said};
use std::fs;
use std::path::Path;
use tempfile::{TempDir, tempdir};

/// A folder with the demo's runs and drills, to be spoilt.
fn copied() -> TempDir {
    let folder = tempdir().unwrap();
    for part in ["runs", "drills"] {
        fs::create_dir(folder.path().join(part)).unwrap();
        for entry in fs::read_dir(root().join("demo-data").join(part)).unwrap() {
            let from = entry.unwrap().path();
            fs::copy(&from, folder.path().join(part).join(from.file_name().unwrap())).unwrap();
        }
    }
    folder
}

/// Replaces `old`, which must be there, in a file.
fn spoil(file: &Path, old: &str, new: &str) {
    let text = fs::read_to_string(file).unwrap();
    assert!(text.contains(old), "{} has no {old}", file.display());
    fs::write(file, text.replace(old, new)).unwrap();
}

/// Fits the demo sheet with `old` replaced; what is said with exit code 3 and nothing written.
fn refused(old: &str, new: &str) -> String {
    let folder = copied();
    let sheet = folder.path().join("runs/demo-runs.toml");
    spoil(&sheet, old, new);
    refusal(&sheet)
}

/// What `fit` says of a sheet with exit code 3 and nothing written.
fn refusal(sheet: &Path) -> String {
    let out = sheet.with_file_name("built.toml");
    let output = meterwright(&["fit", sheet.to_str().unwrap(), "-o", out.to_str().unwrap()]);
    assert_eq!(code(&output), 3, "{}{}", printed(&output), said(&output));
    assert!(!out.exists(), "written all the same");
    said(&output)
}

/// Sizes the demo's built drill with its as-built file spoilt; what is said with exit code 3.
fn built_refused(old: &str, new: &str) -> String {
    let folder = copied();
    spoil(&folder.path().join("runs/demo-as-built.toml"), old, new);
    drill_refused(&folder)
}

fn drill_refused(folder: &TempDir) -> String {
    let drill = folder.path().join("drills/as-built.toml");
    let output = meterwright(&["size", drill.to_str().unwrap(), "demo-data/seeds/demo-110.toml"]);
    assert_eq!(code(&output), 3, "{}{}", printed(&output), said(&output));
    said(&output)
}

#[test]
fn a_log_that_is_listed_twice_is_refused_with_its_line() {
    let text = refused("\"delivery-2.csv\"", "\"delivery-1.csv\"");
    assert!(text.contains("demo-runs.toml:49:7") && text.contains("listed already"), "{text}");
}

#[test]
fn what_no_drill_has_is_not_written() {
    let folder = copied();
    for pass in 1..=6 {
        let log = folder.path().join(format!("runs/ground-{pass}.csv"));
        let text = fs::read_to_string(&log).unwrap();
        let (head, rows) = text.split_once("marks\n").unwrap();
        let many = |row: &str| {
            let (t_s, rest) = row.split_once(',').unwrap();
            let (pulses, rest) = rest.split_once(',').unwrap();
            format!("{t_s},{pulses}00,{rest}\n")
        };
        fs::write(&log, format!("{head}marks\n{}", rows.lines().map(many).collect::<String>()))
            .unwrap();
    }
    let text = refusal(&folder.path().join("runs/demo-runs.toml"));
    assert!(text.contains("no drill has") && text.contains("2000 /m"), "{text}");
}

#[test]
fn replacing_spares_every_file_that_was_read() {
    let folder = copied();
    let sheet = folder.path().join("runs/demo-runs.toml");
    for name in ["runs/demo-runs.toml", "runs/spin.csv", "drills/reference.toml"] {
        let file = folder.path().join(name);
        let before = fs::read(&file).unwrap();
        let (sheet, out) = (sheet.to_str().unwrap(), file.to_str().unwrap());
        let output = meterwright(&["fit", sheet, "-o", out, "--replace"]);
        assert_eq!(code(&output), 2, "{name}: {}", said(&output));
        assert!(fs::read(&file).unwrap() == before, "{name} was written over");
    }
}

#[test]
fn wanted_speeds_the_wrong_way_round_are_refused() {
    let text = refused("lowest_wanted = \"0.1 turns/s\"", "lowest_wanted = \"3 turns/s\"");
    assert!(text.contains("not below highest_wanted"), "{text}");
}

#[test]
fn a_sheet_without_a_run_says_which_tables_it_wants() {
    let folder = copied();
    let sheet = folder.path().join("runs/demo-runs.toml");
    fs::write(&sheet, "date = \"2026-04-02\"\ndrill = \"../drills/reference.toml\"\n").unwrap();
    let text = refusal(&sheet);
    assert!(text.contains("add [[spin]], [[ground]]") && !text.contains("= ..."), "{text}");
}

#[test]
fn a_wrong_field_of_a_log_is_named_with_its_column_and_range() {
    let folder = copied();
    spoil(&folder.path().join("runs/spin.csv"), "2.000000,0.080003,", "2.000000,8.0003,");
    let text = refusal(&folder.path().join("runs/demo-runs.toml"));
    assert!(text.contains("spin.csv:46:10") && text.contains("0 to 1"), "{text}");
}

#[test]
fn a_scatter_that_is_not_known_is_left_out() {
    let folder = copied();
    let sheet = folder.path().join("runs/one.toml");
    let text = "date = \"2026-04-02\"\ndrill = \"../drills/reference.toml\"\n[[ground]]\n\
                log = \"ground-1.csv\"\ntape = \"100.0 m\"\nway = \"there\"\n";
    fs::write(&sheet, text).unwrap();
    let text = printed(&meterwright(&["fit", sheet.to_str().unwrap()]));
    assert!(text.contains("pulses = \"131.6700 /m\"\nfrom"), "{text}");
}

#[test]
fn an_as_built_file_with_a_side_twice_is_refused() {
    let text = built_refused("[[side]]", "[[side]]\nname = \"drill\"\n[[side]]");
    assert!(text.contains("is there twice"), "{text}");
}

#[test]
fn an_as_built_file_without_a_measured_number_is_refused() {
    let folder = copied();
    let file = folder.path().join("runs/demo-as-built.toml");
    fs::write(&file, "date = \"2026-04-02\"\nruns = 12\n").unwrap();
    let text = drill_refused(&folder);
    assert!(text.contains("measured number"), "{text}");
}

#[test]
fn a_drill_file_is_no_as_built_file() {
    let folder = copied();
    let drill = folder.path().join("drills/as-built.toml");
    spoil(&drill, "../runs/demo-as-built.toml", "as-built.toml");
    let text = drill_refused(&folder);
    assert!(text.contains("it is a drill file"), "{text}");
}

#[test]
fn invented_numbers_mark_the_drill_that_uses_them() {
    let folder = copied();
    let drill = folder.path().join("drills/as-built.toml");
    spoil(&drill, "demo = true", "demo = false");
    let seed = folder.path().join("seed.toml");
    fs::copy(root().join("demo-data/seeds/demo-110.toml"), &seed).unwrap();
    spoil(&seed, "demo = true", "demo = false");
    let arguments = ["size", drill.to_str().unwrap(), seed.to_str().unwrap()];
    assert!(printed(&meterwright(&arguments)).contains("(demo)"));
    spoil(&folder.path().join("runs/demo-as-built.toml"), "demo = true", "demo = false");
    assert!(!printed(&meterwright(&arguments)).contains("(demo)"));
}

#[test]
fn a_log_of_another_encoder_than_the_drills_is_refused() {
    let folder = copied();
    spoil(
        &folder.path().join("drills/reference.toml"),
        "encoder_pulses = 180",
        "encoder_pulses = 360",
    );
    let text = refusal(&folder.path().join("runs/demo-runs.toml"));
    assert!(text.contains("demo-runs.toml:8:7") && text.contains("180 pulses per turn"), "{text}");
}

#[test]
fn a_spin_run_of_a_motorised_valve_is_refused() {
    let text = refused("../drills/reference.toml", "../drills/motorised.toml");
    assert!(text.contains("motorised") && text.contains("leave [[spin]] out"), "{text}");
}

#[test]
fn an_as_built_file_does_not_turn_a_motorised_valve_into_a_proportional_one() {
    let folder = copied();
    let motorised = fs::read_to_string(folder.path().join("drills/motorised.toml")).unwrap();
    let named = format!("as_built = \"../runs/demo-as-built.toml\"\n{motorised}");
    fs::write(folder.path().join("drills/as-built.toml"), named).unwrap();
    let text = drill_refused(&folder);
    assert!(text.contains("has a motorised valve"), "{text}");
}

#[test]
fn every_side_is_sized_by_its_own_measured_drive() {
    let folder = copied();
    let drill = fs::read_to_string(folder.path().join("drills/two-sides.toml")).unwrap();
    let named = format!("as_built = \"built.toml\"\n{drill}");
    let file = folder.path().join("drills/x.toml");
    fs::write(&file, named).unwrap();
    let side = |name: &str, full: f64| {
        format!(
            "[[side]]\nname = \"{name}\"\n[side.drive]\nmap = [[0.2, \"0 turns/s\"], [1.0, \"{full} turns/s\"]]\n\
             lag = \"0.15 s\"\ndead_time = \"0.05 s\"\n"
        )
    };
    let built = format!("date = \"x\"\nruns = 2\n{}{}", side("left", 1.2), side("right", 0.6));
    fs::write(folder.path().join("drills/built.toml"), built).unwrap();
    let text =
        printed(&meterwright(&["size", file.to_str().unwrap(), "demo-data/seeds/demo-110.toml"]));
    let fastest: Vec<&str> = text.lines().filter(|line| line.contains("Fastest")).collect();
    assert!(fastest.len() == 2 && fastest[0] != fastest[1], "{text}");
}

#[test]
fn a_drill_of_two_boxes_is_not_sent_to_a_replay_that_refuses_it() {
    let drill = "demo-data/drills/two-boxes.toml";
    let text = printed(&meterwright(&["size", drill, "demo-data/seeds/demo-small.toml"]));
    assert!(text.contains("second_seed") && !text.contains("meterwright replay"), "{text}");
}

#[test]
fn a_tape_that_the_receiver_contradicts_by_far_is_refused() {
    let folder = copied();
    let sheet = folder.path().join("runs/demo-runs.toml");
    let text = fs::read_to_string(&sheet).unwrap();
    assert!(text.contains("tape = \"100.0 m\""), "{text}");
    fs::write(&sheet, text.replacen("tape = \"100.0 m\"", "tape = \"500 m\"", 1)).unwrap();
    let said = refusal(&sheet);
    assert!(said.contains("500") && said.contains("by the receiver"), "{said}");
}

#[test]
fn a_delivery_run_whose_shaft_gave_no_edge_is_refused() {
    let folder = copied();
    for log in ["delivery-1.csv", "delivery-2.csv"] {
        let file = folder.path().join("runs").join(log);
        let text = fs::read_to_string(&file).unwrap();
        let still = |line: &str| {
            let mut fields: Vec<&str> = line.split(',').collect();
            if fields.len() == 6 && line.starts_with(|it: char| it.is_ascii_digit()) {
                fields[2] = "0";
            }
            fields.join(",")
        };
        let lines: Vec<String> = text.lines().map(still).collect();
        fs::write(&file, lines.join("\n") + "\n").unwrap();
    }
    let said = refusal(&folder.path().join("runs/demo-runs.toml"));
    assert!(said.contains("delivery-1.csv") && said.contains("never turned"), "{said}");
}

#[test]
fn a_date_that_is_none_is_refused_with_its_line() {
    for wrong in ["2026-13-45", "yesterday", "2026-4-2", "26-04-02"] {
        let said = refused("2026-04-02", wrong);
        assert!(said.contains("demo-runs.toml:") && said.contains("2026-04-02"), "{said}");
    }
}
