//! `sheet`: the page for the cab and the shop.

use super::arguments::Shared;
use super::output::{self, Output};
use super::told::Told;
use super::{Exit, Failure, say};
use crate::bench;
use crate::carry::Image;
use crate::report::document;
use crate::sheet::{html, sheet, text};
use clap::Args;
use std::path::{Path, PathBuf};

/// Options of `sheet`.
#[derive(Debug, Args)]
pub(super) struct SheetOptions {
    #[command(flatten)]
    told: Told,
    /// Write the page: HTML to print from a browser where the name ends in .html, text otherwise.
    #[arg(short, long, value_name = "PAGE")]
    out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Prints or writes the sheet.
pub(super) fn page(options: &SheetOptions, shared: Shared) -> Result<Exit, Failure> {
    let Some((file, scenario)) = options.told.read()? else {
        let why = "name a drill and a seed file, or --scenario SCENARIO";
        return Err(Failure::Usage(why.to_owned()));
    };
    if let Some(out) = &options.out {
        output::spare(out, &options.told.files())?;
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

fn is_html(file: &Path) -> bool {
    file.extension()
        .is_some_and(|it| it.eq_ignore_ascii_case("html") || it.eq_ignore_ascii_case("htm"))
}
