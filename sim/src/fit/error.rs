//! Why a step log cannot be fitted. Completes “failed to fit the drive: ”.

use thiserror::Error;

/// What a step log lacks.
#[derive(Clone, Debug, Error, PartialEq)]
#[non_exhaustive]
pub enum FitError {
    /// The encoder is not named.
    #[error("the encoder's pulses per turn are not positive")]
    NoEncoder,
    /// The command never changes.
    #[error("no step: the command never changes; hold several commands for about 3 s each")]
    NoStep,
    /// No edge at all.
    #[error("the shaft never turned; check oil, valve wiring and encoder")]
    NeverTurned,
    /// The count falls.
    #[error("the edge count runs backwards at {t_s} s; check the encoder's wiring")]
    Backwards {
        /// Instant of the row, s.
        t_s: f64,
    },
    /// Time does not rise.
    #[error("time does not rise at {t_s} s")]
    Time {
        /// Instant of the row, s.
        t_s: f64,
    },
    /// Too few edges even in the fastest hold.
    #[error("too few edges: the fastest hold has {have}, at least {need} are needed; hold longer")]
    TooFewEdges {
        /// Edges in the fastest hold.
        have: u64,
        /// Edges needed.
        need: u64,
    },
    /// More command does not give more speed.
    #[error(
        "the map does not rise: command {command:.3} turns the shaft at {turns_per_s:.4} turns/s, \
         a smaller one at {before:.4}"
    )]
    NotRising {
        /// The command at which the speed falls.
        command: f64,
        /// Shaft speed there, turns/s.
        turns_per_s: f64,
        /// Shaft speed at the command before, turns/s.
        before: f64,
    },
    /// Full command is missing.
    #[error("the log never holds full command (1.0); the map must end there")]
    NoFullCommand,
    /// One speed makes no map.
    #[error("only one command turned the shaft; hold at least two that do")]
    OneSpeed,
    /// No step of which both sides are known.
    #[error("no step lets the lag and dead time be seen; hold each command for about 3 s")]
    NoDynamics,
}
