//! `record`: what was sown, from a journal or a log, in every format; and what it refuses.

use super::bench::{code, document, meterwright, names, printed, root, said};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Output;
use tempfile::tempdir;

const JOURNAL: &str = "demo-data/records/demo-journal.bin";
const ABOUT: &str = "demo-data/records/demo-about.toml";
const NO_WEIGHING: &str = "This is no certified weighing.";

const HEAD: &str = "row,number,side,key,value,way_m,length_m,latitude_deg,longitude_deg\n";

/// A log with a place at the far corner of the globe.
const LOG: &str = "settings,,,fingerprint,29A4-KX37,,,,\n\
                   sown,,1,area_m2,20000,,,,\nsown,,1,mass_kg,220,,,,\n\
                   event,1,,field-begins,3,0,,-33.1234567,-179.5,\n";

fn record(journal: &str, more: &[&str]) -> Output {
    let mut all = vec!["record", journal, "--about", ABOUT];
    all.extend(more);
    meterwright(&all)
}

/// Writes a log; gives its path.
fn log(folder: &Path, rows: &str) -> String {
    let path = folder.join("log.csv");
    fs::write(&path, format!("{HEAD}{rows}")).unwrap();
    path.to_str().unwrap().to_owned()
}

/// The demo journal with a byte flipped; gives its path.
fn flipped(folder: &Path, at: usize, pattern: u8) -> String {
    let mut bytes = fs::read(root().join(JOURNAL)).unwrap();
    bytes[at] ^= pattern;
    let path = folder.join("flipped.bin");
    fs::write(&path, bytes).unwrap();
    path.to_str().unwrap().to_owned()
}

#[test]
fn the_demo_journal_gives_a_record_in_every_format() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let output = record(JOURNAL, &["--out", out]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    assert_eq!(names(folder.path()), ["record.csv", "record.geojson", "record.html"]);
    let text = printed(&output);
    assert!(text.contains("Demo barley, caught") && text.contains("switched off"), "{text}");
    assert!(text.trim_end().lines().last().unwrap().starts_with("Next: "), "{text}");
    for file in ["record.csv", "record.geojson", "record.html"] {
        let written = fs::read_to_string(folder.path().join(file)).unwrap();
        for word in [NO_WEIGHING, "Demo field, by the brook", "2026-04-12", "Demo barley, caught"] {
            assert!(written.contains(word), "{file} does not say {word}");
        }
    }
    assert!(text.contains(NO_WEIGHING));
    // Written over only when told.
    assert_eq!(code(&record(JOURNAL, &["--out", out])), 2);
    assert_eq!(code(&record(JOURNAL, &["--out", out, "--replace", "--units", "us"])), 0);
    let page = fs::read_to_string(folder.path().join("record.html")).unwrap();
    assert!(page.contains(" ac") && page.contains(" lb/ac") && !page.contains(" kg"), "US units");
}

#[test]
fn the_record_says_what_was_counted_and_how_sure_it_is() {
    let output = record(JOURNAL, &["--json"]);
    let record = &document(&output)["record"];
    let figure = |pointer: &str| record.pointer(pointer).and_then(Value::as_f64).unwrap();
    let (area, mass) = (figure("/area_m2"), figure("/lots/0/mass_kg"));
    // 100 m × 60 m, with corners and gaps that are not sown: most of it, and not more than all of it.
    assert!((5_000.0..6_000.0).contains(&area), "{area} m²");
    assert!((mass / area * 10_000.0 / 110.0 - 1.0).abs() < 0.02, "{mass} kg on {area} m²");
    // 0.8 % of the catches and 0.5 % of the area.
    let sure = figure("/lots/0/rate_uncertainty");
    assert!((sure - 0.89_f64.sqrt() / 100.0).abs() < 1e-9, "{sure}");
    assert_eq!(record["certified"], false);
    let gaps = record["gaps"].as_array().unwrap();
    assert!(gaps.len() >= 3, "{gaps:?}");
    let sum: f64 = gaps.iter().map(|gap| gap["length_m"].as_f64().unwrap()).sum();
    assert!((sum - figure("/gaps_m")).abs() < 1e-9);
    let print = record["settings_fingerprint"].as_str().unwrap();
    assert!(print.len() == 9 && print.as_bytes()[4] == b'-', "{print}");
}

#[test]
fn the_demo_log_tells_the_same_in_short() {
    let of = |file: &str| document(&record(file, &["--json"]))["record"].clone();
    let (log, journal) = (of("demo-data/records/demo-log.csv"), of(JOURNAL));
    assert_eq!(log["settings_fingerprint"], journal["settings_fingerprint"]);
    assert_eq!(log["gaps"], journal["gaps"]);
    for key in ["/area_m2", "/lots/0/mass_kg"] {
        let figure = |record: &Value| record.pointer(key).and_then(Value::as_f64).unwrap();
        let (have, want) = (figure(&log), figure(&journal));
        assert!((have / want - 1.0).abs() < 1e-4, "{key}: {have}, want {want}");
    }
}

/// The rules of RFC 7946 that a file of points must keep.
fn keeps_the_rules(document: &Value) {
    assert_eq!(document["type"], "FeatureCollection");
    assert!(document.get("crs").is_none(), "4: no other reference system");
    for key in ["geometry", "properties", "coordinates"] {
        assert!(document.get(key).is_none(), "7.1: {key} in a collection");
    }
    for feature in document["features"].as_array().expect("3.3: an array") {
        assert_eq!(feature["type"], "Feature");
        assert!(feature["properties"].is_object(), "3.2: an object or null");
        let geometry = feature.get("geometry").expect("3.2: a geometry, or null");
        if geometry.is_null() {
            continue;
        }
        assert_eq!(geometry["type"], "Point");
        let place = geometry["coordinates"].as_array().expect("3.1.1: an array");
        assert_eq!(place.len(), 2);
        let (longitude, latitude) = (place[0].as_f64().unwrap(), place[1].as_f64().unwrap());
        assert!(longitude.abs() <= 180.0 && latitude.abs() <= 90.0, "{place:?}");
        for text in place.iter().map(ToString::to_string) {
            let digits = text.split_once('.').map_or(0, |(_, digits)| digits.len());
            assert!(digits <= 7, "{text}: more digits than were measured");
        }
    }
}

#[test]
fn the_geojson_keeps_the_rules_of_rfc_7946_and_has_longitude_first() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    assert_eq!(code(&record(JOURNAL, &["--out", out])), 0);
    let read = || {
        let text = fs::read_to_string(folder.path().join("record.geojson")).unwrap();
        serde_json::from_str::<Value>(&text).unwrap()
    };
    let demo = read();
    keeps_the_rules(&demo);
    let gaps = demo["features"].as_array().unwrap().iter().skip(1);
    let placed = gaps.filter(|gap| !gap["geometry"].is_null()).count();
    assert!(placed >= 3, "{placed} gaps with a place");
    // The bench's field lies at 52° north, 10° east.
    let place = &demo["features"][1]["geometry"]["coordinates"];
    assert!((place[0].as_f64().unwrap() - 10.0).abs() < 0.1, "{place}");
    assert!((place[1].as_f64().unwrap() - 52.0).abs() < 0.1, "{place}");
    let rows = LOG.replace("-179.5,\n", "-179.5\n") + "gap,1,1,stopped,,5.5,2.25,,\n";
    let log = log(folder.path(), &rows);
    let output =
        record(&log, &["--out", out, "--replace", "--seed", "demo-data/seeds/demo-110.toml"]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let far = read();
    keeps_the_rules(&far);
    let place = far["features"][0]["geometry"]["coordinates"].to_string();
    assert_eq!(place, "[-179.5,-33.1234567]");
    assert!(far["features"][1]["geometry"].is_null(), "a gap without a place");
}

#[test]
fn names_of_a_person_stay_text_in_every_format() {
    let folder = tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let output = record(
        JOURNAL,
        &["--out", out, "--field", "=1+1<b onload=\"x\">", "--operator", "@R&D, \"Co\""],
    );
    assert_eq!(code(&output), 0, "{}", said(&output));
    let read = |name: &str| fs::read_to_string(folder.path().join(name)).unwrap();
    let page = read("record.html");
    assert!(page.contains("=1+1&lt;b onload=&quot;x&quot;&gt;") && !page.contains("<b onload"));
    assert!(page.contains("@R&amp;D, &quot;Co&quot;"));
    let table = read("record.csv");
    assert!(table.contains("record,,field,\"'=1+1<b onload=\"\"x\"\">\","), "{table}");
    assert!(table.contains("record,,operator,\"'@R&D, \"\"Co\"\"\","), "{table}");
    let commas = |line: &str| {
        let mut quoted = false;
        line.chars()
            .filter(|letter| {
                quoted ^= *letter == '"';
                *letter == ',' && !quoted
            })
            .count()
    };
    assert!(table.lines().all(|line| commas(line) == 7), "{table}");
    let document: Value = serde_json::from_str(&read("record.geojson")).unwrap();
    assert_eq!(document["features"][0]["properties"]["field"], "=1+1<b onload=\"x\">");
}

#[test]
fn a_journal_that_is_cut_short_or_none_at_all_ends_with_3() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("j.bin");
    let file = path.to_str().unwrap();
    let whole = fs::read(root().join(JOURNAL)).unwrap();
    let blank = vec![0xFF; whole.len()];
    let garbage: Vec<u8> =
        (0..whole.len()).map(|at| (at * 167 + at / 7).to_le_bytes()[0]).collect();
    for (bytes, word) in [
        (&whole[..whole.len() - 1], "cut short"),
        (&whole[..100], "cut short"),
        (&[], "cut short"),
        (&blank, "no whole settings"),
        (&garbage, "no whole settings"),
    ] {
        fs::write(&path, bytes).unwrap();
        let out = folder.path().join("out");
        let output = record(file, &["--out", out.to_str().unwrap()]);
        assert_eq!(code(&output), 3, "{}", said(&output));
        assert!(said(&output).contains(word), "{word}: {}", said(&output));
        assert!(!out.exists() && printed(&output).is_empty());
    }
    // Another layout than the flash's own.
    let output = meterwright(&["record", JOURNAL, "--field", "x", "--date", "2026-04-12"]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("its layout is another"), "{}", said(&output));
}

#[test]
fn a_gap_that_was_flipped_away_is_missed_and_told() {
    let folder = tempdir().unwrap();
    let bytes = fs::read(root().join(JOURNAL)).unwrap();
    // The region of the gaps begins behind three sectors; its records behind the sector's mark.
    let gaps = 3 * 1024;
    let last = (gaps..gaps + 1024 - 8).rfind(|at| bytes[*at] != 0xFF).unwrap();
    let damaged = flipped(folder.path(), last - 4, 0x10);
    let output = record(&damaged, &[]);
    assert_eq!(code(&output), 3, "{}", printed(&output));
    assert!(
        said(&output).contains("1 gap was counted and is not in the journal"),
        "{}",
        said(&output)
    );
    let output = record(&damaged, &["--despite-damage"]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    assert!(printed(&output).contains("MISSING: 1 gap was"), "{}", printed(&output));
}

#[test]
fn a_seed_file_that_was_not_counted_by_is_refused() {
    let output = record(JOURNAL, &["--seed", "demo-data/seeds/demo-small.toml"]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("the board counted by 120.000 g"), "{}", said(&output));
}

#[test]
fn a_wrong_log_or_option_ends_with_3_and_its_line() {
    let folder = tempdir().unwrap();
    let good = LOG.replace("-179.5,\n", "-179.5\n");
    let seed = ["--seed", "demo-data/seeds/demo-110.toml"];
    for (from, to, word) in [
        ("20000", "-20000", "log.csv:3:1"),
        ("mass_kg", "mass_lb", "nothing that a side sowed"),
        (",,1,area", ",,0,area", "sides are counted from 1"),
        ("220", "nan", "it wants a number"),
        ("-33.1234567", "-93.1", "is no place"),
        ("-179.5", "", "is no place"),
        ("sown,,1,mass", "eaten,,1,mass", "is no row of a log"),
        ("sown,,1,mass_kg", "sown,,1,distance_m", "no area_m2 or no mass_kg"),
    ] {
        let log = log(folder.path(), &good.replacen(from, to, 1));
        let output = record(&log, &seed);
        assert_eq!(code(&output), 3, "{from} to {to}: {}", printed(&output));
        assert!(said(&output).contains(word), "{from} to {to}: {}", said(&output));
    }
    let none = log(folder.path(), "gap,1,1,stopped,,5.5,2.25,,\n");
    assert!(said(&record(&none, &seed)).contains("it says of no side"), "no side");
    for (options, word) in [
        (&["--date", "yesterday"][..], "is no day"),
        (&["--field", " "], "is no name"),
        (&["--area-uncertainty", "5 kg"], "is a mass"),
    ] {
        let output = record(JOURNAL, options);
        assert_eq!(code(&output), 3, "{options:?}: {}", said(&output));
        assert!(said(&output).contains(word), "{options:?}: {}", said(&output));
    }
    let output = meterwright(&["record", JOURNAL, "--field", "x"]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("--date"), "{}", said(&output));
}
