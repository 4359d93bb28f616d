//! `catch`: mass per turn from weighed catches, how sure it is, and the seed file.

mod options;
mod text;

pub(super) use options::CatchOptions;

use super::arguments::Shared;
use super::output::{self, Output};
use super::value::refused;
use super::{Exit, Failure, say};
use crate::catch::{Found, found, read, seed_file};
use crate::input::{InputError, Trouble};
use crate::report::document_with;
use std::path::Path;

/// Works the catches out, and writes the seed file if asked to.
pub(super) fn catch(options: &CatchOptions, shared: Shared) -> Result<Exit, Failure> {
    if let Some(out) = &options.out {
        let read: Vec<&Path> = options.sheet.iter().map(AsRef::as_ref).collect();
        output::spare(out, &read)?;
        output::fresh(out, options.replace)?;
    }
    let found = worked_out(options)?;
    let system = shared.units.into();
    if let Some(out) = &options.out {
        let content = seed_file(&found, out, system).map_err(|clash| match &options.sheet {
            Some(sheet) => Failure::from(InputError {
                file: sheet.clone(),
                place: None,
                trouble: Trouble::MissingKey,
                what: clash.what,
                remedy: clash.remedy,
            }),
            None => refused(&format!("--{}", clash.key), clash.what, clash.remedy),
        })?;
        output::write(&[Output { file: out.clone(), content }])?;
    }
    let exit = if found.good { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("catch", exit.code(), "catch", &found)
    } else {
        text::text(&found, options, system)
    })?;
    Ok(exit)
}

/// The test of the sheet or of the options.
fn worked_out(options: &CatchOptions) -> Result<Found, Failure> {
    if let Some(sheet) = &options.sheet {
        return Ok(read(sheet)?);
    }
    let test = options.quick.test()?;
    found(&test).map_err(|fall| refused("--total", fall.what, fall.remedy))
}
