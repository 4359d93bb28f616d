//! Options of `catch`.

use crate::catch::{
    MASS_CAUGHT, RATE_WANTED, Raw, SCALE, Test, USUAL_WISHED, WISHED, Weighing, turns_are_good,
};
use crate::command::Failure;
use crate::command::value::{optional, quantity, refused};
use crate::input::{Clash, steers};
use crate::scenario::is_day;
use crate::scenario::read::DAY;
use clap::Args;
use std::path::PathBuf;

/// Options of `catch`.
#[derive(Debug, Args)]
pub(in crate::command) struct CatchOptions {
    /// A catch sheet (TOML, keys in demo-data/catches/README.md); without one, the catches are told by options.
    #[arg(value_name = "SHEET", conflicts_with = "quick")]
    pub(super) sheet: Option<PathBuf>,
    #[command(flatten)]
    pub(super) quick: QuickOptions,
    /// Write the seed file that a scenario, `size` and `replay` read.
    #[arg(short, long, value_name = "SEED")]
    pub(super) out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    pub(super) replace: bool,
}

/// Catches without a sheet.
#[derive(Debug, Args)]
#[group(id = "quick", multiple = true)]
pub(super) struct QuickOptions {
    /// Turns of the meter shaft in each catch.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    turns: Option<String>,
    /// Outlets that the shaft feeds.
    #[arg(long, value_name = "NUMBER")]
    outlets: Option<u32>,
    /// Outlets that were caught; all of them where it is left out.
    #[arg(long, value_name = "NUMBER")]
    caught: Option<u32>,
    /// What they gave together; repeat it for each catch: "270.9 g".
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    total: Vec<String>,
    /// What each total was weighed in, empty.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    tare: Option<String>,
    /// Step of the scale: "0.1 g".
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    scale: Option<String>,
    /// Error of the mean that you wish for; 2 % where none is given.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    wished_error: Option<String>,
    /// For the seed file: what you call the lot.
    #[arg(long, value_name = "TEXT")]
    name: Option<String>,
    /// For the seed file: day of the catches, 2026-04-02.
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// For the seed file: the bag rate, "110 kg/ha".
    #[arg(long, value_name = "RATE", allow_hyphen_values = true)]
    rate: Option<String>,
}

impl QuickOptions {
    /// The test that the options tell.
    pub(super) fn test(&self) -> Result<Test, Failure> {
        let (Some(turns), Some(outlets), false) =
            (&self.turns, self.outlets, self.total.is_empty())
        else {
            let why = "catches need a sheet, or --turns, --outlets and one --total for each catch";
            return Err(Failure::Usage(why.to_owned()));
        };
        let turns = turned(turns)?;
        if !(1..=500).contains(&outlets) {
            let what = format!("{outlets} outlets are out of range");
            return Err(refused("--outlets", what, "it works from 1 to 500"));
        }
        let tare_kg = optional("--tare", self.tare.as_ref(), MASS_CAUGHT)?.unwrap_or(0.0);
        let catch = |text: &String| -> Result<Weighing, Failure> {
            let total_kg = Some(quantity("--total", text, MASS_CAUGHT)?);
            let raw =
                Raw { turns, outlets, caught: self.caught, total_kg, tare_kg, ..Raw::default() };
            raw.weighing().map_err(blamed)
        };
        let catches = self.total.iter().map(catch).collect::<Result<_, _>>()?;
        let wished = optional("--wished-error", self.wished_error.as_ref(), WISHED)?;
        Ok(Test {
            name: self.named()?,
            demo: false,
            date: self.day()?,
            outlets,
            catches,
            scale_kg: optional("--scale", self.scale.as_ref(), SCALE)?,
            rate_kg_per_ha: optional("--rate", self.rate.as_ref(), RATE_WANTED)?,
            wished: wished.unwrap_or(USUAL_WISHED),
            ground: None,
        })
    }

    /// Name of the lot.
    fn named(&self) -> Result<Option<String>, Failure> {
        match &self.name {
            Some(name) if name.trim().is_empty() || name.contains(steers) => {
                Err(refused("--name", format!("{name:?} does not fit"), "it wants a line of text"))
            }
            name => Ok(name.clone()),
        }
    }

    /// Day of the catches.
    fn day(&self) -> Result<Option<String>, Failure> {
        match &self.date {
            Some(day) if !is_day(day) => {
                let what = format!("{day:?} does not fit");
                Err(refused("--date", what, format!("it wants {DAY}")))
            }
            day => Ok(day.clone()),
        }
    }
}

/// A clash, with the option to blame.
fn blamed(Clash { key, what, remedy }: Clash) -> Failure {
    refused(&format!("--{key}"), what, remedy)
}

/// Turns of the shaft.
fn turned(text: &str) -> Result<f64, Failure> {
    let turns: f64 = text.trim().parse().map_err(|_| {
        refused("--turns", format!("{text:?} is not a number"), "it wants a number such as 50")
    })?;
    turns_are_good(turns).map_err(blamed)?;
    Ok(turns)
}
