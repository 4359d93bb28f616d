//! Flow through a proportional valve: `Q = Q_N · u · sqrt(Δp / Δp_N)`.
//!
//! `Q_N` is the rated flow at full opening and the rated pressure drop `Δp_N`. Any unit of flow and of
//! pressure will do, as long as each is used throughout.

/// Flow at an opening (0..1) and pressure drop; against the drop none flows.
pub fn flow(rated_flow: f64, opening: f64, drop: f64, rated_drop: f64) -> f64 {
    rated_flow * opening * (drop.max(0.0) / rated_drop).sqrt()
}

/// Pressure drop that a flow takes at an opening.
pub fn drop(rated_flow: f64, opening: f64, flow: f64, rated_drop: f64) -> f64 {
    let share = flow / (rated_flow * opening);
    rated_drop * share * share
}

/// Rated flow of a valve that passes `flow` at an opening and pressure drop.
pub fn rated_flow_for(flow: f64, opening: f64, drop: f64, rated_drop: f64) -> f64 {
    flow / (opening * (drop / rated_drop).sqrt())
}

/// Speed of the jet behind an orifice at a pressure drop, m/s: `v = sqrt(2 Δp / ρ)`.
pub fn jet_mps(drop_pa: f64, density_kg_per_m3: f64) -> f64 {
    (2.0 * drop_pa / density_kg_per_m3).sqrt()
}

/// Opening of a spool whose whole ring opens, m: `x = Q / (Cd π d v)`.
pub fn ring_opening_m(flow_m3_per_s: f64, spool_m: f64, discharge: f64, jet_mps: f64) -> f64 {
    flow_m3_per_s / (discharge * std::f64::consts::PI * spool_m * jet_mps)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn flow_drop_and_size_are_three_views_of_one_law() {
        let passed = flow(30.0, 0.4, 70.0, 35.0);
        assert!((drop(30.0, 0.4, passed, 35.0) - 70.0).abs() < 1e-9);
        assert!((rated_flow_for(passed, 0.4, 70.0, 35.0) - 30.0).abs() < 1e-9);
        assert!(flow(30.0, 0.4, -1.0, 35.0) == 0.0, "none flows against the drop");
    }
}
