//! `sheet`: the page says what the other commands say, in both systems of units, and no name breaks it.

use super::bench::{code, document, meterwright, printed, root, said};
use controller::panel::{Advice, ITEMS};
use std::fs;
use tempfile::tempdir;

const FILES: [&str; 2] = ["demo-data/drills/sized.toml", "demo-data/seeds/demo-110.toml"];

fn sheet(more: &[&str]) -> String {
    let output = meterwright(&[&["sheet", FILES[0], FILES[1]], more].concat());
    assert_eq!(code(&output), 0, "{}", said(&output));
    printed(&output)
}

#[test]
fn the_sheet_has_the_fingerprint_that_verify_and_settings_name() {
    let settings = document(&meterwright(&["settings", FILES[0], FILES[1], "--json"]));
    let fingerprint = settings["settings"]["fingerprint"].as_str().unwrap();
    assert_eq!(sheet(&[]).matches(fingerprint).count(), 2, "fact and checklist");
    let other = sheet(&["--source", "gnss"]);
    assert!(!other.contains(fingerprint), "another source is another setting");
}

#[test]
fn its_numbers_are_those_of_hand_arithmetic() {
    // 110 kg/ha on 4 m: 44 g a metre; 0.12 kg a turn: 0.3667 turns/m; at 9 km/h = 2.5 m/s 55.00 turns/min and 3.6 ha/h,
    // 396 kg/h; a motor of 32 cm³ turning three times as fast with nine tenths of its oil: 5.87 L/min.
    let text = sheet(&[]);
    let row = text.lines().find(|line| line.trim_start().starts_with("9.0 ")).expect("9 km/h");
    let cells: Vec<&str> = row.split_whitespace().collect();
    assert_eq!(cells, ["9.0", "55.00", "5.87", "3.60", "396.0"]);
    assert!(text.contains("50 turns give 6 kg"), "{text}");
    assert!(text.contains("13000, within 65"), "{text}");
    // The same drill at 5 mph: 2.2352 m/s × 0.3667 × 60 = 49.17 turns/min; 2.2352 × 4 m = 7.954 ac/h; 98.14 lb/ac.
    let us = sheet(&["--units", "us"]);
    let row = us.lines().find(|line| line.trim_start().starts_with("5.0 ")).expect("5 mph");
    let cells: Vec<&str> = row.split_whitespace().collect();
    assert_eq!(cells, ["5.0", "49.17", "1.39", "7.95", "780.6"]);
    assert!(us.contains("pulses in 300 ft") && us.contains("11887, within 59"), "{us}");
    assert!(us.contains("50 turns give 13.23 lb"), "{us}");
}

#[test]
fn every_alarm_stands_there_with_what_to_do() {
    let text = sheet(&[]);
    for item in ITEMS {
        let Advice { name, act } = Advice::of(item);
        let row = text.lines().find(|line| line.contains(act)).unwrap_or_default();
        assert!(row.contains(name), "{name}: {act}");
    }
}

#[test]
fn the_page_is_whole_in_itself_and_no_name_breaks_it() {
    let folder = tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    let drill = fs::read_to_string(root().join(FILES[0])).unwrap();
    let name = drill.lines().find(|line| line.starts_with("name =")).unwrap();
    let wicked = "name = '<script>\"&</h1>'";
    fs::write(at("drill.toml"), drill.replacen(name, wicked, 1)).unwrap();
    let output = meterwright(&["sheet", &at("drill.toml"), FILES[1], "-o", &at("page.html")]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let page = fs::read_to_string(at("page.html")).unwrap();
    assert!(!page.contains("<script>") && page.contains("&lt;script&gt;&quot;&amp;&lt;/h1&gt;"));
    assert!(!page.contains("http"), "nothing is loaded from elsewhere");
    for tag in ["table", "section", "ul", "main", "h1", "h2"] {
        let open = page.matches(&format!("<{tag}")).count();
        assert_eq!(open, page.matches(&format!("</{tag}>")).count(), "{tag}");
    }
    let again = meterwright(&["sheet", FILES[0], FILES[1], "-o", &at("page.html")]);
    assert_eq!(code(&again), 2, "never over another file");
}
