//! An invented field day, for demonstration: passes, headland turns, stops in the row.
//!
//! ```text
//!  pass ──► (a stop, in every third) ──► slow, lift ──► turn by 180°, left and right in turn ──► lower ──► pass
//! ```
//!
//! The driver's speed goes to the phase's target at 0.5 m/s² at most and wanders a little around it:
//! `w += −0.1 w + 0.12 r`, r uniform in ±0.5 m/s. No such field exists.

use rand_pcg::{Pcg32, rand_core::Rng};
use std::fmt::Write;

/// Length of the track, s.
const LENGTH_S: u32 = 900;
/// Length of a pass without its stop, s.
const PASS_S: u32 = 66;
/// Length of a headland turn, s.
const TURN_S: u32 = 20;
/// Most that the speed changes in a second, m/s.
const CHANGE_MPS: f64 = 0.5;

/// The track as CSV, a line a second; the same for the same seed.
pub fn field(seed: u64) -> String {
    let mut text = "t_s,speed_mps,in_work,heading_deg\n".to_owned();
    let mut dice = Pcg32::new(seed, 0);
    let (mut speed_mps, mut wander_mps) = (0.0, 0.0);
    for second in 0..LENGTH_S {
        let Moment { target_mps, in_work, heading_deg } = moment(second);
        let uniform = f64::from(dice.next_u32()) / f64::from(u32::MAX) - 0.5;
        wander_mps += 0.12 * uniform - 0.1 * wander_mps;
        let aim = if target_mps > 0.0 { target_mps + wander_mps } else { 0.0 };
        speed_mps += (aim - speed_mps).clamp(-CHANGE_MPS, CHANGE_MPS);
        let in_work = u8::from(in_work);
        let line = writeln!(text, "{second}.0,{speed_mps:.2},{in_work},{heading_deg:.1}");
        debug_assert!(line.is_ok(), "a string takes every line");
    }
    text
}

/// What the driver is about.
struct Moment {
    target_mps: f64,
    in_work: bool,
    heading_deg: f64,
}

/// What the driver is about in this second.
fn moment(second: u32) -> Moment {
    let (pass, within) = (second / (PASS_S + TURN_S), second % (PASS_S + TURN_S));
    let (there, back) = if pass % 2 == 0 { (12.0, 192.0) } else { (192.0, 12.0) };
    if within >= PASS_S {
        let turned = f64::from(within - PASS_S) / f64::from(TURN_S);
        let heading_deg = there + (back - there) * turned;
        return Moment { target_mps: 1.3, in_work: false, heading_deg };
    }
    let stops = pass % 3 == 2 && (30..40).contains(&within);
    let slows = !(3..PASS_S - 4).contains(&within);
    let target_mps = match (stops, slows) {
        (true, _) => 0.0,
        (false, true) => 1.3,
        (false, false) => 2.0 + 0.2 * f64::from(pass % 5),
    };
    Moment { target_mps, in_work: true, heading_deg: there }
}

/// An invented receiver at 5 Hz: RMC sentences of eighty seconds with midnight inside.
pub fn receiver() -> String {
    let mut text = String::new();
    let mut north_m = 0.0;
    for tick in 0..400_u32 {
        let t = f64::from(tick) / 5.0;
        let mps = receiver_speed(t);
        north_m += mps / 5.0;
        // From 23:59:30 on.
        let of_day = (86_370.0 + t) % 86_400.0;
        let (hours, rest) = (libm::floor(of_day / 3600.0), of_day % 3600.0);
        let utc = format!("{hours:02.0}{:02.0}{:06.3}", libm::floor(rest / 60.0), rest % 60.0);
        let minutes = north_m / 1855.325;
        let course = if mps < 0.3 { "" } else { "0.00" };
        let knots = mps * 3600.0 / 1852.0;
        let body = format!(
            "GNRMC,{utc},A,52{minutes:09.6},N,01000.000000,E,{knots:.3},{course},240626,,,A"
        );
        let sum = body.bytes().fold(0_u8, |sum, byte| sum ^ byte);
        let _ = write!(text, "${body}*{sum:02X}\r\n");
    }
    text
}

/// Speed of the invented receiver at `t`, m/s: a start, a pass, a slow spot, a stop.
fn receiver_speed(t: f64) -> f64 {
    let points = [
        (0.0, 0.0),
        (5.0, 0.0),
        (9.0, 2.0),
        (30.0, 2.0),
        (33.0, 1.2),
        (40.0, 1.2),
        (43.0, 2.2),
        (70.0, 2.2),
        (75.0, 0.0),
        (80.0, 0.0),
    ];
    let pair = points.windows(2).find(|pair| t <= pair[1].0).unwrap_or(&points[8..]);
    let share = ((t - pair[0].0) / (pair[1].0 - pair[0].0)).clamp(0.0, 1.0);
    pair[0].1 + (pair[1].1 - pair[0].1) * share
}
