//! Torque: what the oil can put on the meter shaft against what the meter bears.
//!
//! ```text
//!  p_turn = 2π T_meter / (D i η_m)        T_turn = D i p_relief η_m / 2π
//!  T_blocked = D i p_relief / 2π          p_safe = 2π T_bears / (D i)
//! ```
//!
//! A ground wheel slips when the meter is blocked; a hydraulic motor does not. It pushes until the relief valve opens, and
//! a blocked shaft feels no friction loss in the motor's favour: so that torque is reckoned without loss.

use super::Wanted;
use super::limit::flow_of_all;
use crate::scenario::{Drill, Hydraulics, SeedLot};
use serde::Serialize;

/// Torque at the relief setting over that which turning takes, at the least: starting takes more than turning, and oil is
/// thicker when cold (*common practice*).
pub const RESERVE: f64 = 1.5;

/// The oil side, sized.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Oil {
    /// Displacement of the motor in one turn, m³.
    pub displacement_m3: f64,
    /// Turns of the motor for one of the meter shaft.
    pub ratio: f64,
    /// Torque that turning the meter takes, at its shaft, N·m.
    pub meter_torque_nm: f64,
    /// Drop over the motor that this takes, Pa.
    pub drop_pa: f64,
    /// Setting of the relief valve, Pa.
    pub relief_pa: f64,
    /// Torque with which the relief setting can turn the meter, N·m.
    pub turning_torque_nm: f64,
    /// Torque that it puts on a blocked meter, N·m.
    pub blocked_torque_nm: f64,
    /// Torque that the meter bears, N·m.
    pub bearable_torque_nm: f64,
    /// Torque at which the shear pin parts, N·m; none where there is no pin.
    pub shear_pin_nm: Option<f64>,
    /// Relief setting at which a blocked meter still bears it, Pa.
    pub relief_at_most_pa: f64,
    /// Torque that the relief setting gives over that which turning takes.
    pub reserve: f64,
    /// A blocked meter breaks nothing but a shear pin.
    pub spares_the_meter: bool,
    /// The relief setting is enough to turn the meter.
    pub turns_the_meter: bool,
    /// Flow of all sides together at the fastest ground speed that is wanted, m³/s.
    pub flow_at_wanted_m3_per_s: f64,
    /// Flow that the tractor spares, m³/s.
    pub tractor_flow_m3_per_s: f64,
}

impl Oil {
    /// Sizes the oil side.
    pub fn of(oil: &Hydraulics, drill: &Drill, lot: &SeedLot, wanted: Wanted) -> Self {
        let blocked_torque_nm = oil.shaft_torque_nm(oil.relief_pa);
        let turning_torque_nm = blocked_torque_nm * oil.mechanical;
        let parts_first = oil.shear_pin_nm.is_some_and(|pin| pin <= oil.bearable_torque_nm);
        Self {
            displacement_m3: oil.displacement_m3,
            ratio: oil.ratio,
            meter_torque_nm: oil.meter_torque_nm,
            drop_pa: oil.drop_pa(),
            relief_pa: oil.relief_pa,
            turning_torque_nm,
            blocked_torque_nm,
            bearable_torque_nm: oil.bearable_torque_nm,
            shear_pin_nm: oil.shear_pin_nm,
            relief_at_most_pa: oil.relief_for_pa(oil.bearable_torque_nm),
            reserve: turning_torque_nm / oil.meter_torque_nm,
            spares_the_meter: blocked_torque_nm <= oil.bearable_torque_nm || parts_first,
            turns_the_meter: turning_torque_nm >= oil.meter_torque_nm,
            flow_at_wanted_m3_per_s: flow_of_all(drill, lot, wanted.to_mps),
            tractor_flow_m3_per_s: oil.tractor_flow_m3_per_s,
        }
    }

    /// It turns the meter and cannot break it.
    pub const fn suits(&self) -> bool {
        self.turns_the_meter && self.spares_the_meter
    }
}
