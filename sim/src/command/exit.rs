//! How a command ended, as a script sees it.

use std::io::Write;
use std::process::ExitCode;

/// Exit codes; the table stands in `docs/cli.md`.
#[repr(u8)]
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Exit {
    /// Everything within its tolerance.
    Pass = 0,
    /// A tolerance was missed.
    Missed = 1,
    /// The command line is wrong, or names a place that cannot be written.
    Usage = 2,
    /// An input file is wrong.
    Input = 3,
    /// Something else went wrong.
    Broken = 4,
}

impl Exit {
    /// The number.
    pub const fn code(self) -> u8 {
        self as u8
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

/// From now on a panic of any thread ends the program with [`Exit::Broken`].
pub fn broken_on_panic() {
    std::panic::set_hook(Box::new(|panic| {
        // The error channel may be closed; the exit code still tells.
        let _ =
            writeln!(std::io::stderr(), "meterwright: internal error, please report it: {panic}");
        std::process::exit(i32::from(Exit::Broken.code()));
    }));
}
