//! `new`: asks about a drill and writes the files that the other commands read, once they have been tried.
//!
//! ```text
//!  keyboard or answers ─► files in a folder of their own ─► read back ─► bench ─► written where they belong ─► said
//! ```

use super::arguments::Shared;
use super::output::{self, Output};
use super::relative::relative;
use super::value::refused;
use super::{Exit, Failure, battery, say};
use crate::input::{InputError, InputFile};
use crate::interview::{Answers, ask, compose, from_defaults, from_file, strips, to_toml};
use crate::report::{Judged, document_with};
use crate::scenario::{Scenario, read};
use crate::unit::{LENGTH, RATE, System};
use clap::Args;
use serde::Serialize;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// Options of `new`.
#[derive(Debug, Args)]
pub(super) struct NewOptions {
    /// Folder for drill.toml, seed.toml, ramp.toml, headland.toml and answers.toml.
    #[arg(short, long, value_name = "DIR")]
    out: PathBuf,
    /// Take the answers of this file (TOML), and the defaults where it is silent, instead of asking.
    #[arg(long, value_name = "FILE")]
    answers: Option<PathBuf>,
    /// Take every default instead of asking.
    #[arg(long, conflicts_with = "answers")]
    defaults: bool,
    /// Write them even where there are files of those names.
    #[arg(long)]
    replace: bool,
}

/// Name of the file of answers.
const ANSWERS: &str = "answers.toml";

/// What was written, and how it did.
#[derive(Debug, Serialize)]
struct Told {
    files: Vec<PathBuf>,
    given: usize,
    defaults: usize,
    scenarios: Vec<Tried>,
}

/// A scenario and its verdict.
#[derive(Debug, Serialize)]
struct Tried {
    file: PathBuf,
    pass: bool,
    within_5_pct: f64,
    rms_pct: f64,
    misses: Vec<Missed>,
}

/// A tolerance that was missed.
#[derive(Debug, Serialize)]
struct Missed {
    figure: String,
    bound: String,
    have: f64,
}

/// Asks, tries, writes.
pub(super) fn new(options: &NewOptions, shared: Shared) -> Result<Exit, Failure> {
    let system: System = shared.units.into();
    if shared.json && options.answers.is_none() && !options.defaults {
        let why = "with --json nothing is asked: give --answers FILE or --defaults";
        return Err(Failure::Usage(why.to_owned()));
    }
    // Checked before the first question: nobody answers fifty of them to be told that the folder cannot be written.
    let targets = targets(options)?;
    let answers = answered(options, system)?;
    let as_built = Some(answers.text("as_built")).filter(|name| *name != "none").map(Path::new);
    let judged = tried(options, &answers, as_built)?;
    let named = as_built.map(|file| named(options, file)).transpose()?;
    let contents = compose::files(&answers, named.as_deref()).map(|(_, content)| content);
    let contents = contents.into_iter().chain([to_toml(&answers)]);
    let outputs: Vec<Output> = targets
        .iter()
        .cloned()
        .zip(contents)
        .map(|(file, content)| Output { file, content })
        .collect();
    output::write(&outputs)?;
    let told = told(targets, &answers, &judged);
    let exit = if told.scenarios.iter().all(|it| it.pass) { Exit::Pass } else { Exit::Missed };
    say::say(&if shared.json {
        document_with("new", exit.code(), "new", &told)
    } else {
        text(&told, &answers, options)
    })?;
    Ok(exit)
}

/// The files to be written. A file of answers that is read stays as the person has it.
fn targets(options: &NewOptions) -> Result<Vec<PathBuf>, Failure> {
    let names = ["drill.toml", "seed.toml", "ramp.toml", "headland.toml", ANSWERS];
    let mut targets: Vec<PathBuf> = names.iter().map(|name| options.out.join(name)).collect();
    if let Some(read) = options.answers.as_deref() {
        targets.retain(|file| !file.ends_with(ANSWERS) || output::spare(file, &[read]).is_ok());
    }
    for file in &targets {
        output::fresh(file, options.replace)?;
        output::spare(file, options.answers.as_deref().as_slice())?;
    }
    Ok(targets)
}

/// The answers, from wherever they come.
fn answered(options: &NewOptions, system: System) -> Result<Answers, Failure> {
    if let Some(file) = &options.answers {
        return Ok(from_file(&InputFile::read(file)?, system)?);
    }
    if options.defaults {
        return from_defaults(system)
            .map_err(|refusal| refused("the defaults", refusal.what, refusal.remedy));
    }
    let keyboard = std::io::stdin();
    let asked = ask(&mut keyboard.lock(), &mut std::io::stdout(), system)
        .map_err(|why| Failure::Write { place: "the questions".into(), why })?;
    asked.ok_or_else(|| {
        let why = "the questions were not answered to the end, and nothing was written; answer them in a file with \
                   --answers FILE, or take every default with --defaults";
        Failure::Usage(why.to_owned())
    })
}

/// The as-built file as the drill file names it.
fn named(options: &NewOptions, file: &Path) -> Result<String, Failure> {
    let path = relative(&options.out.join("drill.toml"), file)
        .map_err(|why| Failure::Target { place: file.to_owned(), why: why.to_string() })?;
    Ok(path.to_string_lossy().replace(std::path::MAIN_SEPARATOR, "/"))
}

/// Reads the files back from a folder of their own and judges their scenarios.
fn tried(
    options: &NewOptions,
    answers: &Answers,
    as_built: Option<&Path>,
) -> Result<Vec<Judged>, Failure> {
    let failed = |why| Failure::Write { place: std::env::temp_dir(), why };
    let folder = tempfile::tempdir().map_err(failed)?;
    let as_built = as_built.map(std::path::absolute).transpose().map_err(failed)?;
    let as_built = as_built.as_ref().map(|file| file.to_string_lossy());
    for (name, content) in compose::files(answers, as_built.as_deref()) {
        std::fs::write(folder.path().join(name), content).map_err(failed)?;
    }
    let read = |name: &str| -> Result<(PathBuf, Scenario), Failure> {
        let scenario = read::scenario(&folder.path().join(name));
        let scenario = scenario.map_err(|error| misread(error, folder.path()))?;
        Ok((options.out.join(name), scenario))
    };
    let named = compose::SCENARIOS.map(read).into_iter().collect::<Result<Vec<_>, _>>()?;
    battery::judge(&named).map_err(|failure| match failure {
        Failure::Refused { why, .. } => {
            let what = format!("the controller refuses them: {why}");
            refused("these answers", what, "change the answer it names")
        }
        other => other,
    })
}

/// A complaint about a file that nobody has seen is one about the answers.
fn misread(error: InputError, folder: &Path) -> Failure {
    if error.file.starts_with(folder) {
        return refused("these answers", error.what, error.remedy);
    }
    error.into()
}

/// What was written and how it did.
fn told(files: Vec<PathBuf>, answers: &Answers, judged: &[Judged]) -> Told {
    let tried = |judged: &Judged| {
        let verdict = &judged.verdict;
        let missed = |miss: &crate::verdict::Miss| Missed {
            figure: miss.figure.clone(),
            bound: miss.bound.clone(),
            have: miss.have,
        };
        Tried {
            file: judged.file.clone(),
            pass: verdict.pass,
            within_5_pct: verdict.score.within_5_pct,
            rms_pct: verdict.score.rms_pct,
            misses: verdict.misses.iter().map(missed).collect(),
        }
    };
    let [given, defaults] = answers.counts();
    Told { files, given, defaults, scenarios: judged.iter().map(tried).collect() }
}

/// The same in words.
fn text(told: &Told, answers: &Answers, options: &NewOptions) -> String {
    let system = answers.system();
    let demo = if answers.is("demo", "yes") { " (demo)" } else { "" };
    let rate = RATE.show(answers.number("rate"), system, 4);
    let name = answers.text("name");
    let mut text = format!("\n{name} with {}, {rate}{demo}\n", answers.text("seed_name"));
    for strip in strips(answers) {
        let width = LENGTH.show(strip.width_m, system, 4);
        let _ = writeln!(
            text,
            "  side {:?}: {width} wide, {} outlets, middle at {}",
            strip.name, strip.outlets, strip.offset
        );
    }
    let _ = writeln!(
        text,
        "\n{} answers given, {} left at their defaults: the files mark those",
        told.given, told.defaults
    );
    for file in &told.files {
        let _ = writeln!(text, "wrote {}", file.display());
    }
    text.push_str("\nTrial on the bench, on a machine a tenth slower than told\n");
    for tried in &told.scenarios {
        let word = if tried.pass { "pass  " } else { "MISSED" };
        let _ = writeln!(
            text,
            "  {word}  {:>5.1} % within 5 %, typical miss {:.1} %: {}",
            tried.within_5_pct,
            tried.rms_pct,
            tried.file.display()
        );
        for miss in &tried.misses {
            let _ =
                writeln!(text, "          {}: {}, was {:.2}", miss.figure, miss.bound, miss.have);
        }
    }
    text + &last(told, answers, options)
}

/// What to heed, and the next step.
fn last(told: &Told, answers: &Answers, options: &NewOptions) -> String {
    let mut text = String::new();
    if !told.scenarios.iter().all(|it| it.pass) {
        text.push_str(
            "\nNot every tolerance is kept with these answers: size says what binds, verify where it was missed.\n",
        );
    }
    if !answers.is("mass_by", "caught") {
        text.push_str("\nThe mass per turn is a guess: catch and weigh before you sow by it.\n");
    }
    let [drill, seed] = ["drill.toml", "seed.toml"].map(|name| say::typed(&options.out.join(name)));
    let units = if answers.is("units", "us") { " --units us" } else { "" };
    let _ = writeln!(text, "Next: meterwright size {drill} {seed}{units}");
    text
}
