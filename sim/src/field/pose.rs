//! A place and a heading on the ground.
//!
//! Local metres: x to the east, y to the north; headings anticlockwise from east, left is positive
//! (ISO 8855). An arc of length s and curvature κ is left exactly:
//!
//! ```text
//!  Δψ = κ s      chord = s · sin(Δψ/2) / (Δψ/2)      direction of the chord = ψ + Δψ/2
//! ```

use geo::Coord;

/// Where something is and where it heads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Pose {
    /// East, m.
    pub x_m: f64,
    /// North, m.
    pub y_m: f64,
    /// Heading, rad anticlockwise from east; not wrapped.
    pub heading_rad: f64,
}

impl Pose {
    /// At a place, heading somewhere.
    pub const fn new(at: Coord<f64>, heading_rad: f64) -> Self {
        Self { x_m: at.x, y_m: at.y, heading_rad }
    }

    /// The place.
    pub const fn at(self) -> Coord<f64> {
        Coord { x: self.x_m, y: self.y_m }
    }

    /// The point `ahead_m` in front and `left_m` to the left.
    pub fn point(self, ahead_m: f64, left_m: f64) -> Coord<f64> {
        let (sin, cos) = (libm::sin(self.heading_rad), libm::cos(self.heading_rad));
        Coord {
            x: self.x_m + ahead_m * cos - left_m * sin,
            y: self.y_m + ahead_m * sin + left_m * cos,
        }
    }

    /// Moved on by an arc of `length_m` at `curvature_per_m`.
    #[must_use]
    pub fn along(self, length_m: f64, curvature_per_m: f64) -> Self {
        let half = curvature_per_m * length_m / 2.0;
        let sinc = if half.abs() < 1e-6 { 1.0 - half * half / 6.0 } else { libm::sin(half) / half };
        let chord = Self { heading_rad: self.heading_rad + half, ..self };
        Self::new(chord.point(length_m * sinc, 0.0), self.heading_rad + 2.0 * half)
    }

    /// Between this and `other`, `share` of the way.
    #[must_use]
    pub fn towards(self, other: Self, share: f64) -> Self {
        let between = |a: f64, b: f64| a + share * (b - a);
        Self {
            x_m: between(self.x_m, other.x_m),
            y_m: between(self.y_m, other.y_m),
            heading_rad: between(self.heading_rad, other.heading_rad),
        }
    }
}

/// From degrees clockwise from north, as a compass has it, to rad anticlockwise from east.
pub fn from_compass(degrees: f64) -> f64 {
    (90.0 - degrees).to_radians()
}

/// An angle in 0 (included) to 2π.
pub fn wrapped(angle: f64) -> f64 {
    let turned = angle.rem_euclid(core::f64::consts::TAU);
    if turned >= core::f64::consts::TAU { 0.0 } else { turned }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_circle_to_the_left_ends_one_radius_ahead_and_one_to_the_left() {
        let end = Pose::default().along(core::f64::consts::FRAC_PI_2 * 8.0, 1.0 / 8.0);
        assert!((end.x_m - 8.0).abs() < 1e-12 && (end.y_m - 8.0).abs() < 1e-12, "{end:?}");
        assert!((end.heading_rad - core::f64::consts::FRAC_PI_2).abs() < 1e-12);
    }

    #[test]
    fn north_by_compass_is_a_quarter_turn_from_east() {
        assert!((from_compass(0.0) - core::f64::consts::FRAC_PI_2).abs() < 1e-12);
        assert!(from_compass(90.0).abs() < 1e-12);
        let left = Pose { heading_rad: from_compass(0.0), ..Pose::default() }.point(0.0, 2.0);
        assert!((left.x + 2.0).abs() < 1e-12, "west of a tractor that drives north: {left:?}");
    }
}
