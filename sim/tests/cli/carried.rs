//! `settings`: what is carried to the board is what was proved, and nothing else is taken.

use super::bench::{PASSING, code, document, meterwright, printed, root, said};
use controller::Settings;
use controller::settings::image::{crc32, read};
use sim::bench::settings;
use sim::carry::{CarryError, Image};
use sim::scenario::read::scenario;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const DRILL: &str = "demo-data/drills/reference.toml";
const SEED: &str = "demo-data/seeds/demo-110.toml";

/// Writes the image of the reference drill; gives its path.
fn written(folder: &Path) -> String {
    let file = folder.join("board.image").to_str().unwrap().to_owned();
    let output = meterwright(&["settings", DRILL, SEED, "-o", &file]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    file
}

#[test]
fn verify_and_settings_name_the_same_fingerprint() {
    let folder = tempdir().unwrap();
    let file = written(folder.path());
    let proved = document(&meterwright(&["verify", PASSING, "--json"]));
    let named = proved["verdicts"][0]["fingerprint"].as_str().unwrap().to_owned();
    assert_eq!(Image::read(&fs::read(&file).unwrap()).unwrap().fingerprint(), named);
    let checked = meterwright(&["settings", "--check", &file, "--expect", &named.to_lowercase()]);
    assert_eq!(code(&checked), 0, "{}", said(&checked));
    assert!(printed(&checked).contains(&named));
    let table = printed(&meterwright(&["verify", PASSING]));
    assert!(table.contains(&format!("A  {named}  Reference drill")), "{table}");
}

#[test]
fn the_image_of_every_demo_scenario_says_what_the_bench_ran() {
    let mut count = 0;
    for entry in fs::read_dir(root().join("demo-data/scenarios")).unwrap() {
        let file = entry.unwrap().path();
        if file.extension().is_none_or(|it| it != "toml") {
            continue;
        }
        let config = settings(&scenario(&file).unwrap());
        let image = Image::of(&config).unwrap();
        let back = Image::read(image.bytes()).unwrap();
        assert_eq!(image.bytes(), back.bytes());
        assert_eq!(Image::of(back.config()).unwrap().bytes(), image.bytes(), "{}", file.display());
        assert_eq!(Settings::new(&read(image.bytes()).unwrap()), Settings::new(&config));
        count += 1;
    }
    assert!(count > 50, "{count} scenarios");
}

#[test]
fn every_flipped_bit_and_every_cut_is_refused() {
    let folder = tempdir().unwrap();
    let file = written(folder.path());
    let bytes = fs::read(&file).unwrap();
    for bit in 0..bytes.len() * 8 {
        let mut flipped = bytes.clone();
        flipped[bit / 8] ^= 1 << (bit % 8);
        assert!(Image::read(&flipped).is_err(), "bit {bit}");
    }
    for length in 0..bytes.len() {
        assert!(Image::read(&bytes[..length]).is_err(), "{length} bytes");
    }
    let mut flipped = bytes;
    flipped[20] ^= 4;
    fs::write(&file, flipped).unwrap();
    let output = meterwright(&["settings", "--check", &file]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("wrong check sum"), "{}", said(&output));
}

#[test]
fn another_version_is_refused_by_its_number() {
    let folder = tempdir().unwrap();
    let file = written(folder.path());
    let mut bytes = fs::read(&file).unwrap();
    bytes[4] = 99;
    let end = bytes.len() - 4;
    let sum = crc32(&bytes[..end]).to_le_bytes();
    bytes[end..].copy_from_slice(&sum);
    fs::write(&file, bytes).unwrap();
    let output = meterwright(&["settings", "--check", &file]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("version 99"), "{}", said(&output));
}

#[test]
fn an_image_of_other_settings_is_refused_and_the_fields_are_named() {
    let folder = tempdir().unwrap();
    let file = written(folder.path());
    let other = meterwright(&["settings", "--check", &file, "--expect", "2345-6789"]);
    assert_eq!(code(&other), 3);
    assert!(said(&other).contains("2345-6789 was expected"), "{}", said(&other));
    let seed = "demo-data/seeds/demo-us.toml";
    let differs = meterwright(&["settings", "--check", &file, DRILL, seed]);
    assert_eq!(code(&differs), 3);
    assert!(said(&differs).contains("catch.mass (120000000 here, 119067997 by the files)"));
    let config = Image::read(&fs::read(&file).unwrap()).unwrap().config().clone();
    let mut another = config.clone();
    another.sources.clear();
    assert!(matches!(Image::of(&another), Err(CarryError::Refused(_))), "no speed source");
}

#[test]
fn nothing_is_written_over_unless_told() {
    let folder = tempdir().unwrap();
    let file = written(folder.path());
    fs::write(&file, "mine").unwrap();
    let output = meterwright(&["settings", DRILL, SEED, "-o", &file]);
    assert_eq!(code(&output), 2);
    assert_eq!(fs::read_to_string(&file).unwrap(), "mine");
    let told = meterwright(&["settings", DRILL, SEED, "-o", &file, "--replace"]);
    assert_eq!(code(&told), 0, "{}", said(&told));
    assert!(Image::read(&fs::read(&file).unwrap()).is_ok());
    let own = folder.path().join("drill.toml").to_str().unwrap().to_owned();
    fs::copy(root().join(DRILL), &own).unwrap();
    let input = meterwright(&["settings", &own, SEED, "-o", &own, "--replace"]);
    assert_eq!(code(&input), 2, "an input is never the output");
}
