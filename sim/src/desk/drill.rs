//! The drill's geometry: width, area, wheel turns, shaft speed.

use std::f64::consts::PI;

/// Working width of `rows` rows, m.
pub fn width_m(rows: u32, spacing_m: f64) -> f64 {
    f64::from(rows) * spacing_m
}

/// Area that a width covers over a distance, m².
pub const fn area_m2(width_m: f64, distance_m: f64) -> f64 {
    width_m * distance_m
}

/// Distance over which a width covers an area, m.
pub const fn distance_m(area_m2: f64, width_m: f64) -> f64 {
    area_m2 / width_m
}

/// Circumference of a wheel, m.
pub const fn circumference_m(diameter_m: f64) -> f64 {
    PI * diameter_m
}

/// Turns of a wheel over a distance.
pub const fn wheel_turns(distance_m: f64, diameter_m: f64) -> f64 {
    distance_m / circumference_m(diameter_m)
}

/// Length of row in a hectare, m.
pub const fn row_m_per_ha(spacing_m: f64) -> f64 {
    10_000.0 / spacing_m
}

/// Turns of a meter that a hectare needs.
pub const fn meter_turns_per_ha(rate_kg_per_ha: f64, kg_per_turn: f64) -> f64 {
    rate_kg_per_ha / kg_per_turn
}

/// Turns of the ground wheel for each turn of a meter that serves one row.
pub const fn wheel_turns_per_meter_turn(
    diameter_m: f64,
    spacing_m: f64,
    rate_kg_per_ha: f64,
    kg_per_turn: f64,
) -> f64 {
    wheel_turns(row_m_per_ha(spacing_m), diameter_m)
        / meter_turns_per_ha(rate_kg_per_ha, kg_per_turn)
}

/// Travel between two seeds of a width that one meter serves, m.
pub const fn travel_per_seed_m(seeds_per_ha: f64, width_m: f64) -> f64 {
    row_m_per_ha(width_m) / seeds_per_ha
}

/// Turns of the ground wheel for each turn of a meter with `cells` cells.
pub fn wheel_turns_per_cell_meter_turn(diameter_m: f64, travel_per_seed_m: f64, cells: u32) -> f64 {
    wheel_turns(travel_per_seed_m * f64::from(cells), diameter_m)
}

/// Seeds per metre of row.
pub const fn seeds_per_row_m(seeds_per_m2: f64, spacing_m: f64) -> f64 {
    seeds_per_m2 * spacing_m
}

/// Seeds per square metre from those in a metre of row.
pub const fn seeds_per_m2(seeds_per_row_m: f64, spacing_m: f64) -> f64 {
    seeds_per_row_m / spacing_m
}

/// Rate that a chain-driven drill lays, kg/ha: `kg_per_turn` through all rows at each shaft turn,
/// `shaft_per_wheel` shaft turns at each wheel turn.
pub const fn chain_rate_kg_per_ha(
    kg_per_turn: f64,
    shaft_per_wheel: f64,
    diameter_m: f64,
    width_m: f64,
) -> f64 {
    kg_per_turn * shaft_per_wheel / area_m2(width_m, circumference_m(diameter_m)) * 10_000.0
}

/// Shaft speed that lays a rate, turns/s: `n = v · w · R / q`.
pub const fn shaft_turns_per_s(
    speed_mps: f64,
    width_m: f64,
    rate_kg_per_ha: f64,
    kg_per_turn: f64,
) -> f64 {
    speed_mps * width_m * rate_kg_per_ha / 10_000.0 / kg_per_turn
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reference_drill_wants_0_36667_turns_a_metre() {
        assert!((shaft_turns_per_s(1.0, 4.0, 110.0, 0.12) - 0.366_667).abs() < 1e-6);
    }

    #[test]
    fn chain_and_shaft_speed_undo_each_other() {
        let rate = chain_rate_kg_per_ha(0.0612, 0.5, 0.5, 1.8);
        let wheel = wheel_turns(2.0, 0.5);
        assert!((shaft_turns_per_s(2.0, 1.8, rate, 0.0612) - 0.5 * wheel).abs() < 1e-12);
    }
}
