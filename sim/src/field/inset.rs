//! A polygon drawn in on every side.
//!
//! ```text
//!   each edge moves in by d; neighbours meet again at      p + d (u1 − u0) / (u0 × u1)
//!   with p the corner, u0 and u1 the directions of the edges before and after it
//! ```
//!
//! That is exact as long as every edge keeps its direction. Where one vanishes, `geo` draws the polygon in;
//! it may round off a hollow corner.

use super::boundary::Boundary;
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::orient::Direction;
use geo::{Buffer, Coord, Orient, Polygon};

/// Corners at which the edges turn by less than this are as good as straight, rad.
const STRAIGHT_RAD: f64 = 1e-9;

/// What lies at least `distance_m` within `polygon`, anticlockwise; none where that is nothing or falls
/// apart.
pub fn inset(polygon: &Polygon<f64>, distance_m: f64) -> Option<Polygon<f64>> {
    if distance_m <= 0.0 {
        return Some(polygon.clone());
    }
    sharp(polygon, distance_m).or_else(|| buffered(polygon, distance_m))
}

/// Edges moved in and joined again; none where one of them turns round.
fn sharp(polygon: &Polygon<f64>, distance_m: f64) -> Option<Polygon<f64>> {
    let ring = &polygon.exterior().0;
    let corners = ring.get(..ring.len().checked_sub(1)?)?;
    let count = corners.len();
    let unit = |index: usize| {
        let (a, b) = (corners[index % count], corners[(index + 1) % count]);
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let length = libm::hypot(dx, dy);
        Coord { x: dx / length, y: dy / length }
    };
    let moved: Vec<Coord<f64>> = (0..count)
        .map(|index| {
            let (before, after) = (unit(index + count - 1), unit(index));
            let turn = before.x * after.y - before.y * after.x;
            let by = if turn.abs() < STRAIGHT_RAD {
                Coord { x: -after.y, y: after.x }
            } else {
                Coord { x: (after.x - before.x) / turn, y: (after.y - before.y) / turn }
            };
            corners[index] + by * distance_m
        })
        .collect();
    let keeps = (0..count).all(|index| {
        let (edge, now) = (unit(index), moved[(index + 1) % count] - moved[index]);
        edge.x * now.x + edge.y * now.y > 0.0
    });
    let simple = if keeps { Boundary::new(&moved).ok() } else { None };
    simple.map(|boundary| boundary.polygon().clone())
}

/// By `geo`.
fn buffered(polygon: &Polygon<f64>, distance_m: f64) -> Option<Polygon<f64>> {
    let style = BufferStyle::new(-distance_m).line_join(LineJoin::Miter(0.1));
    let mut left = polygon.buffer_with_style(style).0;
    let only = if left.len() == 1 { left.pop() } else { None };
    only.filter(|polygon| polygon.interiors().is_empty())
        .map(|polygon| polygon.orient(Direction::Default))
}

#[cfg(test)]
mod tests {
    use super::*;
    use geo::Area;

    fn field(corners: &[(f64, f64)]) -> Polygon<f64> {
        let corners: Vec<Coord<f64>> = corners.iter().map(|&(x, y)| Coord { x, y }).collect();
        Boundary::new(&corners).expect("a field").polygon().clone()
    }

    #[test]
    fn an_inset_rectangle_is_smaller_by_the_inset_on_every_side() {
        let field = field(&[(0.0, 0.0), (100.0, 0.0), (100.0, 50.0), (0.0, 50.0)]);
        let inner = inset(&field, 6.0).expect("something is left").unsigned_area();
        assert!((inner - 88.0 * 38.0).abs() < 1e-9, "{inner}");
        assert_eq!(inset(&field, 26.0), None);
    }

    #[test]
    fn a_hollow_corner_stays_one_corner() {
        let field = field(&[(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (30.0, 25.0), (0.0, 40.0)]);
        let inner = inset(&field, 5.0).expect("something is left");
        assert_eq!(inner.exterior().0.len(), 6, "{inner:?}");
        let buffered = buffered(&field, 5.0).expect("something is left").unsigned_area();
        let sharp = inner.unsigned_area();
        // A rounded hollow corner takes a little less away.
        assert!(sharp <= buffered + 1e-3 && buffered - sharp < 5.0, "{sharp} {buffered}");
    }

    #[test]
    fn an_edge_that_vanishes_is_left_to_geo() {
        let field = field(&[(0.0, 0.0), (60.0, 0.0), (60.0, 40.0), (58.0, 42.0), (0.0, 42.0)]);
        let inner = inset(&field, 10.0).expect("something is left");
        assert!((inner.unsigned_area() - 40.0 * 22.0).abs() < 1e-3, "{inner:?}");
    }
}
