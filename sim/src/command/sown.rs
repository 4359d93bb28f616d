//! `record`: writes down what was sown.

use super::arguments::Shared;
use super::output::{self, Output};
use super::value::{optional, refused};
use super::{Exit, Failure, say};
use crate::input::{InputError, InputFile, Trouble, bytes, steers};
use crate::report::document_with;
use crate::scenario::is_day;
use crate::sown::{self, About, Record, Sown, Told};
use clap::Args;
use std::path::{Path, PathBuf};

/// Options of `record`.
#[derive(Debug, Args)]
pub(super) struct SownOptions {
    /// Image of a board's flash with its journal, or a log (.csv).
    #[arg(value_name = "JOURNAL or LOG")]
    file: PathBuf,
    /// What is not in it (TOML): field, date, operator, seed, how the flash is cut up; options go before it.
    #[arg(long, value_name = "FILE")]
    about: Option<PathBuf>,
    /// Name of the field.
    #[arg(long, value_name = "NAME")]
    field: Option<String>,
    /// Day of the work, such as 2026-04-12.
    #[arg(long, value_name = "DAY")]
    date: Option<String>,
    /// Who sowed.
    #[arg(long, value_name = "NAME")]
    operator: Option<String>,
    /// Seed file that was sown by; once more for the second product.
    #[arg(long, value_name = "SEED")]
    seed: Vec<PathBuf>,
    /// How sure the area is, such as "0.5 %": half the 95 % interval; 1 % if nobody says.
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    area_uncertainty: Option<String>,
    /// Write a record even where entries are missing, and say so in it.
    #[arg(long)]
    despite_damage: bool,
    /// Folder for record.html, record.csv and record.geojson.
    #[arg(short, long, value_name = "FOLDER")]
    out: Option<PathBuf>,
    /// Write them even where there are files of those names.
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Names of the files.
const FILES: [&str; 3] = ["record.html", "record.csv", "record.geojson"];

/// Writes a record.
pub(super) fn sown(options: &SownOptions, shared: Shared) -> Result<Exit, Failure> {
    let told = told(options)?;
    let about = about(&told)?;
    let sown = read(options, &told)?;
    let whole =
        |what: String, remedy: &str| Failure::Input(vec![complaint(&options.file, what, remedy)]);
    if !sown.damage.is_empty() && !options.despite_damage {
        let remedy = "read the flash out again, or add --despite-damage for a record that says so";
        return Err(whole(sown.damage.join(" "), remedy));
    }
    let source = options.file.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let record = Record::new(sown, &about, source)
        .map_err(|what| whole(what, "the record would say what is not so"))?;
    let system = shared.units.into();
    let mut outputs = Vec::new();
    if let Some(out) = &options.out {
        let contents = [sown::html(&record, system), sown::csv(&record), sown::geojson(&record)];
        for (name, content) in FILES.into_iter().zip(contents) {
            let file = out.join(name);
            output::fresh(&file, options.replace)?;
            let about = options.about.as_deref();
            let read: Vec<&Path> = core::iter::once(options.file.as_path()).chain(about).collect();
            output::spare(&file, &read)?;
            outputs.push(Output { file, content });
        }
    }
    output::write(&outputs)?;
    let exit = if record.damage.is_empty() { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("record", exit.code(), "record", &record)
    } else {
        let next = next(&outputs);
        format!("{}{next}", sown::text(&record, system))
    })?;
    Ok(exit)
}

/// What was written, and what to type next.
fn next(outputs: &[Output]) -> String {
    let mut text = String::new();
    for output in outputs {
        text.extend(["wrote ", say::typed(&output.file).as_str(), "\n"]);
    }
    text.push_str(if outputs.is_empty() {
        "Next: write it down: the same command with --out FOLDER.\n"
    } else {
        "Next: print record.html from a browser, and settle the masses by weight: meterwright reconcile SEED ...\n"
    });
    text
}

/// What the person told, options before the file.
fn told(options: &SownOptions) -> Result<Told, Failure> {
    if let Some(date) = options.date.as_deref().filter(|date| !is_day(date)) {
        let what = format!("{date:?} is no day");
        return Err(refused("--date", what, "it wants a day such as 2026-04-12"));
    }
    for (option, text) in [("--field", &options.field), ("--operator", &options.operator)] {
        let wrong = |text: &&String| text.trim().is_empty() || text.contains(steers);
        if let Some(text) = text.as_ref().filter(wrong) {
            return Err(refused(option, format!("{text:?} is no name"), "it wants a line of text"));
        }
    }
    if options.seed.len() > 2 {
        return Err(refused(
            "--seed",
            "there are more than two",
            "a drill meters two products at most",
        ));
    }
    let share = options.area_uncertainty.as_ref();
    let typed = Told {
        field: options.field.clone(),
        date: options.date.clone(),
        operator: options.operator.clone(),
        demo: false,
        seeds: options.seed.clone(),
        area_share: optional("--area-uncertainty", share, crate::settle::AREA_SHARE)?,
        layout: None,
    };
    let file = options.about.as_deref().map(Told::read).transpose()?;
    Ok(file.unwrap_or_default().under(typed))
}

/// The same, whole.
fn about(told: &Told) -> Result<About, Failure> {
    let need = |option: &str, text: &Option<String>, such: &str| {
        let missing =
            || refused(option, "it is not there", format!("add {option} {such}, or --about FILE"));
        text.clone().ok_or_else(missing)
    };
    Ok(About {
        field: need("--field", &told.field, "\"North 40\"")?,
        date: need("--date", &told.date, "2026-04-12")?,
        operator: told.operator.clone(),
        demo: told.demo,
        lots: told.lots()?,
        area_share: told.area_share,
    })
}

/// What was sown, of an image or a log.
fn read(options: &SownOptions, told: &Told) -> Result<Sown, Failure> {
    let file = &options.file;
    if file.extension().is_some_and(|it| it.eq_ignore_ascii_case("csv")) {
        return Ok(sown::log(&InputFile::read(file)?)?);
    }
    let bytes = bytes(file)?;
    let layout = told.layout.unwrap_or_default();
    sown::journal(&bytes, &layout).map_err(|what| {
        let remedy = "read the flash out again, or tell its layout in [journal] of --about FILE";
        Failure::Input(vec![complaint(file, what, remedy)])
    })
}

fn complaint(file: &Path, what: String, remedy: &str) -> InputError {
    InputError {
        file: file.to_owned(),
        place: None,
        trouble: Trouble::WrongForm,
        what,
        remedy: remedy.to_owned(),
    }
}
