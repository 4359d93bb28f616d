//! A controller outside of the bench, such as one on a board: it lives through the same runs, and what it gives is driven.
//!
//! ```text
//!  machine, sensors ─► inputs ─┬─► the bench's own controller ─► outputs ─┐ to compare with
//!                              └─► outside ──────────────────► outputs ──┴─► drive ─► soil ─► score
//! ```

use controller::quantity::Instant;
use controller::tally::Account;
use controller::{Act, Inputs, Outputs};

/// A controller outside of the bench.
pub trait Brain {
    /// The runs that come now are those before once more, over other soil: every input is the same.
    fn repeat(&mut self, again: bool) {
        let _ = again;
    }

    /// A run begins, with a controller made afresh.
    fn begin(&mut self) {}

    /// An act of the operator; `taken` says whether the bench's own controller took it.
    fn act(&mut self, act: &Act, now: Instant, taken: bool);

    /// A tick; `own` is what the bench's own controller gives on the same inputs.
    fn tick(&mut self, inputs: &Inputs, own: &Outputs) -> Outputs;

    /// The run is over; what the bench's own controller counted, in all and of each product.
    fn end(&mut self, counted: [Account; 3]) {
        let _ = counted;
    }
}

/// Nothing outside: the bench's own controller drives.
#[derive(Clone, Copy, Debug)]
pub struct Own;

impl Brain for Own {
    fn act(&mut self, _: &Act, _: Instant, _: bool) {}

    fn tick(&mut self, _: &Inputs, own: &Outputs) -> Outputs {
        *own
    }
}

/// The bench's own controller with what is outside of it.
pub(super) struct Driven<'a> {
    pub(super) ours: super::Ours,
    pub(super) brain: &'a mut dyn Brain,
}

impl super::Law for Driven<'_> {
    fn tick(&mut self, senses: &super::Senses<'_>, commands: &mut [f64]) {
        self.ours.tick_with(senses, commands, self.brain);
    }

    fn supply(&self) -> bool {
        self.ours.supply()
    }

    fn show(&self, side: usize) -> super::Shown {
        self.ours.show(side)
    }
}
