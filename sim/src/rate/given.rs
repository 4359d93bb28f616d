//! What a person tells of one kind of seed, by options or in a file, before it is checked.

use crate::input::Clash;
use crate::scenario::read::Wanted;
use crate::unit::{LENGTH, MASS, PER_AREA, PER_MASS, RATE, RATIO};
use std::ops::RangeInclusive;

pub(crate) const GERMINATION: Wanted = Wanted::new(&RATIO, 0.01, 1.0);
pub(crate) const HARD: Wanted = Wanted::new(&RATIO, 0.0, 1.0);
pub(crate) const PURITY: Wanted = Wanted::new(&RATIO, 0.01, 1.0);
pub(crate) const COATING: Wanted = Wanted::new(&RATIO, 0.0, 0.95);
pub(crate) const LOSSES: Wanted = Wanted::new(&RATIO, 0.0, 0.99);
pub(crate) const ESTABLISHMENT: Wanted = Wanted::new(&RATIO, 0.01, 1.0);
pub(crate) const THOUSAND: Wanted = Wanted::new(&MASS, 1e-5, 2.0);
pub(crate) const COUNT: Wanted = Wanted::new(&PER_MASS, 500.0, 1e8);
pub(crate) const SAMPLE: Wanted = Wanted::new(&MASS, 1e-6, 50.0);
pub(crate) const SEEDS_COUNTED: RangeInclusive<u64> = 1..=1_000_000;
pub(crate) const AREA_NUMBER: Wanted = Wanted::new(&PER_AREA, 0.01, 1e6);
pub(crate) const MASS_RATE: Wanted = Wanted::new(&RATE, 0.001, 5000.0);
pub(crate) const ROW: Wanted = Wanted::new(&LENGTH, 0.01, 2.0);

/// What stood on the scale when the seeds were counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weighed {
    /// Seed without coating, as seed tables have it.
    Bare,
    /// Seed with its coating, as it is in the bag.
    Coated,
}

/// Seeds that were counted and weighed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// How many.
    pub seeds: f64,
    /// Their mass, kg.
    pub kg: f64,
}

/// What is told of one kind of seed; each value is in its range.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Given {
    /// Mass of a thousand seeds, kg.
    pub thousand_kg: Option<f64>,
    /// Seeds in a kilogram.
    pub count_per_kg: Option<f64>,
    /// Seeds that were counted and weighed.
    pub sample: Option<Sample>,
    /// What was weighed.
    pub weighed: Option<Weighed>,
    /// Share of the pure seed that germinates.
    pub germination: Option<f64>,
    /// Share of the pure seed that is hard.
    pub hard: Option<f64>,
    /// Share of the bag that is seed of the kind, its coating counted in.
    pub purity: Option<f64>,
    /// Share of that seed's mass that is coating.
    pub coating: Option<f64>,
    /// Share of the germinating seeds that is lost in the field.
    pub losses: Option<f64>,
    /// Share of the seeds laid that become plants.
    pub establishment: Option<f64>,
}

impl Given {
    /// The first pair of values that contradict each other.
    pub(super) fn clash(&self) -> Option<Clash> {
        let clash = |key, what: &str, remedy: &str| Some(Clash::new(key, what, remedy));
        let counts = [self.thousand_kg, self.count_per_kg, self.sample.map(|it| it.kg)];
        let counted = counts.iter().flatten().count();
        if counted > 1 {
            let key = if self.sample.is_some() { "sample" } else { "count" };
            let remedy = "give one of thousand, count, or counted with sample";
            return clash(key, "the size of the seed is given twice", remedy);
        }
        if self.losses.is_some() && self.establishment.is_some() {
            let remedy = "establishment holds germination and losses already: give one of them";
            return clash("losses", "losses and establishment are both given", remedy);
        }
        if let (Some(germination), Some(establishment)) = (self.germination, self.establishment)
            && establishment > germination + self.hard.unwrap_or(0.0) + 1e-9
        {
            let what = format!(
                "{:.1} % of the seeds become plants, and {:.1} % germinate",
                100.0 * establishment,
                100.0 * germination
            );
            let remedy = "establishment holds germination already; for a share of what germinates give losses";
            return clash("establishment", &what, remedy);
        }
        let whole = "give germination too: a share of the pure seed";
        if self.germination.is_none() && self.losses.is_some() {
            return clash("losses", "losses are of what germinates, which is not given", whole);
        }
        if self.germination.is_none() && self.hard.is_some() {
            return clash("hard", "hard seed is given without germination", whole);
        }
        if let (Some(germination), Some(hard)) = (self.germination, self.hard)
            && germination + hard > 1.0 + 1e-9
        {
            let what = format!(
                "germination and hard seed together are {:.1} %",
                100.0 * (germination + hard)
            );
            return clash("hard", &what, "both are shares of the pure seed: 100 % at most");
        }
        let coated = self.coating.is_some_and(|share| share > 0.0);
        if coated && counted > 0 && self.weighed.is_none() {
            let what = "the seed is coated, and it is not said whether the coating was weighed in with the seeds counted";
            return clash("coating", what, "add weighed: bare (as seed tables have it) or coated");
        }
        None
    }
}
