//! Recorded streams against the independent reader.

use crate::{fixes, independent};
use std::io::Write as _;

/// A recording, or a word that it is skipped.
fn recording(name: &str) -> Option<Vec<u8>> {
    let Some(folder) = std::env::var_os("METERWRIGHT_TRACKS") else {
        let word = "skipped: METERWRIGHT_TRACKS does not name the folder of the recorded tracks\n";
        let _told = std::io::stderr().write_all(word.as_bytes());
        return None;
    };
    let path = tests::project().join(std::path::PathBuf::from(folder)).join(name);
    Some(std::fs::read(path).expect("the recorded tracks are there"))
}

/// Speeds and places agree with the independent reader, one by one.
fn agrees(name: &str, least: usize) {
    let Some(bytes) = recording(name) else { return };
    let (have, state) = fixes(&bytes);
    let want = independent::lines(&bytes);
    let speeds: Vec<f64> = want.iter().filter_map(|line| line.speed_mps).collect();
    let places: Vec<[f64; 2]> = want.iter().filter_map(|line| line.place_deg).collect();
    let have_speeds: Vec<f64> = have
        .iter()
        .filter_map(|fix| fix.speed)
        .map(|sample| f64::from(sample.speed.to_bits()) / 1_048_576.0)
        .collect();
    let have_places: Vec<[f64; 2]> = have
        .iter()
        .filter_map(|fix| fix.position)
        .map(|it| {
            [it.position.latitude(), it.position.longitude()].map(|word| f64::from(word) / 1e7)
        })
        .collect();
    println!(
        "{name}: {} speeds, {} places, refused {:?}",
        speeds.len(),
        places.len(),
        state.refused()
    );
    assert!(speeds.len() >= least, "{} speeds", speeds.len());
    assert_eq!(have_speeds.len(), speeds.len(), "{name}: number of speeds");
    assert_eq!(have_places.len(), places.len(), "{name}: number of places");
    for (index, (have, want)) in have_speeds.iter().zip(&speeds).enumerate() {
        assert!((have - want).abs() < 1e-5, "{name}, speed {index}: {have}, wanted {want}");
    }
    for (index, (have, want)) in have_places.iter().zip(&places).enumerate() {
        let off = (have[0] - want[0]).abs().max((have[1] - want[1]).abs());
        assert!(off < 1.1e-7, "{name}, place {index}: {have:?}, wanted {want:?}");
    }
}

#[test]
fn the_10_hz_recording_is_read_as_another_reader_does() {
    agrees("gnss-10hz.nmea", 100);
}

#[test]
fn the_walk_that_turns_round_is_read_as_another_reader_does() {
    agrees("gnss-walk-reverse.nmea", 40);
}

#[test]
fn the_drive_across_midnight_is_read_as_another_reader_does() {
    agrees("gnss-car.nmea", 2_000);
}
