//! A leg: a stretch of work, from lowering the implement to lifting it.

use super::path::{Stretch, end_of};
use super::pose::Pose;

/// A way that is driven in work.
#[derive(Clone, Debug, PartialEq)]
pub struct Leg {
    /// Where the implement is lowered.
    pub start: Pose,
    /// The way.
    pub way: Vec<Stretch>,
}

impl Leg {
    /// Where the implement is lifted.
    pub fn end(&self) -> Pose {
        end_of(&self.way, self.start)
    }

    /// Lowered earlier and lifted later, m.
    #[must_use]
    pub fn reaching(mut self, ahead_m: f64, past_m: f64) -> Self {
        self.start = self.start.along(-ahead_m, 0.0);
        self.way.insert(0, Stretch::straight(ahead_m));
        self.way.push(Stretch::straight(past_m));
        self
    }
}
