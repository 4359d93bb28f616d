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
    /// Another side's encoder counted; which shaft turned is not known.
    #[error(
        "side {other}'s encoder counts while side {side} is driven: if side {side}'s shaft turned, the encoders' \
         plugs are swapped; if side {other}'s did, the hoses or the valves' plugs are; say in the run sheet which \
         one was seen turning"
    )]
    OtherSide {
        /// The side that was driven, from 1.
        side: usize,
        /// The side that counted.
        other: usize,
    },
    /// The right shaft turned and another side's encoder counted.
    #[error(
        "encoder on the wrong shaft: side {side}'s shaft turns and side {other}'s encoder counts; swap the \
         encoders' plugs"
    )]
    WrongEncoder {
        /// The side that was driven, from 1.
        side: usize,
        /// The side that counted.
        other: usize,
    },
    /// Another side's shaft turned.
    #[error(
        "hoses swapped: side {side} is driven and side {other}'s shaft turns; swap the hoses, with the pressure \
         released, or the valves' plugs"
    )]
    WrongHoses {
        /// The side that was driven, from 1.
        side: usize,
        /// The side that turned.
        other: usize,
    },
    /// The shaft turned backwards.
    #[error(
        "hoses swapped at the motor: the shaft of side {side} turns backwards; swap its two lines, with the \
         pressure released, or the encoder's two channels if it turned the right way"
    )]
    TurnsBackwards {
        /// The side, from 1.
        side: usize,
    },
    /// The ground gave no pulses.
    #[error("too few ground pulses: {have:.0}; check the sensor and its gap, drive the whole way")]
    TooFewPulses {
        /// Pulses of the log.
        have: f64,
    },
    /// Tape and receiver cannot both be right.
    #[error(
        "the tape says {tape_m:.0} m and the way is {receiver_m:.0} m by the receiver: one of them is wrong by far; look \
         at what was taped and whether the whole tape was driven"
    )]
    Contradicted {
        /// Length by the tape, m.
        tape_m: f64,
        /// By the receiver, m.
        receiver_m: f64,
    },
    /// The lift switch did not change as it must.
    #[error("the lift switch did not go in and out of work; check its wiring, lower and lift once")]
    NoLift,
    /// Too little was seen of the seed.
    #[error("too few starts of the shaft were answered: {have}, at least {need} are needed")]
    TooFewStarts {
        /// Starts with an answer.
        have: usize,
        /// Starts needed.
        need: usize,
    },
    /// Nothing tells how late the person is.
    #[error(
        "no lamp trial was answered, so the person's reaction is not known; press when the lamp lights"
    )]
    NoReaction,
    /// Another run's log.
    #[error("it is the log of a {have} run, and that of a {want} run is wanted")]
    OtherRun {
        /// What it is.
        have: &'static str,
        /// What is wanted.
        want: &'static str,
    },
    /// Another side's log.
    #[error("the log is of side {have}, and the run sheet says side {want}")]
    NotThatSide {
        /// The log's side, from 1.
        have: usize,
        /// The sheet's side.
        want: usize,
    },
    /// A log that says nothing without the tape.
    #[error(
        "a {run} log needs what was taped, or the other runs: list it in a run sheet (docs/measuring.md) and fit \
         that"
    )]
    NeedsSheet {
        /// The run.
        run: &'static str,
    },
}
