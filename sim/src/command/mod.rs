//! The command line: one file a command, each reads its files, then judges, then writes.
//!
//! ```text
//!  arguments ─► Command ─► read every file ─► check every target ─► judge ─► report ─► Exit
//!                 │usage (2)    │input (3)         │usage (2)         │ (0, 1)
//! ```
//!
//! Nothing is written before everything is known: a command that fails leaves no file behind.

mod arguments;
mod battery;
mod catch;
mod demo;
mod exit;
mod failure;
mod faults;
mod fit;
mod help;
mod live;
mod manual;
mod new;
mod output;
mod progress;
mod rate;
mod reconcile;
mod record;
mod relative;
mod replay;
mod run;
mod say;
mod settings;
mod sheet;
mod size;
mod sown;
mod sweep;
mod told;
mod value;
mod verify;

pub use arguments::{Arguments, Units};
pub use exit::{Exit, broken_on_panic};
pub use failure::Failure;
pub use value::ValueError;

use crate::report::Complaint;
use arguments::{Command, Shared};
use clap::{CommandFactory, Parser};
use std::ffi::OsString;
use std::io::Write;

/// Runs the command that `arguments` (the program's own name first) ask for.
pub fn main(arguments: impl Iterator<Item = OsString>) -> Exit {
    let typed: Vec<OsString> = arguments.collect();
    let arguments = match Arguments::try_parse_from(&typed) {
        Ok(arguments) => arguments,
        Err(answer) => return unparsed(&answer, &typed),
    };
    let shared = arguments.shared;
    let command = arguments.command.unwrap_or_default();
    let name = command.name();
    let outcome = match command {
        Command::Verify(options) => verify::verify(&options, shared),
        Command::Run(options) => run::run(&options, shared),
        Command::Replay(options) => replay::replay(&options, shared),
        Command::Size(options) => size::size(&options, shared),
        Command::Rate(options) => rate::rate(&options, shared),
        Command::Catch(options) => catch::catch(&options, shared),
        Command::Fit(options) => fit::fit(&options, shared),
        Command::Settings(options) => settings::settings(&options, shared),
        Command::Sheet(options) => sheet::page(&options, shared),
        Command::Reconcile(options) => reconcile::reconcile(&options, shared),
        Command::Record(options) => sown::sown(&options, shared),
        Command::Sweep(options) => sweep::sweep(&options, shared),
        Command::New(options) => new::new(&options, shared),
        Command::Live(options) => live::live(&options, shared),
        Command::Faults(options) => faults::faults(&options, shared),
        Command::Manual(options) => manual::manual(&options, shared),
        Command::Completions(options) => manual::completions(&options, shared),
    };
    outcome.unwrap_or_else(|failure| complain(name, shared, &failure))
}

/// Says why a command line was not understood, or the help that it asks for.
fn unparsed(answer: &clap::Error, typed: &[OsString]) -> Exit {
    // A reader that has gone away needs no help text.
    let _ = answer.print();
    if !answer.use_stderr() {
        return Exit::Pass;
    }
    let mut told = typed.iter().skip(1);
    if told.clone().any(|argument| argument == "--json") {
        let known = Arguments::command();
        let name = told.find_map(|it| it.to_str().and_then(|it| known.find_subcommand(it)));
        let name = name.map(clap::Command::get_name);
        let message = answer.to_string().trim_end().to_owned();
        let complaint = Complaint { message, ..Complaint::default() };
        let code = Exit::Usage.code();
        let _ = say::say(&crate::report::complaints(name.unwrap_or(""), code, &[complaint]));
    }
    Exit::Usage
}

/// Says what went wrong, on the error channel and, if asked for, as JSON.
fn complain(command: &str, shared: Shared, failure: &Failure) -> Exit {
    // There is nobody left to tell when the error channel is closed.
    let _ = writeln!(std::io::stderr(), "meterwright: {failure}");
    let exit = failure.exit();
    if shared.json {
        let document = crate::report::complaints(command, exit.code(), &failure.complaints());
        let _ = say::say(&document);
    }
    exit
}
