//! `docs/schema.md` names every key and column, and no other.

use super::bench::{PASSING, document, meterwright, missing, root, scenario, step_log};
use super::live_wrong::turned_over;
use super::peer::{at_socket, changed, station};
use serde_json::Value;
use sim::report::SCHEMA_VERSION;
use std::collections::BTreeSet;
use std::fs;
use tempfile::tempdir;

/// First column of the table below a heading of the page.
fn documented(heading: &str) -> BTreeSet<String> {
    let page = fs::read_to_string(root().join("docs/schema.md")).expect("docs/schema.md is there");
    let lines = page.lines().skip_while(|line| *line != heading).skip(1);
    let section = lines.take_while(|line| !line.starts_with('#'));
    let keys: BTreeSet<String> = section
        .filter_map(|line| line.strip_prefix("| `")?.split('`').next().map(str::to_owned))
        .collect();
    assert!(!keys.is_empty(), "no table below {heading:?}");
    keys
}

/// Paths of every leaf: `verdicts[].score.rms_pct`.
fn leaves(value: &Value, path: &str, found: &mut BTreeSet<String>) {
    match value {
        Value::Object(map) => {
            for (key, value) in map {
                let dot = if path.is_empty() { "" } else { "." };
                leaves(value, &format!("{path}{dot}{key}"), found);
            }
        }
        Value::Array(list) if !list.is_empty() => {
            for value in list {
                leaves(value, &format!("{path}[]"), found);
            }
        }
        Value::Array(_) => drop(found.insert(format!("{path}[]"))),
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {
            found.insert(path.to_owned());
        }
    }
}

fn paths(document: &Value) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    leaves(document, "", &mut found);
    found
}

/// Fails with the difference alone.
fn assert_same(have: &BTreeSet<String>, documented: &BTreeSet<String>) {
    let extra: Vec<_> = have.difference(documented).collect();
    let lacking: Vec<_> = documented.difference(have).collect();
    assert!(
        extra.is_empty() && lacking.is_empty(),
        "not documented: {extra:#?}\ndocumented, but not there: {lacking:#?}"
    );
}

/// The figures of a score stand in a table of their own.
fn with_figures(keys: &BTreeSet<String>) -> BTreeSet<String> {
    let figures = documented("### Figures of a score");
    let mut all = BTreeSet::new();
    for key in keys {
        match key.strip_suffix(".*") {
            Some(score) => all.extend(figures.iter().map(|figure| format!("{score}.{figure}"))),
            None => drop(all.insert(key.clone())),
        }
    }
    all
}

#[test]
fn the_verdict_document_has_exactly_the_documented_keys() {
    let folder = tempdir().unwrap();
    let out = folder.path().join("out");
    let missing = missing(folder.path());
    let output = meterwright(&["run", &missing, "--out", out.to_str().unwrap(), "--json"]);
    let document = document(&output);
    assert_eq!(document["schema_version"], SCHEMA_VERSION);
    let documented = with_figures(&documented("## Verdicts: `verify`, `run`, `replay`"));
    assert_same(&paths(&document), &documented);
}

#[test]
fn the_live_document_adds_exactly_the_documented_keys() {
    // A bit that is turned over, so that there is a first difference.
    let port = at_socket(changed(station(PASSING), turned_over(702)));
    let live = document(&meterwright(&["live", "--port", &port, PASSING, "--json"]));
    let board = paths(&live).into_iter().filter(|path| path.starts_with("board"));
    assert_same(&board.collect(), &documented("## Live: `live`"));
}

#[test]
fn the_fit_document_has_exactly_the_documented_keys() {
    let folder = tempdir().unwrap();
    // Played once, so that there is a caution.
    let log = step_log(folder.path());
    let rows = fs::read_to_string(&log).unwrap();
    let once = rows.lines().count() / 3;
    let rows: Vec<&str> = rows.lines().take(once).collect();
    fs::write(&log, rows.join("\n") + "\n").unwrap();
    let document = document(&meterwright(&["fit", &log, "--json"]));
    assert_same(&paths(&document), &documented("## Fit: `fit`"));
}

#[test]
fn the_size_document_has_exactly_the_documented_keys() {
    let (drill, seed) = ("demo-data/drills/sized.toml", "demo-data/seeds/demo-110.toml");
    // So fast that another motor does better.
    let document = document(&meterwright(&["size", drill, seed, "--json", "--to", "4 m/s"]));
    assert_same(&paths(&document), &documented("## Size: `size`"));
}

#[test]
fn the_documents_of_the_desk_have_exactly_the_documented_keys() {
    let (drill, seed) = ("demo-data/drills/reference.toml", "demo-data/seeds/demo-110.toml");
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let settle =
        "--loaded=1350 kg --left=31 kg --area=12 ha --turns=10800 --scale=0.5 kg --price=0.6 /kg";
    let settle = settle.split(" --").map(|it| format!("--{}", it.trim_start_matches("--")));
    let settle: Vec<String> = settle.collect();
    let mut reconcile = vec!["reconcile", seed];
    reconcile.extend(settle.iter().map(String::as_str));
    let journal = "demo-data/records/demo-journal.bin";
    let about = "demo-data/records/demo-about.toml";
    let cases: [(&[&str], &str); 6] = [
        (&reconcile, "## Reconcile: `reconcile`"),
        (&["record", journal, "--about", about, "--out", out], "## Record: `record`"),
        (&["rate", "demo-data/rates/demo-mix.toml"], "## Rate: `rate`"),
        (&["catch", "demo-data/catches/demo-single.toml"], "## Catch: `catch`"),
        (&["settings", drill, seed], "## Settings: `settings`"),
        (&["sheet", drill, seed], "## Sheet: `sheet`"),
    ];
    for (arguments, heading) in cases {
        let mut all = arguments.to_vec();
        all.push("--json");
        assert_same(&paths(&document(&meterwright(&all))), &documented(heading));
    }
}

#[test]
fn the_document_of_new_has_exactly_the_documented_keys() {
    let folder = tempdir().unwrap();
    let [answers, out] =
        ["answers.toml", "farm"].map(|name| folder.path().join(name).to_str().unwrap().to_owned());
    // So slow a shaft that tolerances are missed.
    fs::write(&answers, "full_speed = \"0.5 turns/s\"\n").unwrap();
    let output = meterwright(&["new", "--answers", &answers, "--out", &out, "--json"]);
    assert_same(&paths(&document(&output)), &documented("## New: `new`"));
}

#[test]
fn the_sweep_documents_have_exactly_the_documented_keys() {
    let folder = tempdir().unwrap();
    // Always missed, and a figure that does not exist: nothing stops on the ramp.
    let ranges = super::sweep::ranges(folder.path(), "rms_pct = { at_most = 0.001 }");
    let sweep = document(&meterwright(&["sweep", &ranges, "--json"]));
    assert_same(&paths(&sweep), &documented("## Sweep: `sweep`, `sweep merge`"));
    let case = document(&meterwright(&["sweep", "repeat", &ranges, "--case", "1", "--json"]));
    assert_same(&paths(&case), &documented("## Repeated case: `sweep repeat`"));
}

#[test]
fn the_ranges_file_has_exactly_the_documented_keys() {
    let parameters = sim::sweep::PARAMETERS.iter().map(|it| it.key);
    let keys = ["title", "demo", "cases", "seed", "hypercube", "[[scenario]]", "[vary]"];
    let keys = keys.into_iter().chain(parameters).map(str::to_owned).collect();
    assert_same(&keys, &documented("## Ranges file, as `sweep` reads it"));
}

#[test]
fn the_results_file_has_the_documented_columns_then_parameters_then_figures() {
    let folder = tempdir().unwrap();
    let ranges = super::sweep::ranges(folder.path(), "rms_pct = { at_most = 9 }");
    let out = folder.path().join("out.csv");
    meterwright(&["sweep", &ranges, "-o", out.to_str().unwrap()]);
    let text = fs::read_to_string(&out).unwrap();
    let header = text.lines().find(|line| !line.starts_with('#')).expect("a header");
    let columns: Vec<&str> = header.split(',').collect();
    let first = columns[..3].iter().map(|it| (*it).to_owned()).collect();
    assert_same(&first, &documented("## Results file of `sweep`"));
    let rest = ["lag", "wheel_slip"].into_iter().chain(sim::sweep::FIGURES.iter().copied());
    assert_eq!(columns[3..], rest.collect::<Vec<_>>());
}

#[test]
fn the_step_log_has_exactly_the_documented_columns() {
    let folder = tempdir().unwrap();
    let text = fs::read_to_string(step_log(folder.path())).unwrap();
    let header = text.lines().nth(1).expect("a header");
    let columns = header.split(',').map(str::to_owned).collect();
    assert_same(&columns, &documented("## Step log, as `fit` reads it"));
}

#[test]
fn a_track_may_have_the_documented_columns_and_no_other() {
    let folder = tempdir().unwrap();
    let log = folder.path().join("track.csv");
    let columns: Vec<String> =
        documented("## Recorded track, as `replay` reads it").into_iter().collect();
    let row = |second: u32| {
        let values = columns.iter().map(|column| match column.as_str() {
            "t_s" => second.to_string(),
            "in_work" => "1".to_owned(),
            _ => "2".to_owned(),
        });
        values.collect::<Vec<_>>().join(",")
    };
    let rows: Vec<String> = (0..60).map(row).collect();
    let header = columns.join(",");
    for (header, code) in [(header.clone(), 0), (header.replace("lat", "lateral"), 3)] {
        fs::write(&log, format!("{header}\n{}\n", rows.join("\n"))).unwrap();
        let output = meterwright(&["replay", log.to_str().unwrap()]);
        assert_eq!(output.status.code(), Some(code), "{header}: {output:?}");
    }
}

#[test]
fn the_error_document_has_exactly_the_documented_keys() {
    let document = document(&meterwright(&["verify", "--json", "no-such-file.toml"]));
    assert_same(&paths(&document), &documented("## Errors"));
}

#[test]
fn the_figures_are_those_of_the_score() {
    let score = serde_json::to_value(sim::score::Score::default()).expect("a score is JSON");
    assert_same(&paths(&score), &documented("### Figures of a score"));
}

#[test]
fn the_csv_files_have_exactly_the_documented_columns() {
    let folder = tempdir().unwrap();
    let two_sides = scenario(folder.path(), "drills/two-sides.toml", "rms_pct = { at_most = 9 }");
    meterwright(&["run", &two_sides, "--out", folder.path().to_str().unwrap()]);
    let header = |name: &str| -> Vec<String> {
        let text = fs::read_to_string(folder.path().join(name)).expect("it was written");
        text.lines().next().unwrap_or_default().split(',').map(str::to_owned).collect()
    };
    let cells: BTreeSet<String> = header("cells.csv").into_iter().collect();
    assert_same(&cells, &documented("## `cells.csv`"));
    let trace = header("trace.csv");
    assert!(trace.contains(&"side1_state".to_owned()), "{trace:?}");
    let any_side = |name: String| match name.split_once('_') {
        Some((side, rest)) if side.starts_with("side") => format!("sideN_{rest}"),
        Some(_) | None => name,
    };
    let trace: BTreeSet<String> = trace.into_iter().map(any_side).collect();
    assert_same(&trace, &documented("## `trace.csv`"));
}
