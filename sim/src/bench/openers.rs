//! Where the openers are: they follow the lift after their ways.

use crate::scenario::Drill;

/// The openers of the drill.
pub(super) struct Openers {
    lowered: bool,
    /// Travel at which they follow the switch, m.
    there_m: f64,
}

impl Openers {
    /// Openers that stand as the lift does.
    pub(super) const fn new(lowered: bool) -> Self {
        Self { lowered, there_m: f64::NEG_INFINITY }
    }

    /// Whether they are in the ground at a travel, the lift switch as it stands.
    pub(super) fn in_ground(&mut self, lowered: bool, travel_m: f64, drill: &Drill) -> bool {
        if lowered != self.lowered {
            self.lowered = lowered;
            let (lowering_m, lifting_m) = drill.true_opener_ways_m();
            self.there_m = travel_m + if lowered { lowering_m } else { lifting_m };
        }
        (travel_m >= self.there_m) == self.lowered
    }
}
