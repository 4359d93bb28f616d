//! An invented bus log, for demonstration: a start, a pass at 2 m/s, a slow spot, a stop. No such tractor exists.

use super::{BusMoment, BusSender, BusSenderConfig, Said, Sends};
use crate::profile::candump::Logged;
use std::fmt::Write as _;

/// Length of the log, s.
const LENGTH_S: f64 = 45.0;
/// The hitch is down in between, s.
const LOWERED_S: std::ops::Range<f64> = 3.0..40.0;
/// Speed of the wheels over that of the ground.
const SLIP: f64 = 1.05;
/// Points of instant and speed over ground: `[point](s, m/s)`.
const POINTS: [(f64, f64); 9] = [
    (0.0, 0.0),
    (4.0, 0.0),
    (8.0, 2.0),
    (20.0, 2.0),
    (22.0, 1.4),
    (28.0, 1.4),
    (30.0, 2.0),
    (38.0, 2.0),
    (41.0, 0.0),
];

/// The log as candump text; always the same.
pub fn demo_log() -> String {
    let sends = vec![Sends::Wheel, Sends::Ground, Sends::Hitch];
    let config = BusSenderConfig { address: 0x45, sends, ..BusSenderConfig::default() };
    let mut sender = BusSender::new(config);
    let mut text = String::new();
    let mut millis = 0;
    while f64::from(millis) * 0.001 < LENGTH_S {
        let t_s = f64::from(millis) * 0.001;
        let mps = speed_mps(t_s);
        let (wheel, ground) = (Said::Speed(mps * SLIP), Said::Speed(mps));
        let lowered = LOWERED_S.contains(&t_s);
        let moment = BusMoment { t_s, wheel, ground, lowered, yaw_rad_per_s: 0.0 };
        for (turn, frame) in (0_u32..).zip(sender.step(moment)) {
            // Frames of a round follow each other: 0.5 ms is a frame at 250 kbit/s.
            let logged = Logged::new(t_s + f64::from(turn) * 0.000_5, "can0", frame);
            let line = writeln!(text, "{logged}");
            debug_assert!(line.is_ok(), "a string takes every line");
        }
        millis += 10;
    }
    text
}

/// Linear between the points; the tractor stands after the last.
fn speed_mps(t_s: f64) -> f64 {
    let between = POINTS.windows(2).find(|pair| t_s < pair[1].0);
    between.map_or(0.0, |pair| {
        let share = (t_s - pair[0].0) / (pair[1].0 - pair[0].0);
        pair[0].1 + share * (pair[1].1 - pair[0].1)
    })
}
