//! Ratios and motors that would do better.
//!
//! Every motor of a usual size with every usual pair of sprockets takes the place of the drill's own. What is known of
//! the drill's motor is carried over, on the safe side:
//!
//! ```text
//!  map      the valve's flow at a command stays: shaft speeds × (D i) / (D' i')
//!  fastest  a larger motor takes no more oil than this one: n_max × min(1, D / D')
//!  slowest  a smaller motor leaks no less oil than this one: n_min × max(1, D / D')
//!  relief   the setting, or less if the meter does not bear it
//! ```
//!
//! A pair is left out where the relief setting does not turn the meter with [`RESERVE`]. The rest is ranked:
//!
//! 1. by its *room*: `min(wanted from / from, to / wanted to, 2)`, to a hundredth; twice is enough at either end;
//! 2. those that need no lower relief setting before those that do;
//! 3. by flow at the fastest ground speed wanted, the least first: less oil, less heat.
//!
//! Only what ranks before the drill's own motor is told.

use super::Wanted;
use super::limit::{Binding, drill_range, flow_of_all, room};
use super::oil::RESERVE;
use crate::scenario::{Drill, Hydraulics, SeedLot};
use serde::Serialize;
use std::cmp::Ordering;

/// Most that are told.
const TOLD: usize = 8;

/// Displacements, m³: the preferred numbers R10 of ISO 3 in cm³. That motors come in these is *common practice*.
pub const DISPLACEMENTS_M3: [f64; 18] = [
    8e-6, 10e-6, 12.5e-6, 16e-6, 20e-6, 25e-6, 31.5e-6, 40e-6, 50e-6, 63e-6, 80e-6, 100e-6, 125e-6,
    160e-6, 200e-6, 250e-6, 315e-6, 400e-6,
];

/// Teeth of the sprockets on motor and meter shaft, *common practice*.
pub const TEETH: [(u32, u32); 16] = [
    (48, 12),
    (36, 12),
    (30, 12),
    (24, 12),
    (18, 12),
    (15, 12),
    (12, 12),
    (12, 15),
    (12, 18),
    (12, 24),
    (12, 30),
    (12, 36),
    (12, 42),
    (12, 48),
    (12, 60),
    (12, 72),
];

/// Another motor on another pair of sprockets.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Alternative {
    /// Displacement of the motor in one turn, m³.
    pub displacement_m3: f64,
    /// Turns of the motor for one of the meter shaft.
    pub ratio: f64,
    /// Teeth on the motor.
    pub motor_teeth: u32,
    /// Teeth on the meter shaft.
    pub shaft_teeth: u32,
    /// Lowest smooth speed that was taken for this motor, turns/s.
    pub lowest_motor_turns_per_s: f64,
    /// Highest speed that was taken for it, turns/s.
    pub highest_motor_turns_per_s: f64,
    /// Relief setting it needs, Pa.
    pub relief_pa: f64,
    /// That is lower than the setting is now.
    pub relief_lowered: bool,
    /// Torque of that setting over what turning the meter takes.
    pub reserve: f64,
    /// Flow of all sides at the fastest ground speed wanted, m³/s.
    pub flow_m3_per_s: f64,
    /// Slowest ground speed, m/s.
    pub from_mps: f64,
    /// What sets it.
    pub from_by: Binding,
    /// Fastest ground speed, m/s.
    pub to_mps: f64,
    /// What sets it.
    pub to_by: Binding,
    /// How many times further than wanted the range reaches, at its tighter end.
    pub room: f64,
}

impl Alternative {
    /// Which of two is better; the better is less.
    pub fn rank(&self, other: &Self) -> Ordering {
        let hundredths = |room: f64| libm::round(room * 100.0);
        hundredths(other.room)
            .total_cmp(&hundredths(self.room))
            .then(self.relief_lowered.cmp(&other.relief_lowered))
            .then(self.flow_m3_per_s.total_cmp(&other.flow_m3_per_s))
    }

    /// The range of a drill with a motor in it.
    fn of(drill: &Drill, lot: &SeedLot, wanted: Wanted, set_pa: f64) -> Option<Self> {
        let oil = drill.hydraulics.as_ref()?;
        let (from, to) = drill_range(drill, lot);
        Some(Self {
            displacement_m3: oil.displacement_m3,
            ratio: oil.ratio,
            motor_teeth: 0,
            shaft_teeth: 0,
            lowest_motor_turns_per_s: oil.lowest_motor,
            highest_motor_turns_per_s: oil.highest_motor,
            relief_pa: oil.relief_pa,
            relief_lowered: oil.relief_pa < set_pa,
            reserve: oil.relief_pa / oil.drop_pa(),
            flow_m3_per_s: flow_of_all(drill, lot, wanted.to_mps),
            from_mps: from.speed_mps,
            from_by: from.by,
            to_mps: to.speed_mps,
            to_by: to.by,
            room: room((from.speed_mps, to.speed_mps), wanted),
        })
    }
}

/// The drill with another motor and gearing; its maps are those of the same valve on it.
#[must_use]
pub fn with_motor(drill: &Drill, oil: Hydraulics) -> Drill {
    let mut changed = drill.clone();
    if let Some(before) = &drill.hydraulics {
        let turns = |oil: &Hydraulics| oil.shaft_turns_per_s(oil.valve_flow_m3_per_s);
        let factor = turns(&oil) / turns(before);
        for drive in changed.told_mut() {
            for point in &mut drive.map {
                point.1 *= factor;
            }
        }
    }
    changed.hydraulics = Some(oil);
    changed
}

/// Those that do better than the drill's own motor, the best first.
pub(super) fn better(drill: &Drill, lot: &SeedLot, wanted: Wanted) -> Vec<Alternative> {
    let Some(own) = &drill.hydraulics else { return Vec::new() };
    let spared = within_torque(own, own.relief_pa).map(|oil| with_motor(drill, oil));
    let present = spared.and_then(|drill| Alternative::of(&drill, lot, wanted, own.relief_pa));
    let pairs = DISPLACEMENTS_M3.iter().flat_map(|&size| TEETH.map(|teeth| (size, teeth)));
    let mut found: Vec<Alternative> = pairs
        .filter_map(|(displacement_m3, teeth)| {
            let oil = within_torque(&of_size(own, displacement_m3, teeth), own.relief_pa)?;
            let changed = with_motor(drill, oil);
            let found = Alternative::of(&changed, lot, wanted, own.relief_pa)?;
            Some(Alternative { motor_teeth: teeth.0, shaft_teeth: teeth.1, ..found })
        })
        .filter(|it| it.from_mps < it.to_mps)
        .filter(|it| present.is_none_or(|present| it.rank(&present).is_lt()))
        .collect();
    found.sort_by(Alternative::rank);
    found.truncate(TOLD);
    found
}

/// A motor of another size on other sprockets, as far as it is known from this one.
fn of_size(own: &Hydraulics, displacement_m3: f64, (motor, shaft): (u32, u32)) -> Hydraulics {
    let share = own.displacement_m3 / displacement_m3;
    Hydraulics {
        displacement_m3,
        ratio: f64::from(shaft) / f64::from(motor),
        lowest_motor: own.lowest_motor * share.max(1.0),
        highest_motor: own.highest_motor * share.min(1.0),
        ..own.clone()
    }
}

/// With the relief as it is set, or lower if the meter wants it; none where that does not turn the meter with a reserve.
fn within_torque(oil: &Hydraulics, set_pa: f64) -> Option<Hydraulics> {
    let relief_pa = set_pa.min(oil.relief_for_pa(oil.bearable_torque_nm));
    (relief_pa >= RESERVE * oil.drop_pa()).then(|| Hydraulics { relief_pa, ..oil.clone() })
}
