//! `sweep`, `sweep merge` and `sweep repeat` as a script meets them.

use super::bench::{code, document, meterwright, printed, root, said};
use std::fs;
use std::path::Path;
use tempfile::tempdir;

/// Writes a ranges file over one short scenario; gives its path.
pub(crate) fn ranges(folder: &Path, tolerance: &str) -> String {
    let scenario = root().join("demo-data/scenarios/ramp-1.0-pulses.toml");
    let text = format!(
        "title = \"a few machines\"\ncases = 5\nseed = 3\nhypercube = true\n\n[[scenario]]\n\
         file = '{}'\ntolerance = {{ {tolerance} }}\n\n[vary]\n\
         lag = {{ from = \"0.1 s\", to = \"0.2 s\" }}\nwheel_slip = {{ from = 0, to = \"3 %\" }}\n",
        scenario.display()
    );
    let path = folder.join("ranges.toml");
    fs::write(&path, text).expect("the folder can be written");
    path.to_str().expect("a plain path").to_owned()
}

/// A bound that holds.
const KEPT: &str = "within_10_pct = { at_least = 50 }";

/// Path of a file in a folder.
fn file(folder: &Path, name: &str) -> String {
    folder.join(name).to_str().expect("a plain path").to_owned()
}

/// Runs shards into files of a folder; gives their paths.
fn shards(folder: &Path, ranges: &str, of: u32) -> Vec<String> {
    let run = |index: u32| {
        let out = file(folder, &format!("{index}.csv"));
        let shard = format!("{index}/{of}");
        let threads = index.to_string();
        let arguments = ["sweep", ranges, "--shard", &shard, "-o", &out, "--threads", &threads];
        let output = meterwright(&arguments);
        assert_eq!(code(&output), 0, "{}", said(&output));
        out
    };
    (1..=of).map(run).collect()
}

#[test]
fn merged_shards_are_the_same_bytes_as_one_run() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), KEPT);
    let (one, merged) = (file(folder.path(), "one.csv"), file(folder.path(), "merged.csv"));
    let shards = shards(folder.path(), &ranges, 3);
    for json in [&[][..], &["--json"]] {
        let whole =
            meterwright(&[&["sweep", &ranges, "-o", &one, "--threads", "1"], json].concat());
        let mut arguments = vec!["sweep", "merge", "-o", &merged];
        // Any order will do.
        arguments.extend(shards.iter().rev().map(String::as_str));
        arguments.extend(json);
        let put_together = meterwright(&arguments);
        assert_eq!(code(&whole), 0, "{}", said(&whole));
        assert_eq!(printed(&whole), printed(&put_together), "{}", said(&put_together));
        assert_eq!(said(&whole), "", "no progress in a pipe");
    }
    assert_eq!(fs::read(&one).unwrap(), fs::read(&merged).unwrap());
}

#[test]
fn the_line_printed_for_the_worst_case_repeats_it() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), KEPT);
    let sweep = document(&meterwright(&["sweep", &ranges, "--json"]));
    let scenario = &sweep["scenarios"][0];
    let line = scenario["worst"]["repeat"].as_str().expect("a command line");
    let mut arguments: Vec<&str> = line.split(' ').skip(1).collect();
    arguments.push("--json");
    let again = document(&meterwright(&arguments));
    assert_eq!(again["case"], scenario["worst"]["case"]);
    assert_eq!(again["values"], scenario["worst"]["values"]);
    let named = |list: &serde_json::Value, figure: &str, key: &str| {
        let list = list.as_array().expect("a list");
        list.iter().find(|it| it["figure"] == figure).expect("the figure")[key].clone()
    };
    let have = named(&again["scenarios"][0]["figures"], "rms_pct", "value");
    assert_eq!(have, named(&scenario["figures"], "rms_pct", "worst"));
}

#[test]
fn a_bound_missed_in_any_case_ends_with_1_and_names_the_worst() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), "mass_pct = { within = 1 }");
    let output = meterwright(&["sweep", &ranges]);
    let text = printed(&output);
    assert_eq!(code(&output), 1, "{text}");
    assert!(text.contains("MISSED in ramp-1.0-pulses: seed laid against seed owed"), "{text}");
    let line = text.lines().find(|line| line.contains("sweep repeat")).expect("how to repeat it");
    let arguments: Vec<&str> = line.trim().split(' ').skip(3).collect();
    let again = meterwright(&arguments);
    assert_eq!(code(&again), 1, "{line}: {}{}", said(&again), printed(&again));
}

#[test]
fn a_wrong_command_line_ends_with_2() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), KEPT);
    for arguments in [
        &["sweep", &ranges, "--shard", "1/3"][..],
        &["sweep", &ranges, "--shard", "4/3", "-o", "x.csv"],
        &["sweep", &ranges, "--cases", "0"],
        &["sweep", &ranges, "--threads", "0"],
        &["sweep", &ranges, "-o", &ranges],
        &["sweep", "merge"],
        &["sweep", "repeat", &ranges],
        &["sweep", "repeat", &ranges, "--case", "6"],
    ] {
        let output = meterwright(arguments);
        assert_eq!(code(&output), 2, "{arguments:?}: {}", said(&output));
        assert!(!said(&output).is_empty() && printed(&output).is_empty(), "{arguments:?}");
    }
}

#[test]
fn shards_that_are_no_whole_sweep_end_with_3() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), KEPT);
    let shards = shards(folder.path(), &ranges, 2);
    let [first, second] = [shards[0].as_str(), shards[1].as_str()];
    let refused = |files: &[&str], why: &str| {
        let output = meterwright(&[&["sweep", "merge"], files].concat());
        assert_eq!(code(&output), 3, "{files:?}: {}", said(&output));
        assert!(said(&output).contains(why), "no {why:?} in {}", said(&output));
    };
    refused(&[first], "case 2 of 5 is still missing");
    refused(&[first, second, first], "is in");
    let text = fs::read_to_string(second).unwrap();
    fs::write(second, text.trim_end()).unwrap();
    refused(&[first, second], "2.csv:10:1: the line is not that of case 4, scenario 0");
    fs::write(second, text.replace("# seed = 3", "# seed = 4")).unwrap();
    refused(&[first, second], "2.csv:9:1: the line is not that of case 2");
    fs::write(second, text.replace("# fingerprint = ", "# fingerprint = f")).unwrap();
    refused(&[first, second], "2.csv:3:1");
    fs::write(second, &text).unwrap();
    let changed = fs::read_to_string(&ranges).unwrap().replace("3 %", "4 %");
    fs::write(&ranges, changed).unwrap();
    refused(&[first, second], "does not fit the ranges file as it is now");
}

#[test]
fn a_wrong_ranges_file_ends_with_3_and_its_line() {
    let folder = tempdir().unwrap();
    let ranges = ranges(folder.path(), KEPT);
    let text = fs::read_to_string(&ranges).unwrap();
    fs::write(&ranges, text.replace("wheel_slip", "weel_slip")).unwrap();
    let output = meterwright(&["sweep", &ranges]);
    assert_eq!(code(&output), 3);
    let want =
        format!("{ranges}:12:1: \"weel_slip\" is not a key of [vary]; did you mean wheel_slip?");
    assert!(said(&output).contains(&want), "no {want:?} in {}", said(&output));
}
