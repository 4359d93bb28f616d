//! Snapshot: what the controller has counted, in one piece.
//!
//! ```text
//!  Controller ──► snapshot ──► journal, once a second ──► power cut ──► newest ──► restore ──► Controller, stopped
//! ```
//!
//! It holds counts, the rate in force and the hopper, and nothing that moves: whoever restores it has a controller at
//! power-up, which is a stop. Counts only grow, so a snapshot with lower ones is refused.

use crate::MAX_SIDES;
use crate::quantity::MilligramsPerSquareMetre;
use crate::tally::{Hopper, SideTally};

/// What has been counted by one instant.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Snapshot {
    /// Raw counts, `[side]`.
    pub sides: [SideTally; MAX_SIDES],
    /// The hopper.
    pub hopper: Hopper,
    /// The seeding rate in force.
    pub rate: MilligramsPerSquareMetre,
    /// Number of the last gap.
    pub gaps: u16,
    /// Way in work, mm.
    pub way_mm: u32,
}

impl Snapshot {
    /// Whether no count of it is below that of `earlier`.
    #[must_use]
    pub fn follows(&self, earlier: &Self) -> bool {
        let sides = self.sides.iter().zip(&earlier.sides);
        self.way_mm >= earlier.way_mm && sides.into_iter().all(|(now, then)| now.follows(then))
    }
}
