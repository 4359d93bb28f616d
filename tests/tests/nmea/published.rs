//! Published sentences with their speeds. Sources stand beside them; gpsd is the project ntpsec/gpsd, `NMEA.adoc` its
//! `www/NMEA.adoc`, a log its `test/daemon/` file.

use crate::{fixes, speeds};
use controller::quantity::Course;

/// Knots in m/s, exact: 1852 m in 3600 s.
fn knots(knots: f64) -> f64 {
    knots * 1852.0 / 3600.0
}

/// Sentence, speed in knots, source.
const VALID: [(&str, f64, &str); 12] = [
    ("$GPVTG,220.86,T,,M,2.550,N,4.724,K,A*34", 2.550, "NMEA.adoc, ublox-lea-4h.log"),
    (
        "$GPRMC,031008.00,A,4907.58133,N,12242.60088,W,2.550,220.86,100806,,,A*72",
        2.550,
        "ublox-lea-4h.log",
    ),
    ("$GNRMC,001031.00,A,4404.13993,N,12118.86023,W,0.146,,100117,,,A*7B", 0.146, "NMEA.adoc"),
    (
        "$GNRMC,091503.000,A,4813.0509,N,00824.8699,E,6.56,175.87,101015,,,A,V*0B",
        6.56,
        "nl2008u.log",
    ),
    ("$GNVTG,175.87,T,,M,6.56,N,12.1,K,A*28", 6.56, "nl2008u.log"),
    ("$INVTG,77.5,T,93.3,M,5.2,N,9.7,K*5B", 5.2, "humminbird-M37.log"),
    ("$GPVTG,335.10,T,,,2.40,N,4.45,K,A*77", 2.40, "haicom-305N.log"),
    (
        "$GPRMC,113258,A,3238.9148,N,10822.4466,W,005.3,247.1,181022,009.3,E*6B",
        5.3,
        "garmin15x.log",
    ),
    (
        "$GPRMC,204132.00,A,4205.733476,N,08802.041110,W,9.415,21.404,190214,,,D*7C",
        9.415,
        "rst39.log",
    ),
    (
        "$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*48",
        5.5,
        "in many public tests; its first source is not known",
    ),
    (
        "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A",
        22.4,
        "in many public tests; its first source is not known",
    ),
    (
        "$GPRMC,225446,A,4916.45,N,12311.12,W,000.5,054.7,191194,020.3,E*68",
        0.5,
        "in many public tests; its first source is not known",
    ),
];

#[test]
fn published_sentences_have_their_speeds() {
    for (sentence, knots_said, source) in VALID {
        let have = speeds(format!("{sentence}\r\n").as_bytes());
        let want = knots(knots_said);
        assert_eq!(have.len(), 1, "{source}: {sentence}");
        assert!((have[0] - want).abs() < 1e-5, "{source}: {} m/s, wanted {want}", have[0]);
    }
}

#[test]
fn published_speeds_in_metres_per_second_come_out() {
    // What gpsd prints for its own logs, m/s to three places.
    for (index, want) in [(0, 1.312), (3, 3.375), (5, 2.675), (6, 1.235), (7, 2.727), (8, 4.843)] {
        let (sentence, _, source) = VALID[index];
        let have = speeds(format!("{sentence}\n").as_bytes())[0];
        assert!((have - want).abs() < 0.000_51, "{source}: {have}, gpsd prints {want}");
    }
}

#[test]
fn a_published_course_comes_out_and_an_empty_one_is_none() {
    // ublox-lea-4h.log: 220.86 degrees; NMEA.adoc: at rest without a course.
    for (index, want) in [(0, Some(220_860)), (1, Some(220_860)), (2, None)] {
        let (sentence, _, source) = VALID[index];
        let (fixes, _) = fixes(format!("{sentence}\r\n").as_bytes());
        let have = fixes[0].course.map(|it| it.course);
        assert_eq!(have, want.map(Course::from_millidegrees), "{source}: {sentence}");
    }
}

#[test]
fn sentences_without_a_fix_give_nothing() {
    for sentence in
        ["$GPRMC,,V,,,,,,,,,,N*53", "$GPVTG,,,,,,,,,N*30", "$GPRMC,041215,V,,,,,,,150926,,,N*59"]
    {
        let (fixes, state) = fixes(format!("{sentence}\r\n").as_bytes());
        assert!(fixes.is_empty(), "{sentence}: {fixes:?}");
        assert_eq!(state.refused().status, 1, "{sentence}");
    }
}

#[test]
fn a_simulator_and_status_v_are_refused_though_the_sum_is_right() {
    // garmin-geko201.log: status V, mode S, a speed of 10.8 kn.
    let sentence = "$GPRMC,214350,V,4023.8600,N,00339.1630,W,10.8,0.0,140605,2.5,W,S*21\r\n";
    let (fixes, state) = fixes(sentence.as_bytes());
    assert!(fixes.is_empty(), "{fixes:?}");
    assert_eq!((state.refused().status, state.refused().checksum), (1, 0));
}

#[test]
fn published_wrong_sums_are_refused() {
    // Published with these sums; 48 and 25 would be right.
    for sentence in [
        "$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K*41",
        "$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K,A*53",
        "$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K,A*27",
    ] {
        let (fixes, state) = fixes(format!("{sentence}\r\n").as_bytes());
        assert!(fixes.is_empty(), "{sentence}: {fixes:?}");
        assert_eq!(state.refused().checksum, 1, "{sentence}");
    }
    let right = speeds(b"$GPVTG,054.7,T,034.4,M,005.5,N,010.2,K,A*25\r\n");
    assert_eq!(right.len(), 1, "the right sum is taken");
}
