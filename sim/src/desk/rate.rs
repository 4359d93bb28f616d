//! Seeding rates: seeds, plants, pure live seed, and what of them is in a bag.
//!
//! ```text
//!  bag = pure seed + coating + everything else (other seed, chaff)
//!
//!  pure share       P   = purity · (1 − coating)           purity counts the coating in
//!  live share       L   = germination + hard seed
//!  pure live seed   PLS = P · L                            bag rate = pure live seed rate / PLS
//!  seeds laid       S   = bag rate · P · seeds per kg
//!  plants           N   = S · E,   E = germination · (1 − losses), or told as a whole
//! ```
//!
//! Shares are of 1, masses kg, rates kg/ha, numbers 1/m². Hard seed is alive and counts in PLS; it lies in the ground
//! for weeks or years, so no plant of this season is counted on from it (*common practice*).

use super::factor::HECTARE_M2;

/// Share of the bag's mass that is pure seed without its coating.
pub const fn pure_share(purity: f64, coating: f64) -> f64 {
    purity * (1.0 - coating)
}

/// Share of the pure seed that is alive.
pub const fn live_share(germination: f64, hard: f64) -> f64 {
    germination + hard
}

/// Share of the bag's mass that is pure live seed.
pub const fn pls_share(pure: f64, live: f64) -> f64 {
    pure * live
}

/// Bag rate for a pure live seed rate, kg/ha (or lb/ac for lb/ac).
pub const fn bag_rate(pls_rate: f64, pls_share: f64) -> f64 {
    pls_rate / pls_share
}

/// Seeds in a kilogram, from the mass of a thousand, kg.
pub const fn seeds_per_kg(thousand_kg: f64) -> f64 {
    1000.0 / thousand_kg
}

/// Seeds in a kilogram, from a sample that was counted and weighed.
pub const fn seeds_per_kg_of_sample(seeds: f64, sample_kg: f64) -> f64 {
    seeds / sample_kg
}

/// Seeds in a kilogram of bare seed, from those in a kilogram of coated seed.
pub const fn bare_seeds_per_kg(coated_per_kg: f64, coating: f64) -> f64 {
    coated_per_kg / (1.0 - coating)
}

/// Share of the seeds laid that become plants, by germination and losses in the field.
pub const fn establishment(germination: f64, losses: f64) -> f64 {
    germination * (1.0 - losses)
}

/// Seeds to lay for a number of plants.
pub const fn seeds_for_plants(plants: f64, establishment: f64) -> f64 {
    plants / establishment
}

/// Mass of bare seed for a number of seeds on an area, kg/ha.
pub const fn kg_per_ha(seeds_per_m2: f64, seeds_per_kg: f64) -> f64 {
    seeds_per_m2 * HECTARE_M2 / seeds_per_kg
}

/// Seeds on an area, 1/m², from a rate of bare seed.
pub const fn seeds_per_m2(kg_per_ha: f64, seeds_per_kg: f64) -> f64 {
    kg_per_ha * seeds_per_kg / HECTARE_M2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn seeds_and_mass_undo_each_other() {
        let count = seeds_per_kg(0.05);
        assert!((seeds_per_m2(kg_per_ha(300.0, count), count) - 300.0).abs() < 1e-9);
    }

    #[test]
    fn a_coating_makes_the_bare_kilogram_hold_more_seeds() {
        // 100 000 coated seeds weigh 1 kg; a third of it is coating.
        assert!((bare_seeds_per_kg(100_000.0, 1.0 / 3.0) - 150_000.0).abs() < 1e-6);
    }
}
