//! Whether a drive suits a drill, a seed lot and the ground speeds they are to work at.
//!
//! ```text
//!  ground speed v ─► shaft n = v · w · R / q(n) ─┬─► encoder edges/s ─► edges in the drive's lag τ1
//!                                                ├─► valve opening by the map
//!                                                └─► limits: full speed, 1/64 of it, capture rate
//! ```
//!
//! By the numbers that the controller is told. What oil, load and wear take from them is proved by `verify`.

use crate::bench::CAPTURE_RATE;
use crate::desk::encoder::edges_in_window;
use crate::machine::command_for;
use crate::scenario::{Drill, SeedLot, Side};
use crate::unit::{SPEED, System};
use serde::Serialize;

/// A shaft turns smoothly down to this share of its full speed; below it the controller warns.
const SMOOTH: f64 = 1.0 / 64.0;

/// Edges in the drive's lag from which the loop works on the edges alone.
const ENOUGH_EDGES: f64 = 2.0;

/// Turns of the meter shaft per metre that the controller takes.
const TURNS_PER_METRE: std::ops::RangeInclusive<f64> = 0.001..=50.0;

/// A drill and a seed lot, sized.
#[derive(Clone, Debug, Serialize)]
pub struct Sizing {
    /// Name of the drill.
    pub drill: String,
    /// Name of the seed lot.
    pub seed_lot: String,
    /// One of them is invented for demonstration.
    pub demo: bool,
    /// Rate asked for, kg/ha.
    pub rate_kg_per_ha: f64,
    /// Each driven side.
    pub sides: Vec<SideSizing>,
    /// Slowest ground speed that all sides can work at, m/s.
    pub from_mps: f64,
    /// Fastest, m/s.
    pub to_mps: f64,
    /// Some ground speed is left.
    pub fits: bool,
    /// The drill has a second box, whose lot this is not.
    #[serde(skip)]
    pub two_boxes: bool,
}

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
    /// Limits of the ground speed from below, the one that binds first.
    pub lowest: Limit,
    /// Limits from above, the one that binds first.
    pub highest: Limit,
    /// What each ground speed asks of the drive.
    pub speeds: Vec<Speed>,
}

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
    /// The shaft's speed at full command.
    FullCommand,
    /// Edges of the shaft's encoder that the board captures.
    ShaftCapture,
    /// Pulses of the ground sensor that the board captures.
    GroundCapture,
}

/// A ground speed and what it asks of the drive.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Speed {
    /// Ground speed, m/s.
    pub speed_mps: f64,
    /// Shaft speed, turns/s.
    pub turns_per_s: f64,
    /// Edges of the encoder in a second.
    pub edges_per_s: f64,
    /// Edges in the drive's lag.
    pub edges_per_lag: f64,
    /// Valve command by the map, share of full; 1 where more is asked for than it gives.
    pub opening: f64,
    /// Within both limits.
    pub within: bool,
}

impl Sizing {
    /// Sizes a drill for a seed lot; ground speeds are listed in round numbers of `system`.
    pub fn of(drill: &Drill, lot: &SeedLot, system: System) -> Self {
        let sides: Vec<_> =
            drill.sides.iter().map(|side| sized(drill, lot, side, system)).collect();
        let from_mps = sides.iter().map(|side| side.lowest.speed_mps).fold(0.0, f64::max);
        let to_mps = sides.iter().map(|side| side.highest.speed_mps).fold(f64::INFINITY, f64::min);
        let turns = sides.iter().all(|side| TURNS_PER_METRE.contains(&side.turns_per_m));
        Self {
            drill: drill.name.clone(),
            seed_lot: lot.name.clone(),
            demo: drill.demo || lot.demo,
            rate_kg_per_ha: lot.rate_kg_per_ha,
            sides,
            from_mps,
            to_mps,
            fits: turns && from_mps < to_mps,
            two_boxes: drill.products() > 1,
        }
    }
}

fn sized(drill: &Drill, lot: &SeedLot, side: &Side, system: System) -> SideSizing {
    let (told, edges) = (drill.told_of(side), f64::from(side.encoder_pulses_per_turn));
    // Ground speed at which the shaft turns so fast: the inverse of n = v · w · R / q(n).
    let at_shaft = |n: f64| n * lot.kg_per_turn(n) / (1e-4 * lot.rate_kg_per_ha * side.width_m);
    let full = told.full_turns_per_s();
    let capture = f64::from(CAPTURE_RATE);
    let lowest = [
        (drill.lowest_speed_mps, Binding::LowestSowingSpeed),
        (at_shaft(SMOOTH * full), Binding::SmoothTurning),
    ];
    let highest = [
        (at_shaft(full), Binding::FullCommand),
        (at_shaft(capture / edges), Binding::ShaftCapture),
        (capture / drill.ground_pulses_per_m, Binding::GroundCapture),
    ];
    let [lowest, highest] = [
        lowest.into_iter().max_by(|a, b| a.0.total_cmp(&b.0)),
        highest.into_iter().min_by(|a, b| a.0.total_cmp(&b.0)),
    ]
    .map(|found| found.unwrap_or((0.0, Binding::FullCommand)))
    .map(|(speed_mps, by)| Limit { speed_mps, by });
    let turns_per_m = lot.turns_per_m(side.width_m, 2.0);
    let flutes = f64::from(drill.truth.meter.flutes);
    let speed = |speed_mps: f64| {
        let n = speed_mps * lot.turns_per_m(side.width_m, speed_mps);
        let window = |time_s| edges_in_window(side.encoder_pulses_per_turn, n, time_s);
        Speed {
            speed_mps,
            turns_per_s: n,
            edges_per_s: window(1.0),
            edges_per_lag: window(told.lag_s),
            opening: command_for(&told.map, n),
            within: speed_mps >= lowest.speed_mps && speed_mps <= highest.speed_mps,
        }
    };
    SideSizing {
        side: side.name.clone(),
        width_m: side.width_m,
        turns_per_m,
        travel_per_turn_m: 1.0 / turns_per_m,
        travel_per_flute_m: (flutes > 0.0).then(|| 1.0 / (turns_per_m * flutes)),
        two_edges_from_mps: at_shaft(ENOUGH_EDGES / (told.lag_s * edges)),
        lowest,
        highest,
        speeds: round_speeds(system).map(speed).collect(),
    }
}

/// Ground speeds in round numbers: 0.5 to 5 m/s, or 1 to 11 mph.
fn round_speeds(system: System) -> impl Iterator<Item = f64> {
    let mile = SPEED.preferred(System::Us).map_or(1.0, |unit| unit.to_own(1.0));
    let (step, number) = if system == System::Us { (mile, 11) } else { (0.5, 10) };
    (1..=number).map(move |index| f64::from(index) * step)
}
