//! One driven side over the ground speeds.

use super::limit::{Limit, Limits, at_shaft};
use crate::desk::encoder::edges_in_window;
use crate::desk::valve;
use crate::machine::command_for;
use crate::scenario::{Drill, Drive, SeedLot, Side};
use crate::unit::{SPEED, System};
use serde::Serialize;

/// Edges in the drive's lag from which the loop works on the edges alone.
const ENOUGH_EDGES: f64 = 2.0;

/// A limit and a speed that are equal but for rounding, share.
const DUST: f64 = 1e-9;

/// Points of the curve.
const CURVE: i32 = 240;

/// A driven side, sized.
#[derive(Clone, Debug, Serialize)]
pub struct SideSizing {
    /// Name of the side.
    pub side: String,
    /// Working width, m.
    pub width_m: f64,
    /// Turns of the meter shaft per metre of travel, at 2 m/s where the meter's delivery depends on its speed.
    pub turns_per_m: f64,
    /// Travel in one turn of the shaft, m.
    pub travel_per_turn_m: f64,
    /// Travel in which one flute passes, m; none where the drill file names no flutes.
    pub travel_per_flute_m: Option<f64>,
    /// Ground speed from which two edges fall in the drive's lag, m/s.
    pub two_edges_from_mps: f64,
    /// The limit from below that binds first.
    pub lowest: Limit,
    /// That from above.
    pub highest: Limit,
    /// Every limit from below, the one that binds first on top.
    pub from_below: Vec<Limit>,
    /// Every limit from above, the one that binds first on top.
    pub from_above: Vec<Limit>,
    /// What each ground speed asks of the drive.
    pub speeds: Vec<Speed>,
    /// The same in steps of 0.05 m/s from 0.05 m/s on, for a picture.
    #[serde(skip)]
    pub curve: Vec<Speed>,
}

/// A ground speed and what it asks of the drive.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Speed {
    /// Ground speed, m/s.
    pub speed_mps: f64,
    /// Shaft speed, turns/s.
    pub turns_per_s: f64,
    /// Motor speed, turns/s; none without an oil side.
    pub motor_turns_per_s: Option<f64>,
    /// Flow that the motor is fed, m³/s.
    pub flow_m3_per_s: Option<f64>,
    /// Edges of the encoder in a second.
    pub edges_per_s: f64,
    /// Edges in the drive's lag.
    pub edges_per_lag: f64,
    /// Valve command by the map, share of full; 1 where more is asked for than it gives.
    pub opening: f64,
    /// Drop over the valve that the flow takes where it opens in step with the command above the opening command, Pa.
    pub valve_drop_pa: Option<f64>,
    /// Within both limits.
    pub within: bool,
}

/// Sizes a side.
pub(super) fn sized(drill: &Drill, lot: &SeedLot, side: &Side, system: System) -> SideSizing {
    let (told, edges) = (drill.told_of(side), f64::from(side.encoder_pulses_per_turn));
    let limits = Limits::of(drill, lot, side);
    let (lowest, highest) = (limits.lowest(), limits.highest());
    let turns_per_m = lot.turns_per_m(side.width_m, 2.0);
    let flutes = f64::from(drill.truth.meter.flutes);
    let speed = |speed_mps: f64| Speed {
        within: speed_mps >= lowest.speed_mps * (1.0 - DUST)
            && speed_mps <= highest.speed_mps * (1.0 + DUST),
        ..asked(drill, lot, side, speed_mps)
    };
    SideSizing {
        side: side.name.clone(),
        width_m: side.width_m,
        turns_per_m,
        travel_per_turn_m: 1.0 / turns_per_m,
        travel_per_flute_m: (flutes > 0.0).then(|| 1.0 / (turns_per_m * flutes)),
        two_edges_from_mps: at_shaft(lot, side, ENOUGH_EDGES / (told.lag_s * edges)),
        lowest,
        highest,
        from_below: limits.below,
        from_above: limits.above,
        speeds: round_speeds(system).map(speed).collect(),
        curve: (1..=CURVE).map(|step| speed(f64::from(step) * 0.05)).collect(),
    }
}

/// What a ground speed asks of the drive of a side.
fn asked(drill: &Drill, lot: &SeedLot, side: &Side, speed_mps: f64) -> Speed {
    let told = drill.told_of(side);
    let n = speed_mps * lot.turns_per_m(side.width_m, speed_mps);
    let window = |time_s| edges_in_window(side.encoder_pulses_per_turn, n, time_s);
    let oil = drill.hydraulics.as_ref();
    let flow_m3_per_s = oil.map(|oil| oil.flow_m3_per_s(n));
    let opened = travel(told, n);
    Speed {
        speed_mps,
        turns_per_s: n,
        motor_turns_per_s: oil.map(|oil| n * oil.ratio),
        flow_m3_per_s,
        edges_per_s: window(1.0),
        edges_per_lag: window(told.lag_s),
        opening: command_for(&told.map, n),
        valve_drop_pa: oil.zip(flow_m3_per_s).map(|(oil, flow)| {
            valve::drop(oil.valve_flow_m3_per_s, opened, flow, oil.valve_drop_pa)
        }),
        within: false,
    }
}

/// Share of its way that the valve has opened: the command above the opening command, over all there is above it.
fn travel(told: &Drive, n: f64) -> f64 {
    let opening = told.opening();
    (command_for(&told.map, n) - opening) / (1.0 - opening)
}

/// Ground speeds in round numbers: 0.5 to 5 m/s, or 1 to 11 mph.
fn round_speeds(system: System) -> impl Iterator<Item = f64> {
    let mile = SPEED.preferred(System::Us).map_or(1.0, |unit| unit.to_own(1.0));
    let (step, number) = if system == System::Us { (mile, 11) } else { (0.5, 10) };
    (1..=number).map(move |index| f64::from(index) * step)
}
