//! Whether a drive suits a drill, a seed lot and the ground speeds they are to work at.
//!
//! ```text
//!  ground speed v ─► shaft n = v · w · R / q(n) ─┬─► encoder edges/s ─► edges in the drive's lag τ1
//!                                                ├─► valve opening by the map
//!                                                ├─► motor n · i ─► flow D n i / η_v ─► drop over the valve
//!                                                └─► limits from below and above ─► the range that is left
//!  meter torque ─► drop over the motor 2π T / (D i η_m)
//!  relief setting ─► torque of a blocked meter D i p / 2π ─► against what the meter bears
//!  other D and i ─► the same again ─► ranked by the room around the ground speeds that are wanted
//! ```
//!
//! By the numbers that the controller is told, and by the oil side where the drill file has one. What load and wear take
//! from them is proved by `verify`.

mod alternative;
mod limit;
mod oil;
mod side;
mod trial;

pub use alternative::{Alternative, DISPLACEMENTS_M3, TEETH, with_motor};
pub use limit::{Binding, Limit, Limits};
pub use oil::{Oil, RESERVE};
pub use side::{SideSizing, Speed};
pub use trial::{GROUND_PULSES_PER_M, LOWEST_SPEED_MPS, Trial, TrialError};

use crate::scenario::read::ranges::TURNS_PER_METRE;
use crate::scenario::{Drill, SeedLot};
use crate::unit::System;
use limit::{drill_range, room};
use serde::Serialize;

/// Ground speeds that are wanted.
#[derive(Clone, Copy, Debug)]
pub struct Wanted {
    /// Slowest, m/s.
    pub from_mps: f64,
    /// Fastest, m/s.
    pub to_mps: f64,
    /// A person named one of them: then a drive that does not reach them does not fit.
    pub named: bool,
}

impl Default for Wanted {
    /// Speeds at which grain is sown, *common practice*.
    fn default() -> Self {
        Self { from_mps: 1.0, to_mps: 3.0, named: false }
    }
}

/// A drill and a seed lot, sized.
#[expect(clippy::struct_excessive_bools, reason = "each is an answer of its own")]
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
    /// Slowest ground speed that is wanted, m/s.
    pub wanted_from_mps: f64,
    /// Fastest, m/s.
    pub wanted_to_mps: f64,
    /// How many times further than wanted the range reaches, at its tighter end; below 1 it does not reach.
    pub room: f64,
    /// Some ground speed is left, those that a person named are among them, and the oil spares the meter.
    pub fits: bool,
    /// The oil side; none where the drill has no `[hydraulics]`.
    pub oil: Option<Oil>,
    /// Ratios and motors that would do better, the best first.
    pub alternatives: Vec<Alternative>,
    /// The drill has a second box, whose lot this is not.
    #[serde(skip)]
    pub two_boxes: bool,
    /// Nobody has noted a catch of the lot, and it is no demo.
    #[serde(skip)]
    pub uncaught: bool,
}

impl Sizing {
    /// Sizes a drill for a seed lot; ground speeds are listed in round numbers of `system`.
    pub fn of(drill: &Drill, lot: &SeedLot, wanted: Wanted, system: System) -> Self {
        let sides: Vec<_> =
            drill.sides.iter().map(|side| side::sized(drill, lot, side, system)).collect();
        let (from, to) = drill_range(drill, lot);
        let turns = sides.iter().all(|side| TURNS_PER_METRE.contains(&side.turns_per_m));
        let oil = drill.hydraulics.as_ref().map(|oil| Oil::of(oil, drill, lot, wanted));
        let room = room((from.speed_mps, to.speed_mps), wanted);
        let left = turns && from.speed_mps < to.speed_mps;
        let spares = oil.as_ref().is_none_or(Oil::suits);
        Self {
            drill: drill.name.clone(),
            seed_lot: lot.name.clone(),
            demo: drill.demo || lot.demo,
            rate_kg_per_ha: lot.rate_kg_per_ha,
            sides,
            from_mps: from.speed_mps,
            to_mps: to.speed_mps,
            wanted_from_mps: wanted.from_mps,
            wanted_to_mps: wanted.to_mps,
            room,
            fits: left && spares && (room >= 1.0 || !wanted.named),
            oil,
            alternatives: alternative::better(drill, lot, wanted),
            two_boxes: drill.products() > 1,
            uncaught: lot.caught.is_none() && !lot.demo,
        }
    }

    /// Some ground speed is left.
    pub fn leaves_speed(&self) -> bool {
        self.from_mps < self.to_mps
            && self.sides.iter().all(|side| TURNS_PER_METRE.contains(&side.turns_per_m))
    }
}
