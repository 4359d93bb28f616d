//! The boundary of a field: a simple polygon in local metres, x to the east, y to the north.

use super::inset::inset;
use geo::orient::Direction;
use geo::{Area, Contains, Coord, LineString, Orient, Polygon};
use thiserror::Error;

/// Outline of a field, its corners anticlockwise.
#[derive(Clone, Debug, PartialEq)]
pub struct Boundary {
    polygon: Polygon<f64>,
}

/// What is wrong with corners; corners and edges count from 1.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
pub enum BoundaryError {
    /// Fewer than three corners.
    #[error("{0} corners enclose nothing")]
    FewCorners(usize),
    /// A corner is not a finite number.
    #[error("corner {0} is not a place")]
    NotFinite(usize),
    /// A corner stands where the one before stands.
    #[error("corner {0} stands where the one before it stands")]
    Doubled(usize),
    /// Two edges meet that should not.
    #[error("the edge from corner {0} meets the edge from corner {1}")]
    CrossesItself(usize, usize),
}

impl Boundary {
    /// Checks corners; the last is joined to the first, and may repeat it.
    ///
    /// # Errors
    ///
    /// [`BoundaryError`] says which corner or edge is wrong.
    pub fn new(corners: &[Coord<f64>]) -> Result<Self, BoundaryError> {
        let corners = match corners {
            [first, rest @ .., last] if !rest.is_empty() && first == last => {
                &corners[..corners.len() - 1]
            }
            all => all,
        };
        if corners.len() < 3 {
            return Err(BoundaryError::FewCorners(corners.len()));
        }
        let lost = corners.iter().position(|at| !(at.x.is_finite() && at.y.is_finite()));
        if let Some(index) = lost {
            return Err(BoundaryError::NotFinite(index + 1));
        }
        let count = corners.len();
        let edge = |index: usize| (corners[index % count], corners[(index + 1) % count]);
        if let Some(index) = (0..count).find(|&index| edge(index).0 == edge(index).1) {
            return Err(BoundaryError::Doubled((index + 1) % count + 1));
        }
        for one in 0..count {
            for other in one + 1..count {
                let next = other == one + 1 || (one == 0 && other == count - 1);
                let bad =
                    if next { folds(edge(one), edge(other)) } else { meet(edge(one), edge(other)) };
                if bad {
                    return Err(BoundaryError::CrossesItself(one + 1, other + 1));
                }
            }
        }
        let polygon = Polygon::new(LineString::new(corners.to_vec()), Vec::new());
        Ok(Self { polygon: polygon.orient(Direction::Default) })
    }

    /// The polygon, anticlockwise.
    pub const fn polygon(&self) -> &Polygon<f64> {
        &self.polygon
    }

    /// Area, m².
    pub fn area_m2(&self) -> f64 {
        self.polygon.unsigned_area()
    }

    /// Whether a point lies inside.
    pub fn contains(&self, at: Coord<f64>) -> bool {
        self.polygon.contains(&at)
    }

    /// What lies at least `distance_m` within; none where that is nothing or falls apart.
    pub fn inset(&self, distance_m: f64) -> Option<Polygon<f64>> {
        inset(&self.polygon, distance_m)
    }
}

/// An edge.
type Edge = (Coord<f64>, Coord<f64>);

/// Twice the area of a triangle, positive anticlockwise, m².
fn turn(a: Coord<f64>, b: Coord<f64>, c: Coord<f64>) -> f64 {
    (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x)
}

/// Whether two edges have a point in common.
fn meet(one: Edge, other: Edge) -> bool {
    let sides = |edge: Edge, by: Edge| (turn(by.0, by.1, edge.0), turn(by.0, by.1, edge.1));
    let (a, b) = sides(one, other);
    let (c, d) = sides(other, one);
    let apart = |a: f64, b: f64| (a > 0.0 && b > 0.0) || (a < 0.0 && b < 0.0);
    let ranges = |a: f64, b: f64, c: f64, d: f64| a.min(b) <= c.max(d) && c.min(d) <= a.max(b);
    !apart(a, b)
        && !apart(c, d)
        && ranges(one.0.x, one.1.x, other.0.x, other.1.x)
        && ranges(one.0.y, one.1.y, other.0.y, other.1.y)
}

/// Whether an edge goes back on the one it shares a corner with.
fn folds(one: Edge, other: Edge) -> bool {
    let (corner, a, b) =
        if one.1 == other.0 { (one.1, one.0, other.1) } else { (one.0, one.1, other.0) };
    let dot = (a.x - corner.x) * (b.x - corner.x) + (a.y - corner.y) * (b.y - corner.y);
    turn(a, corner, b).abs() <= 1e-9 * dot.abs() && dot > 0.0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners(points: &[(f64, f64)]) -> Vec<Coord<f64>> {
        points.iter().map(|&(x, y)| Coord { x, y }).collect()
    }

    #[test]
    fn a_closed_and_an_open_list_are_the_same_field_either_way_round() {
        let open = corners(&[(0.0, 0.0), (0.0, 50.0), (100.0, 50.0), (100.0, 0.0)]);
        let mut closed = open.clone();
        closed.push(open[0]);
        let field = Boundary::new(&open).expect("a rectangle");
        assert_eq!(Ok(&field), Boundary::new(&closed).as_ref());
        assert!((field.area_m2() - 5000.0).abs() < 1e-9);
        let signed = field.polygon().signed_area();
        assert!(signed > 0.0, "anticlockwise: {signed}");
    }

    #[test]
    fn a_bow_tie_a_spike_and_a_line_are_refused() {
        let bow = corners(&[(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)]);
        assert_eq!(Boundary::new(&bow), Err(BoundaryError::CrossesItself(1, 3)));
        let spike = corners(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (10.0, 2.0), (0.0, 5.0)]);
        assert_eq!(Boundary::new(&spike), Err(BoundaryError::CrossesItself(2, 3)));
        let line = corners(&[(0.0, 0.0), (10.0, 0.0)]);
        assert_eq!(Boundary::new(&line), Err(BoundaryError::FewCorners(2)));
        let flat = corners(&[(0.0, 0.0), (10.0, 0.0), (20.0, 0.0)]);
        assert!(matches!(Boundary::new(&flat), Err(BoundaryError::CrossesItself(..))));
    }
}
