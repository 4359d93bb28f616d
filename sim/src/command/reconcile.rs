//! `reconcile`: settles a fill by weight against area and turns of the tally.

use super::arguments::Shared;
use super::output::{self, Output};
use super::value::{optional, quantity, refused};
use super::{Exit, Failure, say};
use crate::input::{InputFile, Trouble};
use crate::report::document_with;
use crate::scenario::read::{Section, Wanted, parse, seed_lot};
use crate::scenario::{SeedLot, is_day};
use crate::settle::{
    self, AREA_SHARE, FILL_KEYS, Fault, Fill, GROUND, History, LOADED, PRICE_OF_SEED, SCALE, SHAFT,
    Settled, Typed,
};
use clap::Args;
use std::path::{Path, PathBuf};

/// Options of `reconcile`.
#[derive(Debug, Args)]
pub(super) struct ReconcileOptions {
    /// The seed file that was sown by (TOML).
    #[arg(value_name = "SEED")]
    seed: PathBuf,
    /// A file with the fill (TOML, keys as the options below), in place of them.
    #[arg(long, value_name = "FILE", conflicts_with_all = [
        "loaded", "left", "area", "turns", "sides", "scale", "area_uncertainty", "shaft_speed", "date", "price",
    ])]
    fill: Option<PathBuf>,
    /// Seed that was loaded, such as "1350 kg"; once for each weighing.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    loaded: Vec<String>,
    /// Seed that was left, such as "31 kg".
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    left: Option<String>,
    /// Area of the tally, such as "12 ha".
    #[arg(long, value_name = "AREA", allow_hyphen_values = true)]
    area: Option<String>,
    /// Turns of the meter shafts, all sides together; or once for each side.
    #[arg(long, value_name = "NUMBER", allow_hyphen_values = true)]
    turns: Vec<String>,
    /// Sides whose turns these are; --turns is then one sum, or given for each.
    #[arg(long, value_name = "NUMBER")]
    sides: Option<String>,
    /// How sure a weighing is, such as "0.5 kg": half the 95 % interval.
    #[arg(long, value_name = "MASS", allow_hyphen_values = true)]
    scale: Option<String>,
    /// How sure the area is, such as "0.5 %": half the 95 % interval; 1 % if nobody says.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    area_uncertainty: Option<String>,
    /// Mean speed of the shaft in work, such as "0.7 turns/s"; a lot with a meter curve needs it.
    #[arg(long, value_name = "SPEED", allow_hyphen_values = true)]
    shaft_speed: Option<String>,
    /// Price of the seed, such as "2.40 /kg".
    #[arg(long, value_name = "PRICE", allow_hyphen_values = true)]
    price: Option<String>,
    /// Day on which it was weighed, such as 2026-04-12.
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// History of the lot (TOML): its fills are read, and this one is added.
    #[arg(long, value_name = "FILE")]
    history: Option<PathBuf>,
    /// Write the seed file with its mass per turn put right.
    #[arg(short, long, value_name = "SEED")]
    out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Key of a file with a fill, beside those of the fill.
const PRICE_KEY: &str = "price";

/// Settles a fill.
pub(super) fn reconcile(options: &ReconcileOptions, shared: Shared) -> Result<Exit, Failure> {
    let lot = seed_lot(&options.seed)?;
    let (fill, price) = match &options.fill {
        Some(path) => from_file(path, &lot)?,
        None => typed_in(options, &lot)?,
    };
    if fill.date.is_none() && (options.history.is_some() || options.out.is_some()) {
        let what = "a history and a seed file need the day of the fill";
        return Err(refused("--date", what, "add --date such as 2026-04-12"));
    }
    let before = match &options.history {
        Some(path) if path.exists() => History::read(path, &lot)?,
        _ => History::default(),
    };
    if before.has(&fill) {
        let what = "this very fill is in the history already";
        return Err(refused(
            "--history",
            what,
            "leave --history out to see it again, or put its day right",
        ));
    }
    targets(options)?;
    let settled = settle::settle(&lot, &fill, &before.fills, price);
    let mut outputs = Vec::new();
    if let Some(file) = &options.history {
        let content = before.with(&fill, &lot, file)?;
        outputs.push(Output { file: file.clone(), content });
    }
    if let Some(file) = &options.out {
        outputs.push(Output { file: file.clone(), content: mended(options, &lot, &settled)? });
    }
    output::write(&outputs)?;
    let exit = if settled.disagrees { Exit::Missed } else { Exit::Pass };
    say::say(&if shared.json {
        document_with("reconcile", exit.code(), "reconcile", &settled)
    } else {
        text(options, &lot, &settled, shared)
    })?;
    Ok(exit)
}

/// Proves that all can be written, each in its own place.
fn targets(options: &ReconcileOptions) -> Result<(), Failure> {
    let fill = options.fill.as_deref();
    if let Some(history) = &options.history {
        output::check(history)?;
        let read: Vec<&Path> = core::iter::once(options.seed.as_path()).chain(fill).collect();
        output::spare(history, &read)?;
    }
    if let Some(out) = &options.out {
        output::fresh(out, options.replace)?;
        let others = core::iter::once(options.seed.as_path()).chain(fill);
        let others: Vec<&Path> = others.chain(options.history.as_deref()).collect();
        output::spare(out, &others)?;
        if options.history.as_ref() == Some(out) {
            let why = "--out and --history name the same file";
            return Err(Failure::Usage(why.to_owned()));
        }
    }
    Ok(())
}

/// The seed file put right.
fn mended(options: &ReconcileOptions, lot: &SeedLot, settled: &Settled) -> Result<String, Failure> {
    let file = InputFile::read(&options.seed)?;
    settle::mended(file.text(), lot, settled).map_err(|error| {
        let remedy = "write it as TOML".to_owned();
        file.complain(0, Trouble::Syntax, error.to_string(), remedy).into()
    })
}

/// The fill of a file, and the price.
fn from_file(path: &Path, lot: &SeedLot) -> Result<(Fill, Option<f64>), Failure> {
    let file = InputFile::read(path)?;
    let document = parse(&file)?;
    let root = Section::root(&file, &document, &[&FILL_KEYS[..], &[PRICE_KEY]].concat())?;
    let price = root.find(PRICE_KEY)?.map(|entry| entry.quantity(PRICE_OF_SEED)).transpose()?;
    Ok((settle::read(&root, lot)?, price))
}

/// The fill of the options, and the price.
fn typed_in(options: &ReconcileOptions, lot: &SeedLot) -> Result<(Fill, Option<f64>), Failure> {
    let needed = |option, text: Option<&String>, wanted, such: &str| match text {
        Some(text) => typed(option, text, wanted),
        None => Err(refused(option, "it is not there", format!("add {option} {such}"))),
    };
    if options.loaded.is_empty() {
        return Err(refused(
            "--loaded",
            "it is not there",
            "add --loaded \"1350 kg\", or --fill FILE",
        ));
    }
    if options.turns.is_empty() {
        return Err(refused("--turns", "it is not there", "add --turns 11000, all sides together"));
    }
    let maybe = |option, text: Option<&String>, wanted| {
        text.map(|text| typed(option, text, wanted)).transpose()
    };
    let fill = Fill {
        date: options.date.as_ref().map(|date| day(date)).transpose()?,
        loaded: (options.loaded.iter())
            .map(|text| typed("--loaded", text, LOADED))
            .collect::<Result<_, _>>()?,
        left: needed("--left", options.left.as_ref(), LOADED, "\"30 kg\"")?,
        area: needed("--area", options.area.as_ref(), GROUND, "\"12 ha\"")?,
        turns: options.turns.iter().map(|text| turns(text)).collect::<Result<_, _>>()?,
        sides: options.sides.as_ref().map(|text| sides(text)).transpose()?,
        scale: needed("--scale", options.scale.as_ref(), SCALE, "\"0.5 kg\"")?,
        area_share: maybe("--area-uncertainty", options.area_uncertainty.as_ref(), AREA_SHARE)?,
        shaft: maybe("--shaft-speed", options.shaft_speed.as_ref(), SHAFT)?,
    };
    if let Some(Fault { key, what, remedy }) = fill.fault(lot) {
        return Err(refused(&format!("--{}", key.replace('_', "-")), what, remedy));
    }
    Ok((fill, optional("--price", options.price.as_ref(), PRICE_OF_SEED)?))
}

fn typed(option: &str, text: &str, wanted: Wanted) -> Result<Typed, Failure> {
    Ok(Typed { text: text.trim().to_owned(), value: quantity(option, text, wanted)? })
}

fn day(text: &str) -> Result<String, Failure> {
    if is_day(text) {
        return Ok(text.to_owned());
    }
    Err(refused("--date", format!("{text:?} is no day"), "it wants a day such as 2026-04-12"))
}

fn turns(text: &str) -> Result<f64, Failure> {
    text.trim().parse().map_err(|_| {
        refused(
            "--turns",
            format!("{text:?} is not a plain number"),
            "it wants turns such as 11000",
        )
    })
}

fn sides(text: &str) -> Result<u64, Failure> {
    let count = text.trim().parse().ok().filter(|count| (1..=8).contains(count));
    count.ok_or_else(|| refused("--sides", format!("{text:?} are no sides"), "it wants 1 to 8"))
}

/// What the fill tells, what to do with it, and what to type next.
fn text(options: &ReconcileOptions, lot: &SeedLot, settled: &Settled, shared: Shared) -> String {
    let mut text = settle::report(settled, shared.units.into());
    for (written, word) in [(&options.history, "added the fill to "), (&options.out, "wrote ")] {
        if let Some(file) = written {
            text.extend([word, say::typed(file).as_str(), "\n"]);
        }
    }
    let day = if settled.fill.date.is_some() { "" } else { " --date DAY and" };
    let next = match (settled.disagrees, &options.out) {
        (true, None) => format!(
            "The seed file with that put right:\n\n{}\nNext: write it: the same command with{day} --out NEW-SEED.toml, and \
             sow by that one.\n",
            settle::lines(settled, &lot.curve, shared.units.into())
        ),
        (_, Some(out)) => format!(
            "Next: name {} by seed in your scenario, and meterwright verify SCENARIO.\n",
            say::typed(out)
        ),
        (false, None) => format!(
            "The mass per turn may stay as it is.\nNext: settle the next fill too, with its day and a file that keeps them \
             all: meterwright reconcile {} --date DAY --history FILE.toml\n",
            say::typed(&options.seed)
        ),
    };
    text + &next
}
