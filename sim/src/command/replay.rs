//! `replay`: judges a recorded track, and can write a scenario file that repeats it.

use super::arguments::Shared;
use super::output::{Output, spare};
use super::record::{Job, record};
use super::relative::relative;
use super::{Exit, Failure, demo};
use crate::scenario::write::{Replay, to_toml};
use crate::scenario::{Gnss, Scenario, Source, read};
use crate::unit::{Dimension, SPEED, TIME};
use clap::{Args, ValueEnum};
use std::ops::RangeInclusive;
use std::path::{Path, PathBuf};

/// Options of `replay`.
#[derive(Debug, Args)]
pub(super) struct ReplayOptions {
    /// The recorded track: CSV, NMEA 0183 (.nmea) or candump (.log, .candump), as in docs/schema.md.
    #[arg(value_name = "LOG")]
    log: PathBuf,
    /// The drill file; the demo reference drill if none is named.
    #[arg(long, value_name = "FILE")]
    drill: Option<PathBuf>,
    /// The seed lot file; the demo lot of 110 kg/ha if none is named.
    #[arg(long, value_name = "FILE")]
    seed_lot: Option<PathBuf>,
    /// Where the controller's ground speed comes from.
    #[arg(long, value_enum, default_value_t = Kind::Pulses)]
    source: Kind,
    #[command(flatten)]
    receiver: Receiver,
    /// Folder for trace.csv, cells.csv and trace.svg; made if it is not there.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write a scenario file that repeats this replay.
    #[arg(long, value_name = "FILE")]
    write_scenario: Option<PathBuf>,
}

/// The receiver of speed samples; only with `--source gnss`.
#[derive(Debug, Default, Args)]
pub(super) struct Receiver {
    /// Speed samples a second [default: 10].
    #[arg(long, value_name = "HZ", value_parser = rate)]
    rate_hz: Option<f64>,
    /// Age of a sample when it arrives, with its unit [default: "0.1 s"].
    #[arg(long, value_name = "TIME", value_parser = latency)]
    latency: Option<f64>,
    /// Noise of a sample, rms, with its unit [default: "0.02 m/s"].
    #[arg(long, value_name = "SPEED", value_parser = noise)]
    noise: Option<f64>,
    /// Seed of the noise [default: 1].
    #[arg(long, value_name = "SEED", value_parser = clap::value_parser!(u64).range(..=SEED_LIMIT))]
    noise_seed: Option<u64>,
}

/// Largest seed a scenario file can hold.
const SEED_LIMIT: u64 = u64::MAX >> 1;

/// Where ground speed comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(super) enum Kind {
    /// Pulses of a ground wheel or radar.
    Pulses,
    /// Timed speed samples of a receiver.
    Gnss,
}

/// Replays the track.
pub(super) fn replay(options: &ReplayOptions, shared: Shared) -> Result<Exit, Failure> {
    let drill = named_or_demo(options.drill.as_ref(), "drills/reference.toml")?;
    let seed_lot = named_or_demo(options.seed_lot.as_ref(), "seeds/demo-110.toml")?;
    let source = source(options.source, &options.receiver)?;
    let scenario = read::replay(&options.log, &drill, &seed_lot, source)?;
    let inputs = [options.log.as_path(), &drill, &seed_lot];
    for name in ["trace.csv", "cells.csv", "trace.svg"] {
        if let Some(folder) = &options.out {
            spare(&folder.join(name), &inputs)?;
        }
    }
    if let Some(file) = &options.write_scenario {
        spare(file, &inputs)?;
    }
    let mut beside = Vec::new();
    if let Some(file) = &options.write_scenario {
        let content = repeated(file, &scenario, [&drill, &seed_lot, &options.log])?;
        beside.push(Output { file: file.clone(), content });
    }
    let job = Job {
        command: "replay",
        file: options.log.clone(),
        scenario,
        out: options.out.as_deref(),
        noise_seed: None,
        beside,
    };
    record(job, shared)
}

/// The scenario file that repeats the replay, its paths relative to where it will stand.
fn repeated(file: &Path, scenario: &Scenario, named: [&Path; 3]) -> Result<String, Failure> {
    let unfit =
        |why: std::io::Error| Failure::Target { place: file.to_owned(), why: why.to_string() };
    let [drill, seed, log] = named.map(|path| relative(file, path));
    Ok(to_toml(&Replay {
        title: &scenario.title,
        drill: &drill.map_err(unfit)?,
        seed: &seed.map_err(unfit)?,
        log: &log.map_err(unfit)?,
        source: &scenario.source,
        tolerances: &scenario.tolerances,
    }))
}

/// The file that was named, or the demo one.
fn named_or_demo(named: Option<&PathBuf>, otherwise: &str) -> Result<PathBuf, Failure> {
    named.map_or_else(|| demo::demo(otherwise), |named| Ok(named.clone()))
}

/// The speed source.
pub(super) fn source(kind: Kind, receiver: &Receiver) -> Result<Source, Failure> {
    let Receiver { rate_hz, latency, noise, noise_seed } = receiver;
    let given = [
        ("--rate-hz", rate_hz.is_some()),
        ("--latency", latency.is_some()),
        ("--noise", noise.is_some()),
        ("--noise-seed", noise_seed.is_some()),
    ];
    match (kind, given.iter().find(|(_, given)| *given)) {
        (Kind::Pulses, Some((option, _))) => Err(Failure::Usage(format!(
            "{option} means nothing with pulses; leave it out, or add --source gnss"
        ))),
        (Kind::Pulses, None) => Ok(Source::Pulses),
        (Kind::Gnss, _) => Ok(Source::Gnss(Gnss {
            interval_s: 1.0 / rate_hz.unwrap_or(10.0),
            latency_s: latency.unwrap_or(0.1),
            noise_mps: noise.unwrap_or(0.02),
            seeds: vec![noise_seed.unwrap_or(1)],
        })),
    }
}

/// Reads a sample rate.
fn rate(text: &str) -> Result<f64, String> {
    let rate = text.parse::<f64>().map_err(|_| "write a number of samples a second, such as 10")?;
    let good = (0.5..=50.0).contains(&rate);
    good.then_some(rate).ok_or_else(|| "0.5 to 50 samples a second work".to_owned())
}

/// Reads a latency.
fn latency(text: &str) -> Result<f64, String> {
    quantity(text, &TIME, 0.0..=2.0)
}

/// Reads a noise.
fn noise(text: &str) -> Result<f64, String> {
    quantity(text, &SPEED, 0.0..=1.0)
}

/// Reads a quantity with its unit.
fn quantity(text: &str, kind: &Dimension, range: RangeInclusive<f64>) -> Result<f64, String> {
    let reading = kind.parse(text);
    let value = reading.map_err(|misfit| format!("{misfit}; write {}", kind.wanted()))?.value;
    let (low, high) = (kind.write(*range.start()), kind.write(*range.end()));
    range.contains(&value).then_some(value).ok_or_else(|| format!("{low} to {high} work"))
}
