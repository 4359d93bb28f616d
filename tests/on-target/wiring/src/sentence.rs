//! A receiver's sentence of a sample on the bench: RMC of NMEA 0183.
//!
//! The receiver stands near 52° north, 10° east; a degree of latitude is 60 nautical miles.

use sim::bench::SampleSense;

/// Knots in 1 m/s.
const KNOTS: f64 = 3_600.0 / 1_852.0;

/// A minute of latitude, m.
const MINUTE_M: f64 = 1_852.0;

/// Minutes beyond the degrees above, so that a short way stays in the same degree.
const AT_MINUTES: f64 = 30.0;

/// The piece begins at noon of this day, UTC.
const NOON_S: f64 = 43_200.0;

/// The sentence with its sum and line end; the sample was true at `at_s` after the piece began.
pub(crate) fn rmc(sample: &SampleSense, at_s: f64) -> String {
    let of_day = NOON_S + at_s;
    let (hours, rest) = (of_day.div_euclid(3_600.0), of_day.rem_euclid(3_600.0));
    let (minutes, seconds) = (rest.div_euclid(60.0), rest.rem_euclid(60.0));
    let [east, north] = sample.place_m.unwrap_or_default();
    let latitude = AT_MINUTES + north / MINUTE_M;
    let longitude = AT_MINUTES + east / (MINUTE_M * 52.5_f64.to_radians().cos());
    // Speed has no sign in a sentence: noise about a stand is a speed too.
    let knots = sample.speed_mps.abs() * KNOTS;
    let course = sample.course_rad.unwrap_or_default().to_degrees().rem_euclid(360.0);
    let body = format!(
        "GNRMC,{hours:02.0}{minutes:02.0}{seconds:06.3},A,52{latitude:09.6},N,010{longitude:09.6},E,\
         {knots:.3},{course:.2},240626,,,A"
    );
    let sum = body.bytes().fold(0_u8, |sum, byte| sum ^ byte);
    format!("${body}*{sum:02X}\r\n")
}
