//! What a tractor can steer: its least radius, and the way it takes to turn the wheel.
//!
//! A turn by δ eases in over `L`, holds the least radius `R`, and eases out over `L`. The easings turn
//! `L / R` together; a turn by less never reaches the full lock: `κ = √(|δ| / (R L))`, `length = κ R L`.

use super::path::{Stretch, end_of};
use super::pose::Pose;

/// Least radius and easing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Steering {
    /// Least turning radius of the drill's centre, m.
    pub radius_m: f64,
    /// Way from straight on to the least radius, m; above zero.
    pub easing_m: f64,
}

impl Steering {
    /// Turn of both easings at full lock, rad.
    pub fn easings_rad(&self) -> f64 {
        self.easing_m / self.radius_m
    }

    /// An eased turn by `deflection` (rad, positive to the left).
    pub fn turn(&self, deflection: f64) -> [Stretch; 3] {
        let size = deflection.abs();
        let hand = if deflection < 0.0 { -1.0 } else { 1.0 };
        let (peak, arc_m) = if size >= self.easings_rad() {
            (1.0 / self.radius_m, (size - self.easings_rad()) * self.radius_m)
        } else {
            ((size / (self.radius_m * self.easing_m)).sqrt(), 0.0)
        };
        let easing_m = peak * self.radius_m * self.easing_m;
        let peak = hand * peak;
        [
            Stretch { length_m: easing_m, from_per_m: 0.0, to_per_m: peak },
            Stretch { length_m: arc_m, from_per_m: peak, to_per_m: peak },
            Stretch { length_m: easing_m, from_per_m: peak, to_per_m: 0.0 },
        ]
    }

    /// Length of each tangent of a corner that is rounded by a turn of `deflection`, below half a turn, m.
    pub fn tangent_m(&self, deflection: f64) -> f64 {
        let size = deflection.abs();
        if size < 1e-9 {
            return 0.0;
        }
        let end = end_of(&self.turn(size), Pose::default());
        end.x_m - end.y_m * libm::cos(size) / libm::sin(size)
    }

    /// Centre of the arc of a full turn to the left, seen from where the turn begins: ahead and left, m.
    pub fn centre(&self) -> (f64, f64) {
        let [easing, ..] = self.turn(core::f64::consts::PI);
        let end = easing.end(Pose::default());
        let centre = end.point(0.0, self.radius_m);
        (centre.x, centre.y)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const STEERING: Steering = Steering { radius_m: 8.0, easing_m: 3.0 };

    #[test]
    fn a_turn_deflects_by_what_was_asked_whatever_its_size() {
        for deflection in [-6.0, -1.0, -0.05, 0.01, 0.375, 2.0] {
            let end = end_of(&STEERING.turn(deflection), Pose::default());
            assert!((end.heading_rad - deflection).abs() < 1e-12, "{deflection}: {end:?}");
        }
    }

    #[test]
    fn a_rounded_corner_leaves_on_its_second_edge() {
        for deflection in [0.1_f64, 0.9, 1.5, 2.5] {
            let tangent_m = STEERING.tangent_m(deflection);
            let end = end_of(&STEERING.turn(deflection), Pose::default());
            let corner = Pose { x_m: tangent_m, y_m: 0.0, heading_rad: deflection };
            let out = corner.point(tangent_m, 0.0);
            assert!((out.x - end.x_m).abs() < 1e-9 && (out.y - end.y_m).abs() < 1e-9);
        }
    }
}
