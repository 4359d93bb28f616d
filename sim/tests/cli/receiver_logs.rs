//! A recorded receiver (NMEA 0183) is replayed like any other track.

use super::bench::{code, document, meterwright, repeated, said};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use tempfile::tempdir;

const DEMO: &str = "demo-data/logs/demo-receiver.nmea";

/// A second of an invented drive at `knots`, 23:59:00 at `second` 0.
fn line(second: u32, status: &str, knots: &str) -> String {
    let of_day = (86_340 + second) % 86_400;
    let utc = format!("{:02}{:02}{:02}.00", of_day / 3600, of_day / 60 % 60, of_day % 60);
    let body = format!("GNRMC,{utc},{status},5200.0,N,01000.0,E,{knots},0.0,010126,,,A");
    let sum = body.bytes().fold(0_u8, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n")
}

/// Writes a recording; gives its path.
fn written(folder: &Path, text: impl AsRef<[u8]>) -> String {
    let file = folder.join("drive.nmea");
    fs::write(&file, text).unwrap();
    file.to_str().unwrap().to_owned()
}

/// Cells of 0.5 m that a replay scores.
fn cells(log: &str) -> f64 {
    let output = meterwright(&["--json", "replay", log]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    document(&output)["verdicts"][0]["score"]["all_cells"].as_f64().expect("a figure")
}

#[test]
fn the_demo_recording_is_replayed_by_its_speed() {
    let output = meterwright(&["--json", "replay", DEMO]);
    assert_eq!(code(&output), 0, "{}", said(&output));
    let score = &document(&output)["verdicts"][0]["score"];
    let figure = |name: &str| score[name].as_f64().expect("a figure");
    // By the points of the demo 129.2 m are driven, which are 258 whole cells of 0.5 m.
    assert!((256.0..=258.0).contains(&figure("all_cells")), "{} cells", figure("all_cells"));
    assert!(figure("within_5_pct") >= 99.0, "within 5 %: {}", figure("within_5_pct"));
    assert!(figure("mass_pct").abs() < 1.0, "mass: {}", figure("mass_pct"));
}

#[test]
fn a_drive_goes_on_across_midnight_and_over_what_is_not_valid() {
    let folder = tempdir().unwrap();
    let mut text = "a receiver's greeting\r\n".to_owned();
    for second in 0..=100 {
        match second {
            30 => text += &line(second, "A", "9.000").replace("9.000", "9.001"),
            31 => text += &line(second, "V", "9.000"),
            _ => text += &line(second, "A", "3.888"),
        }
    }
    // 3.888 kn are 2.000 m/s: 200 m in 100 s, midnight after 60 s.
    let have = cells(&written(folder.path(), &text));
    assert!((398.0..=400.0).contains(&have), "{have} cells of 400");
}

#[test]
fn noise_between_the_sentences_and_a_second_talker_change_nothing() {
    let folder = tempdir().unwrap();
    let mut bytes = vec![0xB5, 0x62, 0, b'$', 0xFF];
    for second in 0..=100 {
        let line = line(second, "A", "3.888");
        bytes.extend(line.bytes().chain([0xB5, 0x62, 0, 0xFF]));
        // GN and GP have sums that differ by N ^ P.
        let (text, sum) = line.trim().split_once('*').unwrap();
        let sum = u8::from_str_radix(sum, 16).unwrap() ^ b'N' ^ b'P';
        bytes.extend(format!("{}*{sum:02X}\r\n", text.replace("GN", "GP")).bytes());
    }
    let have = cells(&written(folder.path(), &bytes));
    assert!((398.0..=400.0).contains(&have), "{have} cells of 400");
}

#[test]
fn a_gap_splits_the_drive_and_a_short_piece_is_dropped() {
    let folder = tempdir().unwrap();
    let drive = |pieces: &[(u32, u32)]| {
        let seconds = pieces.iter().flat_map(|&(from, to)| from..=to);
        let text: String = seconds.map(|second| line(second, "A", "3.888")).collect();
        cells(&written(folder.path(), &text))
    };
    // 5 s are none: 90 s at 2 m/s. 6 s are one: 40 s and 44 s. Thirty samples are too few: 60 s alone.
    for (pieces, want) in
        [([(0, 40), (45, 90)], 360.0), ([(0, 40), (46, 90)], 336.0), ([(0, 60), (70, 99)], 240.0)]
    {
        let have = drive(&pieces);
        assert!((want - 4.0..=want).contains(&have), "{pieces:?}: {have} cells of {want}");
    }
}

#[test]
fn a_recording_without_a_drive_ends_with_3_and_says_what_it_lacks() {
    let folder = tempdir().unwrap();
    let text: String = (0..60).map(|second| line(second, "V", "3.888")).collect();
    let output = meterwright(&["replay", &written(folder.path(), &text)]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("31 RMC sentences"), "{}", said(&output));
}

#[test]
fn a_speed_that_no_tractor_has_ends_with_3_and_its_line_is_named() {
    let folder = tempdir().unwrap();
    let mut text = String::new();
    for second in 0..60 {
        let knots = if second == 20 { "99.000" } else { "3.888" };
        write!(text, "{}", line(second, "A", knots)).unwrap();
    }
    let output = meterwright(&["replay", &written(folder.path(), &text)]);
    assert_eq!(code(&output), 3);
    assert!(said(&output).contains("drive.nmea:21"), "{}", said(&output));
    assert!(said(&output).contains("50.9 m/s"), "{}", said(&output));
}

#[test]
fn a_scenario_written_from_a_recording_repeats_it() {
    repeated(DEMO);
}
