//! From plants or seeds wanted to the bag rate, and back; for one kind of seed or for a mix.
//!
//! ```text
//!  target: plants, seeds, live seeds, pure live seed or bag rate
//!     │      ┌ per 1 kg/ha of the bag: its own pure live seed, seeds, plants (desk::rate)
//!     ▼      ▼
//!  bag rate = target / what 1 kg/ha of the bag holds ──► every other figure, each species and in all
//! ```
//!
//! What 1 kg/ha holds is linear, so both ways use the same numbers and undo each other.

mod given;
mod lot;
mod sheet;

pub use given::{Given, Sample, Weighed};
pub use lot::Lot;
pub use sheet::{Mix, Shares, Species, read};

pub(crate) use given::{
    AREA_NUMBER, COATING, COUNT, ESTABLISHMENT, GERMINATION, HARD, LOSSES, MASS_RATE, PURITY, ROW,
    SAMPLE, SEEDS_COUNTED, THOUSAND,
};

use crate::desk::drill::seeds_per_row_m;
use serde::Serialize;

/// What a target is a number of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Plants that stand, 1/m².
    Plants,
    /// Seeds laid, live or dead, 1/m².
    Seeds,
    /// Live seeds laid, hard seed among them, 1/m².
    LiveSeeds,
    /// Mass of pure live seed, kg/ha.
    PureLiveSeed,
    /// Mass of what is in the bag, kg/ha.
    Bag,
}

impl Kind {
    /// Every kind with the key and option it stands under.
    pub const ALL: [(&'static str, Self); 5] = [
        ("plants", Self::Plants),
        ("seeds", Self::Seeds),
        ("live_seeds", Self::LiveSeeds),
        ("pls", Self::PureLiveSeed),
        ("bag", Self::Bag),
    ];
}

/// What is wanted: 1/m² or kg/ha, by its kind.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Target {
    /// What it is a number of.
    pub kind: Kind,
    /// How many, 1/m² or kg/ha.
    pub value: f64,
}

/// A rate in all its forms; none where a fact that it hangs on was not given.
#[derive(Clone, Copy, Debug, Serialize)]
pub struct Figures {
    /// Rate of what is in the bag, kg/ha.
    pub bag_kg_per_ha: f64,
    /// Rate of pure live seed, kg/ha.
    pub pls_kg_per_ha: Option<f64>,
    /// Seeds laid, live or dead, 1/m².
    pub seeds_per_m2: Option<f64>,
    /// Live seeds laid, hard seed among them, 1/m².
    pub live_seeds_per_m2: Option<f64>,
    /// Plants expected, 1/m².
    pub plants_per_m2: Option<f64>,
    /// Seeds laid along a row, 1/m.
    pub seeds_per_row_m: Option<f64>,
}

/// One species of a rating.
#[derive(Clone, Debug, Serialize)]
pub struct SpeciesRating {
    /// What a person calls it.
    pub name: String,
    /// Its share of the mass in the bag.
    pub share_of_bag: f64,
    /// Share of its own mass that is pure live seed.
    pub pls_share: Option<f64>,
    /// Bare seeds in a kilogram.
    pub seeds_per_kg: Option<f64>,
    /// Purity was given, not taken as 100 %.
    pub purity_given: bool,
    /// Its rates.
    #[serde(flatten)]
    pub figures: Figures,
}

/// A target, turned into every rate.
#[derive(Clone, Debug, Serialize)]
pub struct Rating {
    /// What a person calls the seed or the mix.
    pub name: Option<String>,
    /// Invented for demonstration.
    pub demo: bool,
    /// What was asked for.
    pub target: Target,
    /// What the shares of a mix are shares of; none for one kind of seed.
    pub shares: Option<Shares>,
    /// Row spacing, m.
    pub row_m: Option<f64>,
    /// Of all species together.
    pub total: Figures,
    /// Each species.
    pub species: Vec<SpeciesRating>,
    /// A seed file may have this bag rate: 0.5 to 500 kg/ha.
    pub fits_seed_file: bool,
}

/// A species lacks a fact that the target or the shares hang on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lack {
    /// Number of the species, from 0.
    pub species: usize,
    /// What is lacking, and for what.
    pub what: String,
    /// What to add.
    pub remedy: String,
}

/// Turns the target of `mix` into every rate.
///
/// # Errors
///
/// [`Lack`] names the first species that lacks a fact.
pub fn rate(mix: &Mix, target: Target) -> Result<Rating, Lack> {
    let shares = bag_shares(mix)?;
    let mut holds = 0.0;
    for (at, (species, share)) in mix.species.iter().zip(&shares).enumerate() {
        let lot = &species.lot;
        let per_bag = lot.per_bag_kg_per_ha(target.kind);
        holds += share * per_bag.ok_or_else(|| lack(mix, at, lot, target.kind))?;
    }
    let bag = target.value / holds;
    let species: Vec<SpeciesRating> = (mix.species.iter().zip(&shares))
        .map(|(species, &share)| rated(species, share, share * bag, mix.row_m))
        .collect();
    let fits_seed_file = crate::scenario::read::SEEDING_RATE.holds(bag);
    Ok(Rating {
        name: mix.name.clone(),
        demo: mix.demo,
        target,
        shares: mix.shares,
        row_m: mix.row_m,
        total: total(&species, bag),
        species,
        fits_seed_file,
    })
}

/// Share of each species in the mass of the bag.
fn bag_shares(mix: &Mix) -> Result<Vec<f64>, Lack> {
    let kind = match mix.shares {
        None | Some(Shares::Bag) => Kind::Bag,
        Some(Shares::Mass) => Kind::PureLiveSeed,
        Some(Shares::Seeds) => Kind::LiveSeeds,
    };
    let masses: Vec<f64> = (mix.species.iter().enumerate())
        .map(|(at, species)| {
            let per_bag = species.lot.per_bag_kg_per_ha(kind);
            Ok(species.share / per_bag.ok_or_else(|| lack(mix, at, &species.lot, kind))?)
        })
        .collect::<Result<_, Lack>>()?;
    let sum: f64 = masses.iter().sum();
    Ok(masses.into_iter().map(|mass| mass / sum).collect())
}

/// What `kind` hangs on and the lot does not tell.
fn lack(mix: &Mix, species: usize, lot: &Lot, kind: Kind) -> Lack {
    let (fact, remedy) = lot.lacks(kind);
    let of = if mix.shares.is_some() {
        format!(" of {:?}", mix.species[species].name)
    } else {
        String::new()
    };
    Lack { species, what: format!("{fact}{of} is not given"), remedy: remedy.to_owned() }
}

/// A species at its bag rate.
fn rated(species: &Species, share: f64, bag_kg_per_ha: f64, row_m: Option<f64>) -> SpeciesRating {
    let lot = &species.lot;
    let of = |kind| lot.per_bag_kg_per_ha(kind).map(|it| it * bag_kg_per_ha);
    let seeds_per_m2 = of(Kind::Seeds);
    SpeciesRating {
        name: species.name.clone(),
        share_of_bag: share,
        pls_share: lot.pls_share(),
        seeds_per_kg: lot.seeds_per_kg,
        purity_given: lot.purity_given,
        figures: Figures {
            bag_kg_per_ha,
            pls_kg_per_ha: of(Kind::PureLiveSeed),
            seeds_per_m2,
            live_seeds_per_m2: of(Kind::LiveSeeds),
            plants_per_m2: of(Kind::Plants),
            seeds_per_row_m: seeds_per_m2
                .zip(row_m)
                .map(|(seeds, row)| seeds_per_row_m(seeds, row)),
        },
    }
}

/// All species together; a figure that one of them lacks is lacking.
fn total(species: &[SpeciesRating], bag_kg_per_ha: f64) -> Figures {
    let sum = |figure: fn(&Figures) -> Option<f64>| -> Option<f64> {
        species.iter().map(|it| figure(&it.figures)).sum()
    };
    Figures {
        bag_kg_per_ha,
        pls_kg_per_ha: sum(|it| it.pls_kg_per_ha),
        seeds_per_m2: sum(|it| it.seeds_per_m2),
        live_seeds_per_m2: sum(|it| it.live_seeds_per_m2),
        plants_per_m2: sum(|it| it.plants_per_m2),
        seeds_per_row_m: sum(|it| it.seeds_per_row_m),
    }
}
