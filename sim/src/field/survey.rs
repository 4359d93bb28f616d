//! A survey of a field after a run: where seed lay, and the figures.

use super::boundary::Boundary;
use super::coverage::Coverage;
use super::figures::FieldFigures;
use super::gaps::{Worked, gaps, overlaps};
use super::lowered::lowered;
use super::path::Path;
use super::strip::{Lane, Strip, strips};
use super::trail::Trail;
use crate::bench::{Ours, Outcome, run_piece};
use crate::scenario::Scenario;

/// A field on which a scenario is run.
#[derive(Clone, Debug, PartialEq)]
pub struct Field {
    /// Its boundary, if it is known.
    pub boundary: Option<Boundary>,
    /// How it is driven.
    pub way: Way,
}

/// How a field is driven.
#[derive(Clone, Debug, PartialEq)]
pub enum Way {
    /// Along a planned path, followed by distance.
    Planned(Path),
    /// As recorded, a trail for each piece of the profile.
    Recorded(Vec<Trail>),
}

impl Field {
    /// The planned path, if there is one.
    pub const fn path(&self) -> Option<&Path> {
        match &self.way {
            Way::Planned(path) => Some(path),
            Way::Recorded(_) => None,
        }
    }
}

/// Edges of strips may be straightened by this much where the way is known to that, m.
const DRIVEN_M: f64 = 0.000_5;
/// The same where it was recorded: positions are no better than some centimetres.
const RECORDED_M: f64 = 0.005;

/// Where seed lay.
#[derive(Clone, Debug)]
pub struct Survey {
    /// Every strip of every side.
    pub strips: Vec<Strip>,
    /// How often the ground was sown.
    pub coverage: Coverage,
    /// Where the drill was, piece by piece.
    pub worked: Vec<Worked>,
}

impl Survey {
    /// After a run over all pieces of a scenario; none where it has no field.
    pub fn of(scenario: &Scenario, outcomes: &[Outcome]) -> Option<Self> {
        let field = scenario.field.as_ref()?;
        let trails: Vec<Trail> = match &field.way {
            Way::Recorded(trails) => trails.clone(),
            Way::Planned(_) => {
                scenario.profile.pieces.iter().map(|it| Trail::driven(scenario, it)).collect()
            }
        };
        let straight_m = if field.path().is_some() { DRIVEN_M } else { RECORDED_M };
        let mut found = Vec::new();
        let mut passes = 0;
        let mut worked = Vec::new();
        let pieces = scenario.profile.pieces.iter().zip(trails).zip(outcomes);
        for (piece, ((profile, trail), outcome)) in pieces.enumerate() {
            let lowered = lowered(scenario, profile);
            for (index, side) in outcome.sides.iter().enumerate() {
                let offset_m = scenario.drill.sides[index].offset_m;
                let lane = Lane { piece, side: index, offset_m, straight_m };
                let own = strips(side, lane, &trail, &lowered);
                found.extend(own.into_iter().map(|it| Strip { pass: it.pass + passes, ..it }));
            }
            passes += lowered.len();
            worked.push(Worked { trail, lowered });
        }
        let coverage = Coverage::of(&found, field.boundary.as_ref().map(Boundary::polygon));
        Some(Self { strips: found, coverage, worked })
    }

    /// The figures.
    pub fn figures(&self, bounded: bool) -> FieldFigures {
        let gaps = gaps(&self.coverage, &self.strips, &self.worked);
        FieldFigures::new(bounded, &self.coverage.areas(), gaps, overlaps(&self.coverage))
    }
}

/// The survey of what the controller does in a scenario with one noise seed; none where it has no field or
/// its settings are refused.
pub fn driven(scenario: &Scenario, seed: u64) -> Option<Survey> {
    let pieces = scenario.profile.pieces.iter().map(|piece| {
        let mut law = Ours::new(scenario).ok()?;
        Some(run_piece(scenario, piece, seed, &mut law, &mut |_| {}))
    });
    Survey::of(scenario, &pieces.collect::<Option<Vec<_>>>()?)
}
