//! The oil side of a drive, as far as a person knows it: what `size` and `sheet` reckon with. The controller is told none of it.

use crate::desk::{motor, valve};

/// Motor, gearing and supply. Pressures are drops over the motor, flows are of the whole drill's supply where they say so.
#[derive(Clone, Debug, PartialEq)]
pub struct Hydraulics {
    /// Displacement of the motor in one turn, m³.
    pub displacement_m3: f64,
    /// Turns of the motor for one turn of the meter shaft.
    pub ratio: f64,
    /// Share of the fed oil that turns the motor, 0..1.
    pub volumetric: f64,
    /// Share of the oil's torque that reaches the shaft, 0..1.
    pub mechanical: f64,
    /// Lowest speed at which the motor turns smoothly, by its maker, turns/s.
    pub lowest_motor: f64,
    /// Highest speed of the motor, by its maker, turns/s.
    pub highest_motor: f64,
    /// Setting of the relief valve, or the supply's highest pressure, Pa.
    pub relief_pa: f64,
    /// Flow that the tractor can spare for all sides together, m³/s.
    pub tractor_flow_m3_per_s: f64,
    /// Rated flow of the valve at full opening and `valve_drop_pa`, m³/s.
    pub valve_flow_m3_per_s: f64,
    /// Pressure drop at which the valve is rated, Pa.
    pub valve_drop_pa: f64,
    /// Torque that turning the meter takes, at the meter shaft, N·m.
    pub meter_torque_nm: f64,
    /// Torque that meter, chain or shear pin bears, at the meter shaft, N·m.
    pub bearable_torque_nm: f64,
    /// Torque at which a shear pin in the drive parts, at the meter shaft, N·m; none where there is no pin.
    pub shear_pin_nm: Option<f64>,
    /// Oil temperature at which these were measured or are meant, °C; none where nobody noted it.
    pub oil_c: Option<f64>,
}

impl Hydraulics {
    /// Flow that one side's motor must be fed while its meter shaft turns at `n` turns/s, m³/s.
    pub const fn flow_m3_per_s(&self, n: f64) -> f64 {
        motor::fed_m3_per_s(self.displacement_m3, n * self.ratio, self.volumetric)
    }

    /// Torque at the meter shaft that a pressure drop over the motor gives, N·m, without loss: what a blocked meter feels.
    pub const fn shaft_torque_nm(&self, drop_pa: f64) -> f64 {
        motor::torque_nm(self.displacement_m3, drop_pa) * self.ratio
    }

    /// Pressure drop over the motor that turning the meter takes, Pa.
    pub const fn drop_pa(&self) -> f64 {
        motor::drop_pa(self.displacement_m3, self.meter_torque_nm / (self.ratio * self.mechanical))
    }

    /// Setting of the relief valve that puts a torque on a blocked meter shaft, Pa.
    pub const fn relief_for_pa(&self, torque_nm: f64) -> f64 {
        motor::drop_pa(self.displacement_m3, torque_nm / self.ratio)
    }

    /// Speed of the meter shaft that a flow through one side's motor gives, turns/s.
    pub const fn shaft_turns_per_s(&self, flow_m3_per_s: f64) -> f64 {
        motor::turns_per_s(flow_m3_per_s * self.volumetric, self.displacement_m3) / self.ratio
    }

    /// Most that the valve passes, m³/s: its rated flow, or less where relief and motor leave it less than its rated drop.
    pub fn valve_flow_at_most(&self) -> f64 {
        let left_pa = (self.relief_pa - self.drop_pa()).min(self.valve_drop_pa);
        valve::flow(self.valve_flow_m3_per_s, 1.0, left_pa, self.valve_drop_pa)
    }

    /// What in it contradicts itself, and what to do about it.
    pub fn contradiction(&self) -> Option<(&'static str, &'static str)> {
        if self.highest_motor <= self.lowest_motor {
            let what = "highest_motor_speed is not above lowest_motor_speed";
            return Some((what, "see the motor's data sheet"));
        }
        if self.bearable_torque_nm <= self.meter_torque_nm {
            let what = "bearable_torque is not above meter_torque";
            return Some((what, "what the meter bears must be more than what turning it takes"));
        }
        if self.shear_pin_nm.is_some_and(|pin| pin <= self.meter_torque_nm) {
            let what = "shear_pin is not above meter_torque";
            return Some((what, "a pin must bear more than what turning the meter takes"));
        }
        None
    }
}
