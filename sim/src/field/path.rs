//! A path as curvature over distance: straights, arcs and the easings between.
//!
//! ```text
//!  κ │      ____________            a stretch: κ linear from one value to another
//!    │     /            \
//!    │____/              \____      straight, easing in, arc, easing out, straight
//!    └──────────────────────── s
//!  ψ(s) = ψ0 + ∫κ ds      x(s) = x0 + ∫cos ψ ds      y(s) = y0 + ∫sin ψ ds
//! ```
//!
//! Straights and arcs are left exactly, easings (clothoids) by Gauss's rule of five points.

use super::pose::Pose;

/// A part of a path over which the curvature changes evenly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Length, m.
    pub length_m: f64,
    /// Curvature where it begins, 1/m, positive to the left.
    pub from_per_m: f64,
    /// Curvature where it ends, 1/m.
    pub to_per_m: f64,
}

/// Nodes and weights of Gauss's rule on -1..1.
const GAUSS: [(f64, f64); 5] = [
    (0.0, 0.568_888_888_888_888_9),
    (-0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (0.538_469_310_105_683_1, 0.478_628_670_499_366_47),
    (-0.906_179_845_938_664, 0.236_926_885_056_189_08),
    (0.906_179_845_938_664, 0.236_926_885_056_189_08),
];

/// Most that a clothoid turns in one application of the rule, rad.
const TURN_RAD: f64 = 0.5;

impl Stretch {
    /// Straight on.
    pub const fn straight(length_m: f64) -> Self {
        Self { length_m, from_per_m: 0.0, to_per_m: 0.0 }
    }

    /// Curvature `s` m from its begin.
    pub fn curvature(&self, s: f64) -> f64 {
        if self.length_m <= 0.0 {
            return self.to_per_m;
        }
        self.from_per_m + (self.to_per_m - self.from_per_m) * s / self.length_m
    }

    /// The pose `s` m from its begin at `start`.
    pub fn pose(&self, start: Pose, s: f64) -> Pose {
        let change = self.to_per_m - self.from_per_m;
        if change.abs() < 1e-15 {
            return start.along(s, self.from_per_m);
        }
        let tightest = self.from_per_m.abs().max(self.to_per_m.abs());
        let parts = libm::ceil(tightest * s / TURN_RAD).max(1.0);
        let slope = change / self.length_m;
        let heading = |at: f64| start.heading_rad + at * (self.from_per_m + at * slope / 2.0);
        let half = s / parts / 2.0;
        let (mut x_m, mut y_m, mut middle) = (start.x_m, start.y_m, half);
        while middle < s {
            for (node, weight) in GAUSS {
                let psi = heading(middle + half * node);
                x_m += half * weight * libm::cos(psi);
                y_m += half * weight * libm::sin(psi);
            }
            middle += 2.0 * half;
        }
        Pose { x_m, y_m, heading_rad: heading(s) }
    }

    /// The pose at its end.
    pub fn end(&self, start: Pose) -> Pose {
        self.pose(start, self.length_m)
    }
}

/// The pose at the end of `stretches` that begin at `start`.
pub fn end_of(stretches: &[Stretch], start: Pose) -> Pose {
    stretches.iter().fold(start, |pose, stretch| stretch.end(pose))
}

/// Stretches in a row, with where each begins.
#[derive(Clone, Debug, PartialEq)]
pub struct Path {
    parts: Vec<(f64, Pose, Stretch)>,
    end: (f64, Pose),
}

impl Path {
    /// No way at all, from `start`.
    pub const fn new(start: Pose) -> Self {
        Self { parts: Vec::new(), end: (0.0, start) }
    }

    /// Goes on by `stretches`.
    pub fn extend(&mut self, stretches: &[Stretch]) {
        for &stretch in stretches.iter().filter(|stretch| stretch.length_m > 0.0) {
            let (s, pose) = self.end;
            self.parts.push((s, pose, stretch));
            self.end = (s + stretch.length_m, stretch.end(pose));
        }
    }

    /// Length, m.
    pub const fn length_m(&self) -> f64 {
        self.end.0
    }

    /// Where it begins.
    pub fn start(&self) -> Pose {
        self.parts.first().map_or(self.end.1, |part| part.1)
    }

    /// Where it ends.
    pub const fn end(&self) -> Pose {
        self.end.1
    }

    /// Largest curvature either way, 1/m.
    pub fn tightest_per_m(&self) -> f64 {
        let ends = |part: &(f64, Pose, Stretch)| part.2.from_per_m.abs().max(part.2.to_per_m.abs());
        self.parts.iter().map(ends).fold(0.0, f64::max)
    }

    /// Curvature at `s` m, 1/m; straight on outside.
    pub fn curvature(&self, s: f64) -> f64 {
        if !(0.0..self.length_m()).contains(&s) {
            return 0.0;
        }
        self.part(s).map_or(0.0, |(from, _, stretch)| stretch.curvature(s - from))
    }

    /// The pose at `s` m; straight on outside.
    pub fn pose(&self, s: f64) -> Pose {
        if s >= self.length_m() {
            return self.end.1.along(s - self.length_m(), 0.0);
        }
        match self.part(s) {
            Some((from, start, stretch)) if s >= 0.0 => stretch.pose(start, s - from),
            Some(_) | None => self.start().along(s, 0.0),
        }
    }

    /// The part in which `s` lies.
    fn part(&self, s: f64) -> Option<(f64, Pose, Stretch)> {
        let next = self.parts.partition_point(|part| part.0 <= s);
        self.parts.get(next.saturating_sub(1)).copied()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clothoid_ends_where_the_series_says() {
        // κ from 0 to 1/m over 1 m: ψ = s²/2; the series of the integrals, summed to s^13.
        let stretch = Stretch { length_m: 1.0, from_per_m: 0.0, to_per_m: 1.0 };
        let x = 1.0 - 1.0 / 40.0 + 1.0 / 3456.0 - 1.0 / 599_040.0;
        let y = 1.0 / 6.0 - 1.0 / 336.0 + 1.0 / 42_240.0 - 1.0 / 9_676_800.0;
        let end = stretch.end(Pose::default());
        assert!((end.x_m - x).abs() < 1e-8 && (end.y_m - y).abs() < 1e-8, "{end:?}, {x}, {y}");
        assert!((end.heading_rad - 0.5).abs() < 1e-12);
    }

    #[test]
    fn a_path_is_without_a_jump_where_its_stretches_meet() {
        let mut path = Path::new(Pose::default());
        let easing = |from_per_m, to_per_m| Stretch { length_m: 3.0, from_per_m, to_per_m };
        path.extend(&[
            Stretch::straight(2.0),
            easing(0.0, 0.1),
            easing(0.1, 0.1),
            easing(0.1, 0.0),
        ]);
        for s in [2.0, 5.0, 8.0] {
            let (before, after) = (path.pose(s - 1e-9), path.pose(s + 1e-9));
            assert!((before.x_m - after.x_m).abs() < 1e-8, "{before:?} {after:?}");
            assert!((path.curvature(s - 1e-9) - path.curvature(s + 1e-9)).abs() < 1e-8);
        }
        assert!((path.end().heading_rad - 0.6).abs() < 1e-12);
    }
}
