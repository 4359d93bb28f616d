//! The same areas once more, by scan lines: an independent check of the exact geometry.
//!
//! ```text
//!  y ──●────────●────────●──────●──   crossings of a line with every part and with the field;
//!      +1       +1       −1     −1    between two of them the ground was sown so many times
//! ```
//!
//! Lines are `step_m` apart and lengths on them exact; an edge at a slant is off by at most half a step
//! times its length across the lines, and much less on the whole.

use super::coverage::Areas;
use geo::{Coord, CoordsIter, Polygon};

/// Areas of `parts` on `field` from lines `step_m` apart.
pub fn scan(parts: &[&Polygon<f64>], field: &[&Polygon<f64>], step_m: f64) -> Areas {
    let all = || parts.iter().chain(field).flat_map(|polygon| polygon.coords_iter());
    let low = all().map(|at| at.y).fold(f64::INFINITY, f64::min);
    let high = all().map(|at| at.y).fold(f64::NEG_INFINITY, f64::max);
    let sown: Vec<Shape> = parts.iter().map(|polygon| Shape::of(polygon)).collect();
    let field: Vec<Shape> = field.iter().map(|polygon| Shape::of(polygon)).collect();
    let mut areas = Areas::default();
    let mut y = low + step_m / 2.0;
    while y < high {
        line(y, step_m, (&sown, &field), &mut areas);
        y += step_m;
    }
    areas
}

/// The edges of a polygon and its reach in y.
struct Shape {
    edges: Vec<(Coord<f64>, Coord<f64>)>,
    low: f64,
    high: f64,
}

impl Shape {
    fn of(polygon: &Polygon<f64>) -> Self {
        let rings = core::iter::once(polygon.exterior()).chain(polygon.interiors());
        let edges = rings.flat_map(|ring| ring.lines().map(|line| (line.start, line.end)));
        let ys = || polygon.coords_iter().map(|at| at.y);
        Self {
            edges: edges.collect(),
            low: ys().fold(f64::INFINITY, f64::min),
            high: ys().fold(f64::NEG_INFINITY, f64::max),
        }
    }

    /// Where a line enters and leaves it, rising.
    fn crossings(&self, y: f64) -> Vec<f64> {
        if y < self.low || y > self.high {
            return Vec::new();
        }
        let crossed = self.edges.iter().filter(|(a, b)| (a.y <= y) != (b.y <= y));
        let mut xs: Vec<f64> =
            crossed.map(|(a, b)| a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y)).collect();
        xs.sort_by(f64::total_cmp);
        xs
    }
}

/// Adds one line's share.
fn line(y: f64, step_m: f64, (sown, field): (&[Shape], &[Shape]), areas: &mut Areas) {
    let mut marks: Vec<(f64, i32, i32)> = Vec::new();
    let both = sown.iter().map(|it| (it, (1, 0))).chain(field.iter().map(|it| (it, (0, 1))));
    for (shape, (sown, field)) in both {
        for (index, x) in shape.crossings(y).into_iter().enumerate() {
            let sign = if index % 2 == 0 { 1 } else { -1 };
            marks.push((x, sign * sown, sign * field));
        }
    }
    marks.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut times, mut within) = (0, 0);
    for pair in marks.windows(2) {
        times += pair[0].1;
        within += pair[0].2;
        let area = (pair[1].0 - pair[0].0) * step_m;
        match (within > 0, times) {
            (true, 0) => areas.not_m2 += area,
            (true, 1) => areas.once_m2 += area,
            (true, _) => areas.twice_m2 += area,
            (false, 0) => {}
            (false, _) => areas.outside_m2 += area,
        }
        areas.field_m2 += if within > 0 { area } else { 0.0 };
    }
}
