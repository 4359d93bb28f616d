//! Options of `rate`.

use crate::command::Failure;
use crate::command::value::{optional, quantity, refused};
use crate::input::Clash;
use crate::rate::{
    AREA_NUMBER, COATING, COUNT, ESTABLISHMENT, GERMINATION, Given, HARD, Kind, LOSSES, Lack, Lot,
    MASS_RATE, PURITY, ROW, SAMPLE, SEEDS_COUNTED, Sample, THOUSAND, Target, Weighed,
};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// Options of `rate`.
#[derive(Debug, Args)]
pub(in crate::command) struct RateOptions {
    /// A mix file (TOML, keys in demo-data/rates/README.md); without one, the seed is told by options.
    #[arg(value_name = "MIX", conflicts_with = "seed")]
    pub(super) mix: Option<PathBuf>,
    #[command(flatten)]
    target: TargetOptions,
    #[command(flatten)]
    seed: SeedOptions,
    /// Row spacing, for the seeds in a length of row: "7 1/2 in".
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true)]
    row: Option<String>,
}

/// What is wanted, one of these.
#[derive(Debug, Args)]
#[group(id = "target", multiple = false)]
struct TargetOptions {
    /// Plants that are to stand: "280 /m2".
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    plants: Option<String>,
    /// Seeds to lay, live or dead: "30 /ft2".
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    seeds: Option<String>,
    /// Live seeds to lay, hard seed among them: "50 /ft2".
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    live_seeds: Option<String>,
    /// Pure live seed rate: "20 lb/ac".
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    pls: Option<String>,
    /// Bag rate, to see what it lays: "110 kg/ha".
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    bag: Option<String>,
}

/// The seed, without a mix file.
#[derive(Debug, Args)]
#[group(id = "seed", multiple = true)]
struct SeedOptions {
    /// Mass of a thousand seeds: "50.9 g".
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    thousand: Option<String>,
    /// Seeds in a mass: "200000 seeds/lb".
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    count: Option<String>,
    /// Seeds that you counted out and weighed: 100.
    #[arg(long, value_name = "SEEDS", requires = "sample")]
    counted: Option<u64>,
    /// What they weighed: "0.73 oz".
    #[arg(long, value_name = "MASS", requires = "counted", allow_hyphen_values = true)]
    sample: Option<String>,
    /// What was on the scale when the seeds of a coated lot were counted.
    #[arg(long, value_enum)]
    weighed: Option<WeighedAs>,
    /// Share of the pure seed that germinates: "95 %".
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    germination: Option<String>,
    /// Share of the pure seed that is hard: counts as live, not as a plant of this season.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    hard: Option<String>,
    /// Share of the bag that is seed of the kind, its coating counted in; 100 % where none is given.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    purity: Option<String>,
    /// Share of the seed's mass that is coating; leave it out where the purity has it taken off already.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    coating: Option<String>,
    /// Share of the germinating seeds lost in the field; multiplies: 95 % less 10 % is 85.5 %.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    losses: Option<String>,
    /// Share of the seeds laid that become plants, in place of germination and losses: "85 %".
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    establishment: Option<String>,
}

/// What was on the scale.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum WeighedAs {
    /// Seed without its coating, as seed tables have it.
    Bare,
    /// Seed with its coating, as it is in the bag.
    Coated,
}

impl RateOptions {
    /// What is wanted, if an option says so.
    pub(super) fn target(&self) -> Result<Option<Target>, Failure> {
        let TargetOptions { plants, seeds, live_seeds, pls, bag } = &self.target;
        let all = [plants, seeds, live_seeds, pls, bag];
        for ((key, kind), text) in Kind::ALL.into_iter().zip(all) {
            let Some(text) = text else { continue };
            let wanted = match kind {
                Kind::Plants | Kind::Seeds | Kind::LiveSeeds => AREA_NUMBER,
                Kind::PureLiveSeed | Kind::Bag => MASS_RATE,
            };
            return Ok(Some(Target { kind, value: quantity(&option(key), text, wanted)? }));
        }
        Ok(None)
    }

    /// Row spacing, m.
    pub(super) fn row(&self) -> Result<Option<f64>, Failure> {
        optional("--row", self.row.as_ref(), ROW)
    }

    /// The seed, checked.
    pub(super) fn lot(&self) -> Result<Lot, Failure> {
        let seed = &self.seed;
        let given = Given {
            thousand_kg: optional("--thousand", seed.thousand.as_ref(), THOUSAND)?,
            count_per_kg: optional("--count", seed.count.as_ref(), COUNT)?,
            sample: seed.sample()?,
            weighed: seed.weighed.map(|it| match it {
                WeighedAs::Bare => Weighed::Bare,
                WeighedAs::Coated => Weighed::Coated,
            }),
            germination: optional("--germination", seed.germination.as_ref(), GERMINATION)?,
            hard: optional("--hard", seed.hard.as_ref(), HARD)?,
            purity: optional("--purity", seed.purity.as_ref(), PURITY)?,
            coating: optional("--coating", seed.coating.as_ref(), COATING)?,
            losses: optional("--losses", seed.losses.as_ref(), LOSSES)?,
            establishment: optional("--establishment", seed.establishment.as_ref(), ESTABLISHMENT)?,
        };
        Lot::new(&given).map_err(|Clash { key, what, remedy }| refused(&option(key), what, remedy))
    }

    /// A fact that the target hangs on is lacking.
    pub(super) fn lack(&self, lack: &Lack) -> Failure {
        let TargetOptions { plants, seeds, live_seeds, pls, bag } = &self.target;
        let all = [plants, seeds, live_seeds, pls, bag];
        let used = Kind::ALL.iter().zip(all).find(|(_, text)| text.is_some());
        let name = used.map_or_else(|| "the target".to_owned(), |((key, _), _)| option(key));
        refused(&name, lack.what.clone(), lack.remedy.clone())
    }
}

impl SeedOptions {
    /// Seeds that were counted and weighed.
    fn sample(&self) -> Result<Option<Sample>, Failure> {
        let (Some(counted), Some(text)) = (self.counted, &self.sample) else { return Ok(None) };
        if !SEEDS_COUNTED.contains(&counted) {
            let what = format!("{counted} seeds are out of range");
            return Err(refused(
                "--counted",
                what,
                "count 1 to 1000000 seeds; 100 or more are good",
            ));
        }
        #[expect(clippy::cast_precision_loss, reason = "at most a million")]
        let seeds = counted as f64;
        Ok(Some(Sample { seeds, kg: quantity("--sample", text, SAMPLE)? }))
    }
}

/// A key as it is typed.
fn option(key: &str) -> String {
    format!("--{}", key.replace('_', "-"))
}
