//! The table of docs/settings-image.md is that of the code.

use crate::settings::drill;
use controller::SettingsConfig;
use controller::quantity::Micros;
use controller::seed::MeterPoint;
use controller::sense::{Sampled, SpeedSource};
use controller::settings::image::{MAGIC, MAX_IMAGE, VERSION, describe, fingerprint, spell, write};
use std::fmt::Write as _;

/// The settings of the document: one of everything.
fn example() -> SettingsConfig {
    let mut config = drill();
    config.sides.truncate(1);
    let receiver =
        SpeedSource::Samples { from: Sampled::Receiver, limit: Micros::from_millis(1_000) };
    config.sources.push(receiver).expect("room for a second source");
    config.sides[0].meter.truncate(1);
    assert_eq!(config.sides[0].meter, [MeterPoint { ..config.sides[0].meter[0] }]);
    config
}

fn table(config: &SettingsConfig) -> String {
    let mut image = [0; MAX_IMAGE];
    let length = write(config, &mut image).expect("there is room");
    let mut table = String::from("| offset | bytes | field | value here |\n|---:|---:|---|---|\n");
    let magic = String::from_utf8_lossy(&MAGIC).into_owned();
    let mut row = |offset: usize, size: usize, name: &str, value: String| {
        writeln!(table, "| {offset} | {size} | {name} | {value} |").expect("a string takes all");
    };
    row(0, 4, "magic", format!("`{magic}`"));
    row(4, 2, "version", VERSION.to_string());
    row(6, 2, "length", length.to_string());
    describe(config, |field| row(field.offset, field.size, field.name, field.raw.to_string()));
    let sum = fingerprint(&image[..length]);
    row(length - 4, 4, "check sum", format!("`{sum:08X}`, spelt {}", spell(sum)));
    table
}

#[test]
fn the_documented_layout_is_that_of_the_code() {
    let file = tests::project().join("docs/settings-image.md");
    let text = std::fs::read_to_string(&file).expect("docs/settings-image.md");
    let want = table(&example());
    assert!(text.contains(&want), "the table of docs/settings-image.md must be:\n{want}");
}

#[test]
fn fields_follow_one_another_without_a_gap() {
    let config = example();
    let mut image = [0; MAX_IMAGE];
    let length = write(&config, &mut image).expect("there is room");
    let mut next = 8;
    describe(&config, |field| {
        assert_eq!(field.offset, next, "first byte of {}", field.name);
        let bytes = &image[field.offset..field.offset + field.size];
        let raw = bytes.iter().rev().fold(0, |raw, byte| raw << 8 | u64::from(*byte));
        assert_eq!(raw, field.raw, "{} in the image", field.name);
        next += field.size;
    });
    assert_eq!(next + 4, length, "the check sum follows the last field");
}
