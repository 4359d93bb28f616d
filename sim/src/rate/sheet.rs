//! The mix file: species with their shares, and what is wanted of the mix.

use super::given::{Given, Sample, Weighed};
use super::{
    AREA_NUMBER, COATING, COUNT, ESTABLISHMENT, GERMINATION, HARD, Kind, LOSSES, Lot, MASS_RATE,
    PURITY, ROW, SAMPLE, SEEDS_COUNTED, THOUSAND, Target,
};
use crate::input::{Clash, InputError, InputFile, Trouble};
use crate::scenario::read::{Section, Wanted, parse};
use crate::unit::RATIO;
use serde::Serialize;
use std::path::Path;

/// Keys of a mix file and of a species.
const KEYS: [&str; 10] =
    ["name", "demo", "shares", "row", "plants", "seeds", "live_seeds", "pls", "bag", "species"];
const SPECIES_KEYS: [&str; 13] = [
    "name",
    "share",
    "thousand",
    "count",
    "counted",
    "sample",
    "weighed",
    "germination",
    "hard",
    "purity",
    "coating",
    "losses",
    "establishment",
];

const SHARE: Wanted = Wanted::new(&RATIO, 0.000_1, 1.0);

/// Shares may miss 100 % by as much, of 1: figures of a tag are rounded.
const SUM_WITHIN: f64 = 0.001;

/// What the shares of a mix are shares of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shares {
    /// Of the mass of pure live seed.
    Mass,
    /// Of the number of pure live seeds.
    Seeds,
    /// Of the mass of what is in the bag.
    Bag,
}

/// One species of a mix.
#[derive(Clone, Debug, PartialEq)]
pub struct Species {
    /// What a person calls it.
    pub name: String,
    /// Its share.
    pub share: f64,
    /// Its seed.
    pub lot: Lot,
}

/// A mix, or one kind of seed.
#[derive(Clone, Debug, PartialEq)]
pub struct Mix {
    /// What a person calls it.
    pub name: Option<String>,
    /// Invented for demonstration.
    pub demo: bool,
    /// What the shares are shares of; none for one kind of seed.
    pub shares: Option<Shares>,
    /// Row spacing, m.
    pub row_m: Option<f64>,
    /// Each species.
    pub species: Vec<Species>,
}

impl Mix {
    /// One kind of seed alone.
    pub fn alone(lot: Lot, row_m: Option<f64>) -> Self {
        let species = vec![Species { name: "seed".to_owned(), share: 1.0, lot }];
        Self { name: None, demo: false, shares: None, row_m, species }
    }
}

/// Reads the mix file at `path`; `instead` takes the place of its target, and may be the only one.
///
/// # Errors
///
/// [`InputError`] says what is wrong, where, and what would be right.
pub fn read(path: &Path, instead: Option<Target>) -> Result<(Mix, Target), InputError> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &KEYS)?;
    let shares = root.need("shares")?.choice(&[
        ("mass", Shares::Mass),
        ("seeds", Shares::Seeds),
        ("bag", Shares::Bag),
    ])?;
    let sections = root.children("species", &SPECIES_KEYS)?;
    let species: Vec<Species> = sections.iter().map(species).collect::<Result<_, _>>()?;
    if species.is_empty() {
        return Err(root.missing("[[species]]"));
    }
    whole(&root, &species)?;
    let mix = Mix {
        name: Some(root.need("name")?.text()?.to_owned()),
        demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
        shares: Some(shares),
        row_m: root.find("row")?.map(|entry| entry.quantity(ROW)).transpose()?,
        species,
    };
    let target = instead.map_or_else(|| target(&root), Ok)?;
    match super::rate(&mix, target) {
        Ok(_) => Ok((mix, target)),
        Err(lack) => {
            Err(sections[lack.species].complain(Trouble::MissingKey, lack.what, lack.remedy))
        }
    }
}

/// The one target of the file.
fn target(root: &Section<'_>) -> Result<Target, InputError> {
    let mut found: Option<Target> = None;
    for (key, kind) in Kind::ALL {
        let Some(entry) = root.find(key)? else { continue };
        if found.is_some() {
            let what = "the file has two targets".to_owned();
            let remedy = "keep one of plants, seeds, live_seeds, pls and bag".to_owned();
            return Err(entry.complain(Trouble::WrongForm, what, remedy));
        }
        let wanted = match kind {
            Kind::Plants | Kind::Seeds | Kind::LiveSeeds => AREA_NUMBER,
            Kind::PureLiveSeed | Kind::Bag => MASS_RATE,
        };
        found = Some(Target { kind, value: entry.quantity(wanted)? });
    }
    found.ok_or_else(|| root.missing("plants or seeds or live_seeds or pls or bag"))
}

/// Refuses shares that are not the whole.
fn whole(root: &Section<'_>, species: &[Species]) -> Result<(), InputError> {
    let sum: f64 = species.iter().map(|it| it.share).sum();
    if (sum - 1.0).abs() <= SUM_WITHIN + 1e-9 {
        return Ok(());
    }
    let what = format!("the shares of the species are {:.2} % together", 100.0 * sum);
    let remedy = "shares make 100 % within 0.1 %".to_owned();
    Err(root.need("shares")?.complain(Trouble::OutOfRange, what, remedy))
}

/// Reads one species.
fn species(section: &Section<'_>) -> Result<Species, InputError> {
    let may = |key: &'static str, wanted: Wanted| {
        section.find(key)?.map(|entry| entry.quantity(wanted)).transpose()
    };
    let weighed = [("bare", Weighed::Bare), ("coated", Weighed::Coated)];
    let given = Given {
        thousand_kg: may("thousand", THOUSAND)?,
        count_per_kg: may("count", COUNT)?,
        sample: sample(section)?,
        weighed: section.find("weighed")?.map(|entry| entry.choice(&weighed)).transpose()?,
        germination: may("germination", GERMINATION)?,
        hard: may("hard", HARD)?,
        purity: may("purity", PURITY)?,
        coating: may("coating", COATING)?,
        losses: may("losses", LOSSES)?,
        establishment: may("establishment", ESTABLISHMENT)?,
    };
    let lot = match Lot::new(&given) {
        Ok(lot) => lot,
        Err(Clash { key, what, remedy }) => {
            return Err(section.need(key)?.complain(Trouble::WrongForm, what, remedy));
        }
    };
    let share = section.quantity("share", SHARE)?;
    Ok(Species { name: section.need("name")?.text()?.to_owned(), share, lot })
}

/// Seeds that were counted and weighed.
fn sample(section: &Section<'_>) -> Result<Option<Sample>, InputError> {
    let (counted, weighed) = (section.find("counted")?, section.find("sample")?);
    if counted.is_none() && weighed.is_none() {
        return Ok(None);
    }
    let counted = section.need("counted")?.whole(SEEDS_COUNTED)?;
    #[expect(clippy::cast_precision_loss, reason = "at most a million")]
    let seeds = counted as f64;
    Ok(Some(Sample { seeds, kg: section.quantity("sample", SAMPLE)? }))
}
