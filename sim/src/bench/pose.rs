//! Where the drill's centre is, by dead reckoning of what it truly drives.
//!
//! ```text
//!  ψ' = v κ      x' = v cos ψ      y' = v sin ψ      x to the east, y to the north, ψ anticlockwise from east
//! ```

use crate::field::pose::Pose;
use std::collections::VecDeque;

/// The last poses, one a step.
#[derive(Clone, Debug)]
pub(super) struct Poses {
    last: VecDeque<Pose>,
    /// Step of the newest.
    step: usize,
    keep: usize,
}

impl Poses {
    /// Keeps the poses of the last `keep` steps; none for zero: nobody asks.
    pub(super) fn new(keep: usize) -> Self {
        Self { last: VecDeque::from([Pose::default()]), step: 0, keep }
    }

    /// Whether poses are kept.
    pub(super) const fn are_kept(&self) -> bool {
        self.keep > 0
    }

    /// Moves on by a step.
    pub(super) fn step(&mut self, along: f64, curvature: f64) {
        if !self.are_kept() {
            return;
        }
        let pose = self.last.back().copied().unwrap_or_default().along(along, curvature);
        self.last.push_back(pose);
        self.step += 1;
        if self.last.len() > self.keep {
            self.last.pop_front();
        }
    }

    /// The pose at a step, if it is kept; the oldest for one before it.
    pub(super) fn at(&self, step: usize) -> Option<Pose> {
        if !self.are_kept() {
            return None;
        }
        let back = self.step.saturating_sub(step);
        let index = self.last.len().saturating_sub(1 + back);
        self.last.get(index).copied()
    }
}
