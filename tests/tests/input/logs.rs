//! Recorded tracks that are wrong, and what becomes of gaps.

use crate::{folder, said};
use sim::input::Trouble;
use sim::profile::track;

/// Forty good rows under a header, the one on line 20 replaced.
pub(crate) fn track_with(row: &str) -> String {
    let good = |line: u32| format!("{line},1.5,1,90.0\n");
    let rows = (2..42).map(|line| if line == 20 { format!("{row}\n") } else { good(line) });
    format!("t_s,speed_mps,in_work,heading_deg\n{}", rows.collect::<String>())
}

#[test]
fn bad_rows_of_a_log_are_named_by_line() {
    let cases = [
        ("20,nan,1,90", r#":20:4: "nan" is not a finite number; a number, 0 to 40"#),
        ("inf,1,1,90", r#":20:1: "inf" is not a finite number; a number, 0 to 1000000000"#),
        ("20,-0.1,1,90", r#":20:4: "-0.1" is out of range; a number, 0 to 40"#),
        ("20,41,1,90", r#":20:4: "41" is out of range; a number, 0 to 40"#),
        ("20,fast,1,90", r#":20:4: "fast" is not a number; a number, 0 to 40"#),
        (
            "18.5,1,1,90",
            r#":20:1: "18.5" is not later than the row before; each row later than the one before"#,
        ),
        ("20,1.5,1", ":20:1: the row has 3 columns; 4 columns, as in the header"),
        ("20,1.5,2,90", r#":20:8: "2" is neither 0 nor 1; 0 or 1"#),
        ("20,1.5,1,361", r#":20:10: "361" is out of range; a number, 0 to 360"#),
    ];
    for (row, want) in cases {
        let have = said("track.csv", track_with(row).as_bytes());
        assert_eq!(have, (Trouble::BadRow, format!("failed to read track.csv{want}")), "{row}");
    }
}

#[test]
fn columns_of_a_log_are_checked_by_name() {
    let header = |header: &str| said("track.csv", format!("{header}\n0,1\n").as_bytes());
    let want = r#"failed to read track.csv:1:5: "speed_mp" is not a column of a track; did you mean speed_mps?"#;
    assert_eq!(header("t_s,speed_mp"), (Trouble::UnknownKey, want.to_owned()));
    assert_eq!(header("t_s,in_work").0, Trouble::MissingKey);
    assert_eq!(header("t_s,t_s").0, Trouble::BadRow);
}

#[test]
fn a_gap_splits_a_log_and_short_pieces_are_dropped() {
    let rows = |from: u32, count: u32| {
        (from..from + count).map(|t| format!("{t},1\n")).collect::<Vec<_>>().concat()
    };
    let text = format!("t_s,speed_mps\n{}{}{}", rows(0, 31), rows(36, 30), rows(71, 40));
    let folder = folder("track.csv", text.as_bytes());
    let profile = track::read(&folder.path().join("track.csv")).expect("a good track");
    let lengths: Vec<usize> = profile.pieces.iter().map(|piece| piece.samples.len()).collect();
    assert_eq!(lengths, [31, 40]);
    let (trouble, text) = said("track.csv", format!("t_s,speed_mps\n{}", rows(0, 30)).as_bytes());
    assert_eq!(trouble, Trouble::BadRow, "{text}");
}
