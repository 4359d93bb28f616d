//! A catch test: seed weighed from some outlets while a shaft or wheel turned.

/// What one outlet delivered on the mean, g; zero without a catch.
pub fn mean_g(outlets_g: &[f64]) -> f64 {
    if outlets_g.is_empty() { 0.0 } else { outlets_g.iter().sum::<f64>() / count(outlets_g) }
}

/// Scatter between outlets: sample standard deviation over the mean, %; zero below two outlets.
pub fn scatter_pct(outlets_g: &[f64]) -> f64 {
    if outlets_g.len() < 2 {
        return 0.0;
    }
    let mean = mean_g(outlets_g);
    let squares: f64 = outlets_g.iter().map(|caught| (caught - mean) * (caught - mean)).sum();
    100.0 * (squares / (count(outlets_g) - 1.0)).sqrt() / mean
}

/// The band of `tolerance` (0.05 = ±5 %) about a value: lowest and highest that are accepted.
pub const fn band(value: f64, tolerance: f64) -> (f64, f64) {
    (value * (1.0 - tolerance), value * (1.0 + tolerance))
}

/// Mass that one turn of the shaft delivers through all `outlets`, kg, from the catch of some.
pub fn kg_per_turn(outlets_g: &[f64], outlets: u32, turns: f64) -> f64 {
    mean_g(outlets_g) * f64::from(outlets) / turns / 1000.0
}

/// The same from the mass that `caught` outlets gave together, kg.
pub fn kg_per_turn_of_total(caught_kg: f64, caught: u32, outlets: u32, turns: f64) -> f64 {
    caught_kg / f64::from(caught) * f64::from(outlets) / turns
}

/// Fewest whole turns at which a scale's step is below `share` of what is weighed, from what `turns` gave.
pub fn turns_for_scale(step_kg: f64, weighed_kg: f64, turns: f64, share: f64) -> f64 {
    (turns * step_kg / (share * weighed_kg) + 1e-9).floor() + 1.0
}

/// Seeding rate of a mass on an area, kg/ha.
pub const fn rate_kg_per_ha(mass_kg: f64, area_m2: f64) -> f64 {
    mass_kg * 10_000.0 / area_m2
}

/// Mass to catch on an area for a rate, g.
pub const fn wanted_g(rate_kg_per_ha: f64, area_m2: f64) -> f64 {
    rate_kg_per_ha * area_m2 / 10.0
}

#[expect(clippy::cast_precision_loss, reason = "a drill has far fewer than 2^52 outlets")]
const fn count(outlets: &[f64]) -> f64 {
    outlets.len() as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_the_outlets_stand_for_all() {
        assert!((kg_per_turn(&[10.0, 12.0], 4, 2.0) - 0.022).abs() < 1e-12);
        assert!(scatter_pct(&[10.0]) == 0.0, "one outlet has no scatter");
        assert!((scatter_pct(&[9.0, 11.0]) - 100.0 * 2.0_f64.sqrt() / 10.0).abs() < 1e-9);
    }
}
