//! A trail: where the drill was at every moment, driven on the bench or recorded.
//!
//! What was driven on the bench is found by dead reckoning from the bench's own true speed and curvature:
//! every step of 1 ms is an arc of its own.

use super::pose::Pose;
use crate::bench::{STEP_S, STEPS_PER_TICK, curvatures, speeds};
use crate::profile::Piece;
use crate::scenario::Scenario;

/// Poses at even times.
#[derive(Clone, Debug, PartialEq)]
pub struct Trail {
    /// Instant of the first pose, s.
    pub start_s: f64,
    /// Time between two, s.
    pub step_s: f64,
    /// Poses, headings not wrapped.
    pub poses: Vec<Pose>,
}

impl Trail {
    /// What the bench drives in a piece of a scenario.
    pub fn driven(scenario: &Scenario, piece: &Piece) -> Self {
        let speeds = speeds(piece);
        let curvatures = curvatures(scenario, piece.start_s(), &speeds);
        let mut pose = scenario
            .field
            .as_ref()
            .and_then(|field| field.path())
            .map(super::path::Path::start)
            .unwrap_or_default();
        let mut poses = vec![pose];
        let steps = speeds.windows(2).zip(&curvatures);
        for (count, (pair, &curvature)) in (1_u64..).zip(steps) {
            pose = pose.along(f64::midpoint(pair[0], pair[1]) * STEP_S, curvature);
            if count.is_multiple_of(STEPS_PER_TICK) {
                poses.push(pose);
            }
        }
        Self { start_s: piece.start_s(), step_s: crate::ground::real(10) * STEP_S, poses }
    }

    /// The pose at `t`, held at the ends.
    pub fn at(&self, t: f64) -> Pose {
        let steps = ((t - self.start_s) / self.step_s).max(0.0);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "not negative")]
        let index = libm::floor(steps) as usize;
        match (self.poses.get(index), self.poses.get(index + 1)) {
            (Some(&here), Some(&next)) => here.towards(next, steps - libm::floor(steps)),
            _ => self.poses.last().copied().unwrap_or_default(),
        }
    }

    /// Instant of the last pose, s.
    pub fn end_s(&self) -> f64 {
        self.start_s + self.step_s * crate::ground::real(self.poses.len().saturating_sub(1))
    }
}
