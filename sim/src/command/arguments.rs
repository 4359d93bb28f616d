//! What may stand on the command line.

use super::catch::CatchOptions;
use super::faults::FaultsOptions;
use super::fit::FitOptions;
use super::help;
use super::live::LiveOptions;
use super::manual::{CompletionsOptions, ManualOptions};
use super::new::NewOptions;
use super::rate::RateOptions;
use super::reconcile::ReconcileOptions;
use super::replay::ReplayOptions;
use super::run::RunOptions;
use super::settings::SettingsOptions;
use super::sheet::SheetOptions;
use super::size::SizeOptions;
use super::sown::SownOptions;
use super::sweep::SweepOptions;
use super::verify::VerifyOptions;
use crate::unit::System;
use clap::{Args, Parser, Subcommand, ValueEnum};

/// Sizes, proves and accounts for a seed meter that is turned by a hydraulic motor.
#[derive(Debug, Parser)]
#[command(name = "meterwright", version, long_about = help::ABOUT, after_help = help::SHORT, after_long_help = help::LONG)]
pub struct Arguments {
    /// The command; `verify` where none is named.
    #[command(subcommand)]
    pub(super) command: Option<Command>,
    /// What every command understands.
    #[command(flatten)]
    pub(super) shared: Shared,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Ask about your drill, seed and speeds, and write the files that the other commands read.
    New(NewOptions),
    /// Say whether a drive suits a drill, a seed lot and the ground speeds they are to work at.
    Size(Box<SizeOptions>),
    /// Turn plants or seeds wanted into the bag rate, and back; for one kind of seed or a mix.
    Rate(RateOptions),
    /// From weighed catches: mass per turn, how sure it is, and the seed file.
    Catch(CatchOptions),
    /// Judge scenarios and print one table; every demo scenario when none is named.
    Verify(VerifyOptions),
    /// Judge one scenario and write every tick, every soil cell and a picture.
    Run(RunOptions),
    /// Do the same with a recorded track.
    Replay(ReplayOptions),
    /// Inject every fault through a headland cycle: which are told, how soon, at what cost in seed.
    Faults(FaultsOptions),
    /// Judge many cases, each on a machine drawn at random within written ranges.
    Sweep(SweepOptions),
    /// Write the settings image that a board loads, or check one: the settings that were proved, byte for byte.
    Settings(SettingsOptions),
    /// Print the page for the cab and the shop: rates, speeds, checklist, alarms, cautions.
    Sheet(SheetOptions),
    /// Judge scenarios on a board on the desk: it runs its controller on the bench's machine, its outputs low.
    Live(LiveOptions),
    /// Measure the built drive by the logs of its runs, and write its as-built file.
    Fit(FitOptions),
    /// Settle a fill by weight: true rate, error, new mass per turn, cost, how sure.
    Reconcile(Box<ReconcileOptions>),
    /// Write down what was sown, for a landlord, an agency or the owner.
    Record(Box<SownOptions>),
    /// Write the man pages.
    Manual(ManualOptions),
    /// Print what a shell completes.
    Completions(CompletionsOptions),
}

impl Default for Command {
    fn default() -> Self {
        Self::Verify(VerifyOptions::default())
    }
}

impl Command {
    /// As it is typed.
    pub(super) const fn name(&self) -> &'static str {
        match self {
            Self::New(_) => "new",
            Self::Size(_) => "size",
            Self::Rate(_) => "rate",
            Self::Catch(_) => "catch",
            Self::Verify(_) => "verify",
            Self::Run(_) => "run",
            Self::Replay(_) => "replay",
            Self::Faults(_) => "faults",
            Self::Sweep(_) => "sweep",
            Self::Settings(_) => "settings",
            Self::Sheet(_) => "sheet",
            Self::Live(_) => "live",
            Self::Fit(_) => "fit",
            Self::Reconcile(_) => "reconcile",
            Self::Record(_) => "record",
            Self::Manual(_) => "manual",
            Self::Completions(_) => "completions",
        }
    }
}

/// What every command understands.
#[derive(Clone, Copy, Debug, Args)]
pub(super) struct Shared {
    /// Print one JSON document (docs/schema.md) instead of text.
    #[arg(long, global = true)]
    pub json: bool,
    /// Units of text and picture; JSON and CSV name theirs in each key.
    #[arg(long, global = true, value_enum, default_value_t = Units::Metric)]
    pub units: Units,
}

/// Units a person may choose.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Units {
    /// Metres, kilograms, hectares.
    Metric,
    /// Feet, pounds, acres.
    Us,
}

impl From<Units> for System {
    fn from(units: Units) -> Self {
        match units {
            Units::Metric => Self::Metric,
            Units::Us => Self::Us,
        }
    }
}
