//! Where the drill's centre is, by dead reckoning of what it truly drives.
//!
//! ```text
//!  ψ' = v κ      x' = v cos ψ      y' = v sin ψ      x to the east, y to the north, ψ anticlockwise from east
//! ```

use std::collections::VecDeque;

/// A pose.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pose {
    /// To the east, m.
    pub x_m: f64,
    /// To the north, m.
    pub y_m: f64,
    /// Anticlockwise from east, rad.
    pub heading_rad: f64,
}

impl Pose {
    /// The pose after `along` metres on a path of `curvature` (1/m, to the left), by the mean heading.
    #[must_use]
    pub fn moved(self, along: f64, curvature: f64) -> Self {
        let turned = along * curvature;
        let mean = self.heading_rad + turned / 2.0;
        Self {
            x_m: self.x_m + along * libm::cos(mean),
            y_m: self.y_m + along * libm::sin(mean),
            heading_rad: self.heading_rad + turned,
        }
    }
}

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
        let pose = self.last.back().copied().unwrap_or_default().moved(along, curvature);
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

#[cfg(test)]
mod tests {
    use super::Pose;

    #[test]
    fn a_quarter_circle_ends_where_it_must() {
        let mut pose = Pose::default();
        let radius = 10.0;
        let quarter = radius * core::f64::consts::FRAC_PI_2;
        for _ in 0..10_000 {
            pose = pose.moved(quarter / 1e4, 1.0 / radius);
        }
        assert!((pose.x_m - 10.0).abs() < 1e-6 && (pose.y_m - 10.0).abs() < 1e-6, "{pose:?}");
        assert!((pose.heading_rad - core::f64::consts::FRAC_PI_2).abs() < 1e-9);
    }
}
