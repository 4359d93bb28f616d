//! Hydraulic motor: displacement, flow, torque, leakage, efficiencies. SI throughout.
//!
//! `Q = D n / η_v`, `T = D p η_m / 2π`, `P = p Q`.

use std::f64::consts::{PI, TAU};

/// Flow that a motor without leakage takes, m³/s.
pub const fn flow_m3_per_s(displacement_m3: f64, turns_per_s: f64) -> f64 {
    displacement_m3 * turns_per_s
}

/// Flow that must be fed, leakage included, m³/s: a leaking *motor* needs more than its displacement.
pub const fn fed_m3_per_s(displacement_m3: f64, turns_per_s: f64, volumetric: f64) -> f64 {
    flow_m3_per_s(displacement_m3, turns_per_s) / volumetric
}

/// Speed of a motor without leakage, turns/s.
pub const fn turns_per_s(flow_m3_per_s: f64, displacement_m3: f64) -> f64 {
    flow_m3_per_s / displacement_m3
}

/// Speed of a motor that leaks, turns/s; it stands while all that is fed leaks away.
pub const fn leaking_turns_per_s(
    fed_m3_per_s: f64,
    leak_m3_per_s: f64,
    displacement_m3: f64,
) -> f64 {
    turns_per_s((fed_m3_per_s - leak_m3_per_s).max(0.0), displacement_m3)
}

/// Share of the fed flow that turns the shaft.
pub const fn volumetric_efficiency(
    fed_m3_per_s: f64,
    turns_per_s: f64,
    displacement_m3: f64,
) -> f64 {
    flow_m3_per_s(displacement_m3, turns_per_s) / fed_m3_per_s
}

/// Torque of a motor without friction at a pressure drop, N·m.
pub const fn torque_nm(displacement_m3: f64, drop_pa: f64) -> f64 {
    displacement_m3 * drop_pa / TAU
}

/// Pressure drop that a torque takes, Pa.
pub const fn drop_pa(displacement_m3: f64, torque_nm: f64) -> f64 {
    torque_nm * TAU / displacement_m3
}

/// Share of the oil's torque that reaches the shaft.
pub const fn mechanical_efficiency(torque_nm: f64, displacement_m3: f64, drop_pa: f64) -> f64 {
    torque_nm / self::torque_nm(displacement_m3, drop_pa)
}

/// Share of the oil's torque that reaches the shaft, where the whole and the volumetric share are known.
pub const fn mechanical_of(overall: f64, volumetric: f64) -> f64 {
    overall / volumetric
}

/// Power at a shaft, W.
pub const fn power_w(torque_nm: f64, turns_per_s: f64) -> f64 {
    torque_nm * TAU * turns_per_s
}

/// Displacement of a balanced vane motor, m³: the ring between rotor and cam, `π (R² − r²) L`.
pub const fn vane_displacement_m3(rotor_m: f64, cam_m: f64, vane_m: f64) -> f64 {
    PI * (cam_m * cam_m - rotor_m * rotor_m) * vane_m
}

/// Power at the shaft over power of the oil.
pub const fn overall_efficiency(
    torque_nm: f64,
    turns_per_s: f64,
    drop_pa: f64,
    fed_m3_per_s: f64,
) -> f64 {
    power_w(torque_nm, turns_per_s) / (drop_pa * fed_m3_per_s)
}
