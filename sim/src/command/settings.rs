//! `settings`: writes the settings image that a board loads, or checks one.

use super::arguments::Shared;
use super::told::Told;
use super::{Exit, Failure, output, say};
use crate::bench;
use crate::carry::{Image, Listed};
use crate::report::document;
use crate::scenario::Scenario;
use crate::unit::{PULSES_PER_LENGTH, RATE, System};
use clap::Args;
use serde::Serialize;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Options of `settings`.
#[derive(Debug, Args)]
pub(super) struct SettingsOptions {
    #[command(flatten)]
    told: Told,
    /// Write the image.
    #[arg(short, long, value_name = "IMAGE", conflicts_with = "check")]
    out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    replace: bool,
    /// Read an image and say what it is; with files named, refuse it unless it says the same.
    #[arg(long, value_name = "IMAGE")]
    check: Option<PathBuf>,
    /// Refuse any other fingerprint, such as 29A4-KX37.
    #[arg(long, value_name = "FINGERPRINT")]
    expect: Option<String>,
    /// List every field with its bytes.
    #[arg(long)]
    fields: bool,
}

/// What is said of an image.
#[derive(Debug, Serialize)]
struct Said<'a> {
    fingerprint: String,
    version: u16,
    bytes: usize,
    drill: Option<&'a str>,
    seed_lots: Vec<&'a str>,
    rates_kg_per_ha: Vec<f64>,
    written: Option<String>,
    fields: Vec<Listed>,
}

/// Writes or checks the image.
pub(super) fn settings(options: &SettingsOptions, shared: Shared) -> Result<Exit, Failure> {
    let proved = options.told.read()?;
    let ours = proved.as_ref().map(|(file, scenario)| ours(file, scenario)).transpose()?;
    if let Some(file) = &options.out {
        output::spare(file, &options.told.files())?;
        output::fresh(file, options.replace)?;
    }
    let checked = options.check.as_ref().map(|file| checked(file, ours.as_ref())).transpose()?;
    let Some(image) = checked.as_ref().or(ours.as_ref()) else {
        let why = "name a drill and a seed file, or --scenario SCENARIO, or --check IMAGE";
        return Err(Failure::Usage(why.to_owned()));
    };
    if let Some(fingerprint) = &options.expect {
        let file = options.check.clone().or_else(|| proved.as_ref().map(|(file, _)| file.clone()));
        let carried = |why| Failure::Carried { file: file.unwrap_or_default(), why };
        image.expect(fingerprint).map_err(carried)?;
    }
    if let Some(file) = &options.out {
        output::write_bytes(file, image.bytes())?;
    }
    let scenario = proved.as_ref().map(|(_, scenario)| scenario);
    let text = if shared.json {
        document("settings", "settings", &said(image, scenario, options))
    } else {
        text(image, scenario, options, shared.units.into())
    };
    say::say(&text)?;
    Ok(Exit::Pass)
}

/// The image of a scenario's settings.
fn ours(file: &Path, scenario: &Scenario) -> Result<Image, Failure> {
    let carried = |why| Failure::Carried { file: file.to_owned(), why };
    Image::of(&bench::settings(scenario)).map_err(carried)
}

/// An image that is there already, the same as ours where there is one.
fn checked(file: &Path, ours: Option<&Image>) -> Result<Image, Failure> {
    let carried = |why| Failure::Carried { file: file.to_owned(), why };
    let bytes = crate::input::bytes(file)?;
    let image = Image::read(&bytes).map_err(carried)?;
    ours.map_or(Ok(()), |ours| image.same_as(ours)).map_err(carried)?;
    Ok(image)
}

fn said<'a>(image: &Image, scenario: Option<&'a Scenario>, options: &SettingsOptions) -> Said<'a> {
    Said {
        fingerprint: image.fingerprint(),
        version: controller::settings::image::VERSION,
        bytes: image.bytes().len(),
        drill: scenario.map(|it| it.drill.name.as_str()),
        seed_lots: scenario.iter().flat_map(|it| it.lots()).map(|lot| lot.name.as_str()).collect(),
        rates_kg_per_ha: rates(image),
        written: options.out.as_ref().map(|file| file.display().to_string()),
        fields: image.fields(),
    }
}

/// The rates in the image, kg/ha; 1 kg/ha is 100 mg/m², in sixteen binary places.
fn rates(image: &Image) -> Vec<f64> {
    let config = image.config();
    let rates = core::iter::once(config.rate).chain(config.second_rate);
    rates.map(|rate| f64::from(rate.to_bits()) / 6_553_600.0).collect()
}

/// What the image is, in words.
fn text(
    image: &Image,
    scenario: Option<&Scenario>,
    options: &SettingsOptions,
    system: System,
) -> String {
    let mut text = scenario.map_or_else(
        || "Settings image\n".to_owned(),
        |scenario| {
            let lots: Vec<&str> = scenario.lots().map(|lot| lot.name.as_str()).collect();
            format!("Settings of {} with {}\n", scenario.drill.name, lots.join(" and "))
        },
    );
    let rates: Vec<String> = rates(image).iter().map(|&rate| RATE.show(rate, system, 4)).collect();
    let config = image.config();
    let (bytes, version) = (image.bytes().len(), controller::settings::image::VERSION);
    let _ = write!(
        text,
        "\n  fingerprint  {}   the board says the same when it starts, or it has other settings\n  \
         image        {bytes} bytes, version {version} (docs/settings-image.md)\n  \
         rate         {}\n  sides        {}\n",
        image.fingerprint(),
        rates.join(" and "),
        config.sides.len()
    );
    if let Some(scenario) = scenario {
        let pulses = PULSES_PER_LENGTH.show(scenario.drill.ground_pulses_per_m, system, 5);
        let _ = writeln!(text, "  ground       {pulses} where pulses are counted");
        let _ = writeln!(text, "  numbers      {}", scenario.drill.numbers());
    }
    if options.fields {
        text.push_str("\n  offset  bytes  field                     value\n");
        for Listed { offset, size, name, raw } in image.fields() {
            let _ = writeln!(text, "  {offset:>6}  {size:>5}  {name:<24}  {raw}");
        }
    }
    text + &last(image, options)
}

/// What was done and what to do next.
fn last(image: &Image, options: &SettingsOptions) -> String {
    let fingerprint = image.fingerprint();
    match (&options.out, &options.check) {
        (Some(out), _) => format!(
            "\nWrote {}.\nNext: load it into the board with the oil uncoupled (docs/commissioning.md), and compare the \
             fingerprint: {fingerprint}\n",
            say::typed(out)
        ),
        (None, Some(file)) => {
            let same = if options.told.files().is_empty() {
                ""
            } else {
                " It says the same as the files."
            };
            format!(
                "\n{} is whole, and the controller takes it.{same}\nNext: compare the fingerprint with what the board says: \
                 {fingerprint}\n",
                say::typed(file)
            )
        }
        (None, None) => "\nNothing was written.\nNext: prove these settings (meterwright verify SCENARIO names the same \
                         fingerprint), then write the image: add -o IMAGE\n"
            .to_owned(),
    }
}
