//! `sheet`: the page for the cab and the shop.

use super::arguments::Shared;
use super::output::{self, Output};
use super::{Exit, Failure, say};
use crate::bench;
use crate::carry::Image;
use crate::report::document;
use crate::scenario::{Scenario, Source, read};
use crate::sheet::{html, sheet, text};
use clap::Args;
use std::path::{Path, PathBuf};

/// Options of `sheet`.
#[derive(Debug, Args)]
pub(super) struct SheetOptions {
    /// The drill file.
    #[arg(value_name = "DRILL", requires = "seed", conflicts_with = "scenario")]
    drill: Option<PathBuf>,
    /// The seed lot file.
    #[arg(value_name = "SEED")]
    seed: Option<PathBuf>,
    /// The seed lot file of the second box.
    #[arg(long, value_name = "SEED", requires = "drill")]
    second_seed: Option<PathBuf>,
    /// Take drill, seed lots and speed sources from a scenario that you proved.
    #[arg(long, value_name = "SCENARIO")]
    scenario: Option<PathBuf>,
    /// Write the page: HTML to print from a browser where the name ends in .html, text otherwise.
    #[arg(short, long, value_name = "PAGE")]
    out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Prints or writes the sheet.
pub(super) fn page(options: &SheetOptions, shared: Shared) -> Result<Exit, Failure> {
    let (file, scenario) = named(options)?;
    if let Some(out) = &options.out {
        let read: Vec<&Path> =
            [&options.drill, &options.seed, &options.second_seed, &options.scenario]
                .into_iter()
                .flatten()
                .map(PathBuf::as_path)
                .collect();
        output::spare(out, &read)?;
        output::fresh(out, options.replace)?;
    }
    let image = Image::of(&bench::settings(&scenario))
        .map_err(|why| Failure::Carried { file: file.clone(), why })?;
    let page = sheet(&scenario, &image.fingerprint(), shared.units.into());
    let next = match &options.out {
        Some(out) if is_html(out) => {
            format!(
                "Wrote {}.\nNext: open it in a browser, print it, and take it to the machine.\n",
                say::typed(out)
            )
        }
        Some(out) => {
            format!("Wrote {}.\nNext: print it, and take it to the machine.\n", say::typed(out))
        }
        None => "\nNext: write it as a page to print: add -o sheet.html\n".to_owned(),
    };
    if let Some(out) = &options.out {
        let content = if is_html(out) { html(&page) } else { text(&page) };
        output::write(&[Output { file: out.clone(), content }])?;
    }
    say::say(&match (shared.json, &options.out) {
        (true, _) => document("sheet", "sheet", &page),
        (false, Some(_)) => next,
        (false, None) => text(&page) + &next,
    })?;
    Ok(Exit::Pass)
}

/// The scenario that the files make, with the file that is to blame.
fn named(options: &SheetOptions) -> Result<(PathBuf, Scenario), Failure> {
    match (&options.scenario, &options.drill, &options.seed) {
        (Some(file), ..) => Ok((file.clone(), read::scenario(file)?)),
        (None, Some(drill), Some(seed)) => {
            let seeds = (seed.as_path(), options.second_seed.as_deref());
            Ok((drill.clone(), read::standing(drill, seeds, Source::Pulses)?))
        }
        _ => Err(Failure::Usage("name a drill and a seed file, or --scenario SCENARIO".to_owned())),
    }
}

fn is_html(file: &Path) -> bool {
    file.extension()
        .is_some_and(|it| it.eq_ignore_ascii_case("html") || it.eq_ignore_ascii_case("htm"))
}
