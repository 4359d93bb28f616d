//! What limits the ground speed, from below and from above.
//!
//! ```text
//!  from below                                 from above
//!  lowest sowing speed                        shaft at full command
//!  shaft at 1/64 of its full speed            edges and ground pulses that the board captures
//!  encoder: an edge every 4 s                 motor's highest speed
//!  motor's lowest smooth speed                valve's flow, tractor's flow for all sides
//! ```
//!
//! A limit at a shaft speed n is one at the ground speed `v = n q(n) / (w R)`, the inverse of the law.

use super::Wanted;
use crate::bench::CAPTURE_RATE;
use crate::scenario::{Drill, SeedLot, Side};
use serde::Serialize;

/// A shaft turns smoothly down to this share of its full speed; below it the controller warns.
const SMOOTH: f64 = 1.0 / 64.0;

/// Edges further apart than this tell the controller no speed, s.
const LONGEST_WINDOW_S: f64 = 4.0;

/// Room that counts at either end: twice as slow and twice as fast as wanted is enough.
const ENOUGH_ROOM: f64 = 2.0;

/// A limit of the ground speed.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Limit {
    /// The ground speed, m/s.
    pub speed_mps: f64,
    /// What sets it.
    pub by: Binding,
}

/// What binds first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Binding {
    /// The lowest sowing speed that is set.
    LowestSowingSpeed,
    /// The lowest speed at which the shaft turns smoothly.
    SmoothTurning,
    /// Edges of the shaft's encoder too far apart to be measured.
    EncoderResolution,
    /// The lowest smooth speed of the motor, by its maker.
    MotorLowest,
    /// The shaft's speed at full command.
    FullCommand,
    /// Edges of the shaft's encoder that the board captures.
    ShaftCapture,
    /// Pulses of the ground sensor that the board captures.
    GroundCapture,
    /// The highest speed of the motor, by its maker.
    MotorHighest,
    /// The flow that the valve passes.
    ValveFlow,
    /// The flow that the tractor spares for all sides.
    TractorFlow,
}

/// Limits of a side.
#[derive(Clone, Debug)]
pub struct Limits {
    /// From below, the one that binds first.
    pub below: Vec<Limit>,
    /// From above, the one that binds first.
    pub above: Vec<Limit>,
}

impl Limits {
    /// Every limit of a side.
    pub fn of(drill: &Drill, lot: &SeedLot, side: &Side) -> Self {
        let at_shaft = |n: f64| at_shaft(lot, side, n);
        let edges = f64::from(side.encoder_pulses_per_turn);
        let (full, capture) = (drill.told_of(side).full_turns_per_s(), f64::from(CAPTURE_RATE));
        let mut below = vec![
            (drill.lowest_speed_mps, Binding::LowestSowingSpeed),
            (at_shaft(SMOOTH * full), Binding::SmoothTurning),
            (at_shaft(1.0 / (LONGEST_WINDOW_S * edges)), Binding::EncoderResolution),
        ];
        let mut above = vec![
            (at_shaft(full), Binding::FullCommand),
            (at_shaft(capture / edges), Binding::ShaftCapture),
            (capture / drill.ground_pulses_per_m, Binding::GroundCapture),
        ];
        if let Some(oil) = &drill.hydraulics {
            let valve = oil.shaft_turns_per_s(oil.valve_flow_at_most());
            below.push((at_shaft(oil.lowest_motor / oil.ratio), Binding::MotorLowest));
            above.push((at_shaft(oil.highest_motor / oil.ratio), Binding::MotorHighest));
            above.push((at_shaft(valve), Binding::ValveFlow));
            above.push((at_flow(drill, lot, oil.tractor_flow_m3_per_s), Binding::TractorFlow));
        }
        below.sort_by(|a, b| b.0.total_cmp(&a.0));
        above.sort_by(|a, b| a.0.total_cmp(&b.0));
        let named = |list: Vec<(f64, Binding)>| {
            list.into_iter().map(|(speed_mps, by)| Limit { speed_mps, by }).collect()
        };
        Self { below: named(below), above: named(above) }
    }

    /// The one from below that binds first.
    pub fn lowest(&self) -> Limit {
        let none = Limit { speed_mps: 0.0, by: Binding::LowestSowingSpeed };
        self.below.first().copied().unwrap_or(none)
    }

    /// The one from above that binds first.
    pub fn highest(&self) -> Limit {
        let none = Limit { speed_mps: 0.0, by: Binding::FullCommand };
        self.above.first().copied().unwrap_or(none)
    }
}

/// Ground speed at which the shaft of a side turns so fast, m/s: the inverse of n = v · w · R / q(n).
pub(super) fn at_shaft(lot: &SeedLot, side: &Side, n: f64) -> f64 {
    n * lot.kg_per_turn(n) / (1e-4 * lot.rate_kg_per_ha * side.width_m)
}

/// Flow that all sides together take at a ground speed, m³/s; none without an oil side.
pub(super) fn flow_of_all(drill: &Drill, lot: &SeedLot, speed_mps: f64) -> f64 {
    let Some(oil) = &drill.hydraulics else { return 0.0 };
    let turns = |side: &Side| speed_mps * lot.turns_per_m(side.width_m, speed_mps);
    drill.sides.iter().map(|side| oil.flow_m3_per_s(turns(side))).sum()
}

/// Ground speed at which all sides together take a flow, m/s: halved until the last bit, for each has its own curve.
fn at_flow(drill: &Drill, lot: &SeedLot, flow_m3_per_s: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while flow_of_all(drill, lot, high) < flow_m3_per_s && high < 1e6 {
        (low, high) = (high, 2.0 * high);
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if flow_of_all(drill, lot, middle) < flow_m3_per_s {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// The limits of all sides together that bind first, from below and from above.
pub(super) fn drill_range(drill: &Drill, lot: &SeedLot) -> (Limit, Limit) {
    let limits: Vec<Limits> = drill.sides.iter().map(|side| Limits::of(drill, lot, side)).collect();
    let lowest = limits.iter().map(Limits::lowest);
    let highest = limits.iter().map(Limits::highest);
    let none = Limit { speed_mps: 0.0, by: Binding::FullCommand };
    (
        lowest.max_by(|a, b| a.speed_mps.total_cmp(&b.speed_mps)).unwrap_or(none),
        highest.min_by(|a, b| a.speed_mps.total_cmp(&b.speed_mps)).unwrap_or(none),
    )
}

/// How many times further than wanted a range reaches at its tighter end, up to [`ENOUGH_ROOM`]; below 1 it does not.
pub(super) fn room((from_mps, to_mps): (f64, f64), wanted: Wanted) -> f64 {
    let room = (wanted.from_mps / from_mps).min(to_mps / wanted.to_mps).min(ENOUGH_ROOM);
    // A speed that is named as it was shown is not out of reach by the last bit.
    if (room - 1.0).abs() < 1e-9 { 1.0 } else { room }
}
