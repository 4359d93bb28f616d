//! Recorded streams against the bench's own reader, which is in f64, by lines, and shares nothing with the core.

use crate::fixes;
use sim::profile::nmea::{gga, read, rmc};
use std::io::Write as _;

/// A recording, or a word that it is skipped.
pub(crate) fn recording(name: &str) -> Option<Vec<u8>> {
    let Some(folder) = std::env::var_os("METERWRIGHT_TRACKS") else {
        let word = "skipped: METERWRIGHT_TRACKS does not name the folder of the recorded tracks\n";
        let _told = std::io::stderr().write_all(word.as_bytes());
        return None;
    };
    let path = tests::project().join(std::path::PathBuf::from(folder)).join(name);
    Some(std::fs::read(path).expect("the recorded tracks are there"))
}

/// Speeds and places agree with the bench's reader, one by one.
fn agrees(name: &str, least: usize) {
    let Some(bytes) = recording(name) else { return };
    let (have, state) = fixes(&bytes);
    let text = String::from_utf8_lossy(&bytes);
    let speeds: Vec<f64> = text.lines().filter_map(rmc).filter_map(|it| it.speed_mps).collect();
    let place = |line: &str| rmc(line).map_or_else(|| gga(line), |it| it.place_deg);
    let places: Vec<[f64; 2]> = text.lines().filter_map(place).collect();
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
    assert_eq!(usize::from(state.refused().status), void(&text), "{name}: sentences not valid");
    for (index, (have, want)) in have_speeds.iter().zip(&speeds).enumerate() {
        assert!((have - want).abs() < 1e-5, "{name}, speed {index}: {have}, wanted {want}");
    }
    for (index, (have, want)) in have_places.iter().zip(&places).enumerate() {
        let off = (have[0] - want[0]).abs().max((have[1] - want[1]).abs());
        assert!(off < 1.1e-7, "{name}, place {index}: {have:?}, wanted {want:?}");
    }
}

/// Lines that are not valid: status V, quality 0, and each VTG behind one of them, whatever its own mode says.
fn void(text: &str) -> usize {
    let mut doubted = false;
    let says = |line: &&str| match line.get(3..6) {
        Some("RMC") => {
            doubted = line.split(',').nth(2) == Some("V");
            doubted
        }
        Some("GGA") => {
            doubted = line.split(',').nth(6) == Some("0");
            doubted
        }
        Some("VTG") => doubted,
        _ => false,
    };
    text.lines().filter(says).count()
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

#[test]
fn recordings_become_pieces_of_speed() {
    let Some(_) = recording("gnss-10hz.nmea") else { return };
    let folder = std::env::var_os("METERWRIGHT_TRACKS").expect("it is set");
    let folder = tests::project().join(std::path::PathBuf::from(folder));
    // A jump of 630 s cuts the last 18 of 122 epochs off; of the drive's four parts one has six.
    for (name, pieces, samples) in
        [("gnss-10hz.nmea", 1, 104), ("gnss-walk-reverse.nmea", 1, 68), ("gnss-car.nmea", 3, 2_594)]
    {
        let profile = read(&folder.join(name)).unwrap_or_else(|error| panic!("{error}"));
        let count: usize = profile.pieces.iter().map(|piece| piece.samples.len()).sum();
        println!("{name}: {} pieces, {count} samples", profile.pieces.len());
        assert_eq!(profile.pieces.len(), pieces, "{name}");
        assert!(count >= samples, "{name}: {count} samples");
    }
}

#[test]
fn the_demo_recording_is_what_its_generator_makes_and_reads_across_midnight() {
    let file = tests::demo("logs/demo-receiver.nmea");
    let text = std::fs::read_to_string(&file).expect("the demo data is there");
    assert!(text == sim::profile::invented::receiver(), "remake it by demo-data/logs/README.md");
    let profile = read(&file).unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(profile.pieces.len(), 1, "midnight is no gap");
    assert!((profile.pieces[0].end_s() - 79.8).abs() < 1e-6, "{}", profile.pieces[0].end_s());
    let (fixes, state) = fixes(text.as_bytes());
    let speeds = fixes.iter().filter(|fix| fix.speed.is_some()).count();
    assert_eq!((speeds, state.refused().checksum), (400, 0));
}
