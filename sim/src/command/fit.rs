//! `fit`: measures the built drive, from one log or from a run sheet.

use super::arguments::Shared;
use super::output::{self, Output};
use super::{Exit, Failure, say};
use crate::fit::as_built::Built;
use crate::fit::run_log::{RunLog, kind};
use crate::fit::sheet::{SheetError, measure};
use crate::fit::{self, Fit, FitError, SpinFit, Wanted};
use crate::input::InputFile;
use crate::report::document;
use crate::unit::System;
use clap::Args;
use controller::measure::RunKind;
use std::path::{Path, PathBuf};

/// Options of `fit`.
#[derive(Debug, Args)]
pub(super) struct FitOptions {
    /// A step log or spin log (CSV, columns as in docs/schema.md), or a run sheet (TOML).
    #[arg(value_name = "LOG or SHEET")]
    file: PathBuf,
    /// Edges of the encoder per turn of the meter shaft; those named in the log if none are named.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=4096))]
    pulses_per_turn: Option<u32>,
    /// With a run sheet: write the as-built file, which a drill file names by `as_built`.
    #[arg(short, long, value_name = "AS-BUILT")]
    out: Option<PathBuf>,
    /// Write it even where there is a file of that name.
    #[arg(long, requires = "out")]
    replace: bool,
}

/// Fits the drive.
pub(super) fn fit(options: &FitOptions, shared: Shared) -> Result<Exit, Failure> {
    if options.file.extension().is_some_and(|it| it.eq_ignore_ascii_case("toml")) {
        return sheet(options, shared);
    }
    if options.out.is_some() {
        let why = "--out needs a run sheet (.toml) that lists the logs; see docs/measuring.md";
        return Err(Failure::Usage(why.to_owned()));
    }
    let file = InputFile::read(&options.file)?;
    match kind(&file) {
        None => steps(options, shared),
        Some(RunKind::Spin) => spun(options, &file, shared),
        Some(kind @ (RunKind::Ground | RunKind::Delivery | RunKind::Flag)) => {
            let why = FitError::NeedsSheet { run: kind.word() };
            Err(Failure::Unfit { file: options.file.clone(), why })
        }
    }
}

/// A step log, played by hand.
fn steps(options: &FitOptions, shared: Shared) -> Result<Exit, Failure> {
    let log = fit::read(&options.file, options.pulses_per_turn)?;
    let unfit = |why| Failure::Unfit { file: options.file.clone(), why };
    let fit = fit::fit(&log).map_err(unfit)?;
    say::say(&if shared.json { document("fit", "fit", &fit) } else { text(&fit) })?;
    Ok(Exit::Pass)
}

/// A spin run, played by the firmware.
fn spun(options: &FitOptions, file: &InputFile, shared: Shared) -> Result<Exit, Failure> {
    let mut log = RunLog::read(file)?;
    log.encoder_pulses_per_turn = options.pulses_per_turn.unwrap_or(log.encoder_pulses_per_turn);
    let unfit = |why| Failure::Unfit { file: options.file.clone(), why };
    let fit = fit::spin(&log, Wanted::default()).map_err(unfit)?;
    say::say(&if shared.json { document("fit", "spin", &fit) } else { spun_text(&fit) })?;
    Ok(Exit::Pass)
}

/// A run sheet with all its logs.
fn sheet(options: &FitOptions, shared: Shared) -> Result<Exit, Failure> {
    if options.pulses_per_turn.is_some() {
        let why =
            "--pulses-per-turn goes with a single log; a run sheet's logs name their encoders";
        return Err(Failure::Usage(why.to_owned()));
    }
    if let Some(out) = &options.out {
        output::spare(out, &[options.file.as_path()])?;
        output::fresh(out, options.replace)?;
    }
    let built = measure(&options.file).map_err(|error| match error {
        SheetError::Input(error) => error.into(),
        SheetError::Unfit { file, why } => Failure::Unfit { file, why },
    })?;
    if let Some(out) = &options.out {
        let read: Vec<&Path> = built.files.iter().map(PathBuf::as_path).collect();
        output::spare(out, &read)?;
        output::write(&[Output { file: out.clone(), content: built.to_toml() }])?;
    }
    let out = options.out.as_deref();
    say::say(&if shared.json {
        document("fit", "built", &built)
    } else {
        built_text(&built, out, shared.units.into())
    })?;
    Ok(Exit::Pass)
}

/// The fit in words, as a drill file has it, and what to do with it.
fn text(fit: &Fit) -> String {
    let next = if fit.is_sure() {
        "Next: put these lines in your drill file in place of its [drive], then verify it."
    } else {
        "Next: record the steps again, with longer holds or an encoder of more pulses per turn."
    };
    format!("{fit}\n{}\n{next}\n", fit.to_toml())
}

/// The same of a spin run.
fn spun_text(fit: &SpinFit) -> String {
    let next = if fit.is_sure() {
        "Next: list this log in a run sheet with the other runs (docs/measuring.md), or put these lines in your \
         drill file in place of its [drive]."
    } else {
        "Next: put right what is said above and play the spin run again."
    };
    format!("{fit}\n{}\n{next}\n", fit.fit.to_toml())
}

/// The same of a run sheet.
fn built_text(built: &Built, out: Option<&Path>, system: System) -> String {
    let (file, next) = match out {
        Some(out) if built.is_sure() => (
            format!("wrote {}\n", out.display()),
            "Next: name that file in your drill file by as_built = \"FILE\", then verify it.",
        ),
        Some(out) => (
            format!("wrote {}\n", out.display()),
            "Next: put right what is said above and repeat those runs before you sow by that file.",
        ),
        None => (built.to_toml(), "Next: write the as-built file: add --out FILE."),
    };
    format!("{}\n{file}{next}\n", built.text(system))
}
