//! Trails from recorded positions: degrees of latitude and longitude to local metres.
//!
//! ```text
//!  x = R cos(φ0) (λ − λ0)      y = R (φ − φ0)      R = 6 371 008.8 m, (φ0, λ0) the first position
//! ```
//!
//! Equirectangular about the first position: over 2 km a distance is off by less than 0.1 %, for the true
//! radius of the earth differs from the mean one by up to 0.3 % along the meridian and a field is measured
//! against itself. Positions come once a second; between them the way is a cubic through position and
//! velocity (half the way from the one before to the one after), so that the heading has no corners. A
//! machine that moves less than 0.2 m in a second keeps the heading it had.

use super::pose::Pose;
use super::trail::Trail;
use crate::input::InputError;
use crate::profile::track::{Fix, positions};
use core::f64::consts::{PI, TAU};
use geo::Coord;
use std::path::Path;

/// Mean radius of the earth, m (International Union of Geodesy and Geophysics, R1).
const EARTH_M: f64 = 6_371_008.8;

/// Time between two poses of a trail, s.
const STEP_S: f64 = 0.1;

/// Slower than this the heading is kept, m/s.
const SLOW_MPS: f64 = 0.2;

/// The trails of a recorded track, one for each piece of its profile; none where it has no positions.
///
/// # Errors
///
/// [`InputError`] names the line of a bad row.
pub fn trails(path: &Path) -> Result<Option<Vec<Trail>>, InputError> {
    let pieces = positions(path)?;
    let Some(first) = pieces.as_ref().and_then(|pieces| pieces.first()?.first().copied()) else {
        return Ok(None);
    };
    let local = |fix: &Fix| {
        let scale = EARTH_M * PI / 180.0;
        let narrow = libm::cos(first.lat_deg.to_radians());
        let x = (fix.lon_deg - first.lon_deg) * scale * narrow;
        (fix.t_s, Coord { x, y: (fix.lat_deg - first.lat_deg) * scale })
    };
    let pieces = pieces.unwrap_or_default();
    Ok(Some(
        pieces.iter().map(|piece| trail(&piece.iter().map(local).collect::<Vec<_>>())).collect(),
    ))
}

/// A trail through positions in order of time.
pub fn trail(places: &[(f64, Coord<f64>)]) -> Trail {
    let (Some(&(start_s, _)), Some(&(end_s, _))) = (places.first(), places.last()) else {
        return Trail { start_s: 0.0, step_s: STEP_S, poses: Vec::new() };
    };
    let speeds = velocities(places);
    let mut poses: Vec<Pose> = Vec::new();
    let (mut t, mut index, mut heading_rad) = (start_s, 0, first_heading(&speeds));
    while t <= end_s + 1e-9 {
        while index + 2 < places.len() && places[index + 1].0 <= t {
            index += 1;
        }
        let (at, velocity) = between(places, &speeds, index, t);
        if libm::hypot(velocity.x, velocity.y) >= SLOW_MPS {
            let turn = libm::atan2(velocity.y, velocity.x) - heading_rad;
            heading_rad += turn - TAU * libm::round(turn / TAU);
        }
        poses.push(Pose::new(at, heading_rad));
        t += STEP_S;
    }
    Trail { start_s, step_s: STEP_S, poses }
}

/// Half the way from the position before to the one after, over the time.
fn velocities(places: &[(f64, Coord<f64>)]) -> Vec<Coord<f64>> {
    let last = places.len().saturating_sub(1);
    (0..places.len())
        .map(|index| {
            let (from, to) = (places[index.saturating_sub(1)], places[(index + 1).min(last)]);
            let time = (to.0 - from.0).max(1e-3);
            Coord { x: (to.1.x - from.1.x) / time, y: (to.1.y - from.1.y) / time }
        })
        .collect()
}

/// Heading of the first movement.
fn first_heading(speeds: &[Coord<f64>]) -> f64 {
    let first = speeds.iter().find(|speed| libm::hypot(speed.x, speed.y) >= SLOW_MPS);
    first.map_or(0.0, |speed| libm::atan2(speed.y, speed.x))
}

/// Position and velocity at `t` after the position `index`, by a cubic.
fn between(
    places: &[(f64, Coord<f64>)],
    speeds: &[Coord<f64>],
    index: usize,
    t: f64,
) -> (Coord<f64>, Coord<f64>) {
    let next = (index + 1).min(places.len() - 1);
    let ((t0, p0), (t1, p1)) = (places[index], places[next]);
    let time = (t1 - t0).max(1e-3);
    let u = ((t - t0) / time).clamp(0.0, 1.0);
    let (a, b) = (speeds[index] * time, speeds[next] * time);
    let at = p0 * (1.0 + u * u * (2.0 * u - 3.0))
        + a * (u * (1.0 - u) * (1.0 - u))
        + p1 * (u * u * (3.0 - 2.0 * u))
        + b * (u * u * (u - 1.0));
    let change = (p1 - p0) * (6.0 * u * (1.0 - u))
        + a * (1.0 - u * (4.0 - 3.0 * u))
        + b * (u * (3.0 * u - 2.0));
    (at, change / time)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_circle_of_one_position_a_second_is_followed_within_a_hand() {
        // Radius 12 m at 1.5 m/s.
        let at = |t: f64| {
            let turn = 1.5 * t / 12.0;
            Coord { x: 12.0 * libm::sin(turn), y: 12.0 * (1.0 - libm::cos(turn)) }
        };
        let places: Vec<_> = (0..60_u32).map(|k| (f64::from(k), at(f64::from(k)))).collect();
        let trail = trail(&places);
        for k in 20..500_u32 {
            let t = f64::from(k) * 0.1;
            let (have, want) = (trail.at(t), at(t));
            let off = libm::hypot(have.x_m - want.x, have.y_m - want.y);
            assert!(off < 0.02, "{t}: {off}");
            assert!((have.heading_rad - 1.5 * t / 12.0).abs() < 0.02, "{t}: {have:?}");
        }
    }

    #[test]
    fn a_machine_that_stands_keeps_its_heading_whatever_its_position_does() {
        let jitter = |k: u32| if k.is_multiple_of(2) { 0.02 } else { -0.02 };
        let places: Vec<_> = (0..40_u32)
            .map(|k| {
                let x = f64::from(k.min(10));
                let y = if k > 12 { jitter(k) } else { 0.0 };
                (f64::from(k), Coord { x, y })
            })
            .collect();
        let trail = trail(&places);
        assert!(trail.at(30.0).heading_rad.abs() < 0.01, "{:?}", trail.at(30.0));
    }
}
