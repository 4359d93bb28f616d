//! Field capacity: how much ground a drill covers in a time.

use super::factor::{ACRE_M2, HECTARE_M2};

/// Ground covered, m²/s; `efficiency` (0..1) is the share of the time that is spent sowing.
pub const fn capacity_m2_per_s(width_m: f64, speed_mps: f64, efficiency: f64) -> f64 {
    width_m * speed_mps * efficiency
}

/// Ground covered, ha/h.
pub const fn capacity_ha_per_h(width_m: f64, speed_mps: f64, efficiency: f64) -> f64 {
    capacity_m2_per_s(width_m, speed_mps, efficiency) * 3600.0 / HECTARE_M2
}

/// Ground covered, ac/h.
pub const fn capacity_ac_per_h(width_m: f64, speed_mps: f64, efficiency: f64) -> f64 {
    capacity_m2_per_s(width_m, speed_mps, efficiency) * 3600.0 / ACRE_M2
}

/// Time that a hectare takes, h.
pub const fn hours_per_ha(width_m: f64, speed_mps: f64, efficiency: f64) -> f64 {
    1.0 / capacity_ha_per_h(width_m, speed_mps, efficiency)
}
