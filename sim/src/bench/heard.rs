//! What a controller was given on the bench, so that another can be given the same.

use controller::quantity::Instant;
use controller::{Act, Inputs};

/// One thing that it was given.
#[derive(Clone, Copy, Debug)]
pub enum Heard {
    /// An act of the operator.
    Act(Act, Instant),
    /// A tick.
    Tick(Inputs),
}
