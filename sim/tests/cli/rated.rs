//! `rate` turns plants, seeds, pure live seed and bag rates into each other, and refuses what cannot be.

use super::bench::{code, document, meterwright, names, printed, root, said};
use serde_json::Value;
use std::fs;
use tempfile::tempdir;

const MIX: &str = "demo-data/rates/demo-mix.toml";

/// The rating of a command line, as a document.
fn rating(arguments: &[&str]) -> Value {
    let arguments: Vec<&str> = ["rate", "--json"].iter().chain(arguments).copied().collect();
    let output = meterwright(&arguments);
    assert_eq!(code(&output), 0, "{}", said(&output));
    document(&output)["rate"].clone()
}

#[track_caller]
fn near(value: &Value, want: f64, within: f64) {
    let have = value.as_f64().unwrap_or(f64::NAN);
    assert!((have - want).abs() <= within, "have {have}, want {want}");
}

/// A command line ends with exit code 3 and says `words`.
#[track_caller]
fn refused(arguments: &[&str], words: &[&str]) {
    let arguments: Vec<&str> = ["rate"].iter().chain(arguments).copied().collect();
    let output = meterwright(&arguments);
    let said = said(&output);
    assert_eq!(code(&output), 3, "{arguments:?}: {said}");
    assert_eq!(printed(&output), "", "nothing but the complaint");
    for word in words {
        assert!(said.contains(word), "{arguments:?}: no {word:?} in {said}");
    }
}

#[test]
fn a_target_of_plants_gives_the_published_bag_rate() {
    // Teagasc, spring cereal sowing: 280 plants/m², 50.9 g, 95 % less 10 = 85 %: 168 kg/ha. By shares it is 85.5 %.
    let told = ["--plants", "280 /m2", "--thousand", "50.9 g", "--establishment", "85%"];
    near(&rating(&told)["total"]["bag_kg_per_ha"], 168.0, 0.5);
    let shares = ["--plants", "280 /m2", "--thousand", "50.9 g", "--germination", "95 %"];
    let shares = rating(&[&shares[..], &["--losses", "10 %"]].concat());
    near(&shares["total"]["bag_kg_per_ha"], 280.0 * 50.9 / 85.5, 1e-9);
}

#[test]
fn a_bag_rate_gives_the_plants_that_it_came_from() {
    let seed = ["--count", "211400 seeds/kg", "--establishment", "85 %", "--row", "7 1/2 in"];
    // Birchip Cropping Group: 40 plants/m² want 2.23 kg/ha.
    let back = rating(&[&["--bag", "2.22606 kg/ha"], &seed[..]].concat());
    near(&back["total"]["plants_per_m2"], 40.0, 0.0005);
    near(&back["total"]["seeds_per_row_m"], 40.0 / 0.85 * 0.1905, 0.0005);
}

#[test]
fn a_pure_live_seed_rate_gives_the_published_bag_rate() {
    // ec3grp.com: 92 % and 5 % hard at 98 % purity, 3.00 lb/ac of pure live seed: 3.16 lb/ac.
    let seed = ["--germination", "92 %", "--hard", "5 %", "--purity", "98 %"];
    let text = printed(&meterwright(
        &[&["rate", "--units", "us", "--pls", "3 lb/ac"], &seed[..]].concat(),
    ));
    let row = text.lines().find(|line| line.trim_start().starts_with("bag rate")).unwrap();
    let fields: Vec<&str> = row.split_whitespace().collect();
    assert_eq!(fields, ["bag", "rate", "3.156", "lb/ac", "3.537", "kg/ha"], "{text}");
}

#[test]
fn hard_seed_is_live_but_no_plant_of_this_season() {
    let seed = ["--germination", "80 %", "--hard", "10 %", "--thousand", "2 g"];
    let rating = rating(&[&["--seeds", "100 /m2"], &seed[..]].concat());
    near(&rating["total"]["live_seeds_per_m2"], 90.0, 1e-9);
    near(&rating["total"]["plants_per_m2"], 80.0, 1e-9);
}

#[test]
fn the_text_names_both_rates_in_both_systems_and_the_next_step() {
    for units in ["metric", "us"] {
        let text = printed(&meterwright(&["rate", MIX, "--units", units]));
        for word in ["bag rate", "pure live seed rate", "kg/ha", "lb/ac", "/m2", "/ft2"] {
            assert!(text.contains(word), "no {word:?} in {text}");
        }
        assert!(text.lines().last().is_some_and(|line| line.starts_with("Next: ")), "{text}");
        let first = text.lines().find(|line| line.trim_start().starts_with("bag rate")).unwrap();
        let unit = if units == "us" { "lb/ac" } else { "kg/ha" };
        assert_eq!(first.split_whitespace().nth(3), Some(unit), "{first}");
    }
}

#[test]
fn the_demo_mix_has_its_shares_and_a_target_by_option_takes_the_place_of_its_own() {
    let mix = rating(&[MIX]);
    // 18 lb/ac of pure live seed, half of it lucerne: 9 lb/ac at 0.99 · 0.66 · 0.90 of the bag.
    let pound = 1.120_851_156;
    near(&mix["total"]["pls_kg_per_ha"], 18.0 * pound, 1e-6);
    near(&mix["species"][0]["bag_kg_per_ha"], 9.0 * pound / (0.99 * 0.66 * 0.90), 1e-6);
    // The clover's 100 seeds weigh 0.17 g: 588 235 a kilogram.
    near(&mix["species"][2]["seeds_per_kg"], 588_235.294, 0.001);
    let bag = format!("{} kg/ha", mix["total"]["bag_kg_per_ha"]);
    let back = rating(&[MIX, "--bag", &bag]);
    near(&back["total"]["pls_kg_per_ha"], 18.0 * pound, 1e-6);
}

#[test]
fn a_bag_rate_that_no_seed_file_takes_ends_with_1() {
    let output = meterwright(&["rate", "--bag", "1200 kg/ha", "--json"]);
    assert_eq!(code(&output), 1, "{}", said(&output));
    assert_eq!(document(&output)["exit_code"], 1);
}

#[test]
fn a_share_that_is_none_is_refused() {
    let plants = ["--plants", "280 /m2", "--thousand", "50 g"];
    let with = |more: [&'static str; 2]| [&plants[..], &more[..]].concat();
    refused(&with(["--germination", "140 %"]), &["--germination", "\"140 %\"", "1 % to 100 %"]);
    refused(&with(["--germination", "-5 %"]), &["--germination", "out of range"]);
    refused(&with(["--germination", "95 g"]), &["--germination", "a mass", "a share such as"]);
    refused(&with(["--purity", "0 %"]), &["--purity", "out of range"]);
    let hard = ["--germination", "95 %", "--hard", "10 %"];
    refused(&[&plants[..], &hard[..]].concat(), &["--hard", "105.0 %", "100 % at most"]);
}

#[test]
fn units_that_do_not_match_are_refused() {
    refused(&["--plants", "280 kg/ha", "--thousand", "50 g"], &["--plants", "a seeding rate"]);
    refused(&["--bag", "20 lb"], &["--bag", "a mass", "a seeding rate such as"]);
    refused(&["--bag", "20 lb/ac", "--thousand", "50 ft"], &["--thousand", "a length"]);
    refused(&["--bag", "20 lb/ac", "--thousand", "-50 g"], &["--thousand", "out of range"]);
}

#[test]
fn what_the_target_hangs_on_is_asked_for() {
    refused(&["--plants", "280 /m2", "--germination", "95 %"], &["--plants", "size of the seed"]);
    refused(&["--plants", "280 /m2", "--thousand", "50 g"], &["--plants", "establishment"]);
    refused(&["--pls", "20 lb/ac"], &["--pls", "germination"]);
    let coated = ["--seeds", "50 /ft2", "--coating", "34 %", "--count", "200000 seeds/lb"];
    refused(&coated, &["--coating", "weighed", "bare"]);
    let twice = ["--bag", "20 lb/ac", "--thousand", "2 g", "--count", "200000 seeds/lb"];
    refused(&twice, &["--count", "twice"]);
}

#[test]
fn no_target_and_two_targets_are_usage() {
    for arguments in [&["rate"][..], &["rate", "--bag", "1 kg/ha", "--pls", "1 kg/ha"]] {
        assert_eq!(code(&meterwright(arguments)), 2, "{arguments:?}");
    }
}

#[test]
fn an_impossible_mix_is_refused_with_its_place() {
    let text = fs::read_to_string(root().join(MIX)).unwrap();
    let cases = [
        ("share = \"30 %\"", "share = \"31 %\"", "101.00 %"),
        ("share = \"30 %\"", "share = \"0 %\"", "out of range"),
        ("germination = \"88 %\"", "germination = \"140 %\"", "out of range"),
        (
            "germination = \"88 %\"\nlosses = \"50 %\"",
            "# none",
            "germination of \"Demo cocksfoot\"",
        ),
        ("hard = \"8 %\"", "hard = \"28 %\"", "110.0 %"),
        ("shares = \"mass\"", "shares = \"weight\"", "\"mass\" or \"seeds\" or \"bag\""),
        ("pls = \"18 lb/ac\"", "pls = \"18 lb/ac\"\nbag = \"26 lb/ac\"", "two targets"),
        ("pls = \"18 lb/ac\"", "", "one of them"),
        ("germination = \"88 %\"", "# none", "losses are of what germinates"),
        ("weighed = \"bare\"", "# ", "coating was weighed in"),
        ("counted = 100", "counted = 0", "1 to 1000000"),
    ];
    for (from, to, words) in cases {
        assert!(text.contains(from), "{from}");
        let folder = tempdir().unwrap();
        let file = folder.path().join("mix.toml");
        fs::write(&file, text.replace(from, to)).unwrap();
        refused(&[file.to_str().unwrap()], &["mix.toml:", words]);
        assert_eq!(names(folder.path()), ["mix.toml"], "nothing is written");
    }
}
