//! A headland round: once along a ring, its corners rounded by the steering.
//!
//! ```text
//!   ╭───────────╮      begins on the longest edge, so far from its first corner that the turn
//!   │           │      from the round before is over
//!   ╰──►────────╯
//! ```

use super::leg::Leg;
use super::path::Stretch;
use super::pose::{Pose, wrapped};
use super::steering::Steering;
use core::f64::consts::PI;
use geo::{Coord, Polygon};
use thiserror::Error;

/// A ring cannot be driven.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
#[error("the corner at {x_m:.1} m, {y_m:.1} m leaves no room for a radius of {radius_m} m")]
pub struct TightCorner {
    /// East, m.
    pub x_m: f64,
    /// North, m.
    pub y_m: f64,
    /// Least turning radius, m.
    pub radius_m: f64,
}

/// An edge of a ring, with the turn at its end.
struct Edge {
    from: Coord<f64>,
    length_m: f64,
    heading_rad: f64,
    turn_rad: f64,
}

/// Once along the ring of `polygon`, from `ahead_m` behind the first corner of its longest edge.
///
/// # Errors
///
/// [`TightCorner`] when two rounded corners overlap.
pub fn round(polygon: &Polygon<f64>, steering: Steering, ahead_m: f64) -> Result<Leg, TightCorner> {
    let edges = edges(polygon);
    let longest = |a: &(usize, &Edge), b: &(usize, &Edge)| a.1.length_m.total_cmp(&b.1.length_m);
    let first = edges.iter().enumerate().max_by(longest).map_or(0, |(index, _)| index);
    let count = edges.len();
    let tangent = |index: usize| steering.tangent_m(edges[(index + count) % count].turn_rad);
    let mut way = Vec::new();
    for step in 0..=count {
        let index = (first + step) % count;
        let edge = &edges[index];
        let begin = if step == 0 { ahead_m } else { tangent(index + count - 1) };
        let end = if step == count { edge.length_m - ahead_m } else { tangent(index) };
        let straight_m = edge.length_m - begin - end;
        if straight_m < 0.0 {
            let Coord { x, y } = edge.from;
            return Err(TightCorner { x_m: x, y_m: y, radius_m: steering.radius_m });
        }
        way.push(Stretch::straight(straight_m));
        if step < count {
            way.extend(steering.turn(edge.turn_rad));
        }
    }
    let edge = &edges[first];
    let start = Pose::new(edge.from, edge.heading_rad).along(ahead_m, 0.0);
    Ok(Leg { start, way })
}

fn edges(polygon: &Polygon<f64>) -> Vec<Edge> {
    let heading = |a: Coord<f64>, b: Coord<f64>| libm::atan2(b.y - a.y, b.x - a.x);
    let corners: Vec<Coord<f64>> = polygon.exterior().coords().copied().collect();
    let mut edges: Vec<Edge> = corners
        .windows(2)
        .map(|pair| Edge {
            from: pair[0],
            length_m: libm::hypot(pair[1].x - pair[0].x, pair[1].y - pair[0].y),
            heading_rad: heading(pair[0], pair[1]),
            turn_rad: 0.0,
        })
        .collect();
    let count = edges.len();
    for index in 0..count {
        let next = edges[(index + 1) % count].heading_rad;
        edges[index].turn_rad = wrapped(next - edges[index].heading_rad + PI) - PI;
    }
    edges
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::LineString;

    fn rectangle(x: f64, y: f64) -> Polygon<f64> {
        Polygon::new(LineString::from(vec![(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)]), Vec::new())
    }

    const STEERING: Steering = Steering { radius_m: 8.0, easing_m: 3.0 };

    #[test]
    fn a_round_ends_where_it_began() {
        let leg = round(&rectangle(100.0, 60.0), STEERING, 20.0).expect("it can be driven");
        let (start, end) = (leg.start, leg.end());
        assert!((start.x_m - end.x_m).abs() < 1e-9 && (start.y_m - end.y_m).abs() < 1e-9);
        assert!((end.heading_rad - start.heading_rad - 2.0 * PI).abs() < 1e-9);
    }

    #[test]
    fn a_ring_too_narrow_for_the_radius_is_refused() {
        let narrow = round(&rectangle(100.0, 15.0), STEERING, 20.0);
        assert!(matches!(narrow, Err(TightCorner { .. })), "{narrow:?}");
    }
}
