//! One kind of seed as it is in the bag.

use super::Kind;
use super::given::{Given, Sample, Weighed};
use crate::desk::rate::{
    bare_seeds_per_kg, establishment, live_share, pls_share, pure_share, seeds_per_kg,
    seeds_per_kg_of_sample, seeds_per_m2,
};
use crate::input::Clash;

/// One kind of seed, checked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lot {
    /// Bare seeds in a kilogram.
    pub seeds_per_kg: Option<f64>,
    /// Share of the bag that is bare pure seed.
    pub pure: f64,
    /// Purity was given, not taken as 100 %.
    pub purity_given: bool,
    /// Share of the pure seed that is alive.
    pub live: Option<f64>,
    /// Share of the seeds laid that become plants.
    pub establishment: Option<f64>,
}

impl Lot {
    /// Checks what is told.
    ///
    /// # Errors
    ///
    /// [`Clash`] names the first value that contradicts another.
    pub fn new(given: &Given) -> Result<Self, Clash> {
        if let Some(clash) = given.clash() {
            return Err(clash);
        }
        let coating = given.coating.unwrap_or(0.0);
        let weighed = (given.thousand_kg.map(seeds_per_kg))
            .or(given.count_per_kg)
            .or(given.sample.map(|Sample { seeds, kg }| seeds_per_kg_of_sample(seeds, kg)));
        let bare = |count| match given.weighed {
            Some(Weighed::Coated) => bare_seeds_per_kg(count, coating),
            Some(Weighed::Bare) | None => count,
        };
        let losses = given.losses.unwrap_or(0.0);
        Ok(Self {
            seeds_per_kg: weighed.map(bare),
            pure: pure_share(given.purity.unwrap_or(1.0), coating),
            purity_given: given.purity.is_some(),
            live: given.germination.map(|it| live_share(it, given.hard.unwrap_or(0.0))),
            establishment: given
                .establishment
                .or(given.germination.map(|it| establishment(it, losses))),
        })
    }

    /// Share of the bag that is pure live seed.
    pub fn pls_share(&self) -> Option<f64> {
        self.live.map(|live| pls_share(self.pure, live))
    }

    /// What 1 kg/ha of the bag holds of `kind`: kg/ha or 1/m².
    pub fn per_bag_kg_per_ha(&self, kind: Kind) -> Option<f64> {
        let seeds = self.seeds_per_kg.map(|count| seeds_per_m2(self.pure, count));
        let times = |share: Option<f64>| seeds.zip(share).map(|(seeds, share)| seeds * share);
        match kind {
            Kind::Bag => Some(1.0),
            Kind::PureLiveSeed => self.pls_share(),
            Kind::Seeds => seeds,
            Kind::LiveSeeds => times(self.live),
            Kind::Plants => times(self.establishment),
        }
    }

    /// The fact that `kind` hangs on and that is not told, and what to add.
    pub(super) const fn lacks(&self, kind: Kind) -> (&'static str, &'static str) {
        let size = (
            "the size of the seed",
            "add thousand (mass of a thousand seeds), count (seeds in a mass), or counted and sample",
        );
        if self.seeds_per_kg.is_none() && !matches!(kind, Kind::PureLiveSeed) {
            return size;
        }
        match kind {
            Kind::Bag | Kind::Seeds => size,
            Kind::PureLiveSeed | Kind::LiveSeeds => {
                ("germination", "add germination, from the tag or a germination test")
            }
            Kind::Plants => (
                "how many seeds become plants",
                "add germination and losses, or establishment: the whole share",
            ),
        }
    }
}
