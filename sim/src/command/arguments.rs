//! What may stand on the command line.

use super::faults::FaultsOptions;
use super::fit::FitOptions;
use super::reconcile::ReconcileOptions;
use super::replay::ReplayOptions;
use super::run::RunOptions;
use super::size::SizeOptions;
use super::sown::SownOptions;
use super::sweep::SweepOptions;
use super::verify::VerifyOptions;
use crate::unit::System;
use clap::{Args, Parser, Subcommand, ValueEnum};

/// Proves the control of a hydraulically driven seed meter on the bench, before a hose is cut.
#[derive(Debug, Parser)]
#[command(name = "meterwright", version, after_help = EXIT_CODES)]
pub struct Arguments {
    /// The command; `verify` where none is named.
    #[command(subcommand)]
    pub(super) command: Option<Command>,
    /// What every command understands.
    #[command(flatten)]
    pub(super) shared: Shared,
}

/// Below the help.
const EXIT_CODES: &str = "Without a command every demo scenario is verified.\n\n\
Exit codes: 0 all within tolerance, 1 a tolerance was missed, 2 usage, 3 an input file is wrong, \
4 internal.";

/// The commands.
#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Judge scenarios and print one table; every demo scenario when none is named.
    Verify(VerifyOptions),
    /// Judge one scenario and write every tick, every soil cell and a picture.
    Run(RunOptions),
    /// Do the same with a recorded track.
    Replay(ReplayOptions),
    /// Say whether a drive suits a drill, a seed lot and the ground speeds they are to work at.
    Size(SizeOptions),
    /// Measure the built drive from a recorded step log.
    Fit(FitOptions),
    /// Settle a fill by weight: true rate, error, new mass per turn, cost, how sure.
    Reconcile(Box<ReconcileOptions>),
    /// Write down what was sown, for a landlord, an agency or the owner.
    Record(Box<SownOptions>),
    /// Judge many cases, each on a machine drawn at random within written ranges.
    Sweep(SweepOptions),
    /// Inject every fault through a headland cycle: which are told, how soon, at what cost in seed.
    Faults(FaultsOptions),
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
            Self::Verify(_) => "verify",
            Self::Run(_) => "run",
            Self::Replay(_) => "replay",
            Self::Size(_) => "size",
            Self::Fit(_) => "fit",
            Self::Reconcile(_) => "reconcile",
            Self::Record(_) => "record",
            Self::Sweep(_) => "sweep",
            Self::Faults(_) => "faults",
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
