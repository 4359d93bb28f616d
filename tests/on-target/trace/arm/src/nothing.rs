//! Counts nothing: on the M0+ the emulator does.

use core::fmt::{self, Display, Formatter};
use replay::Report;

/// Nothing.
#[derive(Debug)]
pub struct Count;

/// What came out.
#[derive(Debug)]
pub struct Counted {
    /// The sum.
    pub report: Report,
    /// Nothing.
    pub count: Count,
}

impl Count {
    /// As the one that counts.
    #[must_use]
    pub const fn start() -> Self {
        Self
    }

    /// Does the work.
    pub fn over(&mut self, work: impl FnOnce()) {
        work();
    }
}

impl Display for Counted {
    fn fmt(&self, text: &mut Formatter<'_>) -> fmt::Result {
        write!(text, "{}", self.report)
    }
}
