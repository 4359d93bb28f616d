//! Straight passes across the inner field, side by side, and the order in which they are driven.
//!
//! ```text
//!  band k of the working width: lowered before the first part of the band reaches the inner field,
//!  lifted after the last has left it, so that a slanting headland is reached by the whole width
//!
//!  stride 3:   0 3 1 4 2 | 5 8 6 9 7 | …      turns of 3 and 2 bands instead of 1
//! ```

use super::leg::Leg;
use super::path::Stretch;
use super::pose::Pose;
use geo::{BooleanOps, Coord, CoordsIter, LineString, Polygon};

/// How the inner field is crossed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Passes {
    /// Heading of the first pass, rad anticlockwise from east.
    pub heading_rad: f64,
    /// Working width, m.
    pub width_m: f64,
    /// From one pass to the next, m; less than the width when they shall overlap.
    pub spacing_m: f64,
    /// Bands from one pass to the next one driven; 1 is the neighbour.
    pub stride: usize,
}

impl Passes {
    /// The passes over `inner`, in the order in which they are driven.
    pub fn over(&self, inner: &Polygon<f64>) -> Vec<Leg> {
        let frame = Pose { heading_rad: self.heading_rad, ..Pose::default() };
        let own = |at: Coord<f64>| {
            let back = Pose { heading_rad: -self.heading_rad, ..Pose::default() };
            back.point(at.x, at.y)
        };
        let corners: Vec<Coord<f64>> = inner.exterior().coords().map(|&at| own(at)).collect();
        let turned = Polygon::new(LineString::new(corners), Vec::new());
        let bands = self.bands(&turned);
        let mut onward = true;
        let mut legs = Vec::new();
        for index in order(bands.len(), self.stride) {
            let (across_m, parts) = &bands[index];
            let mut leg = |&(from, to): &(f64, f64)| {
                let (begin, turned) =
                    if onward { (from, 0.0) } else { (to, core::f64::consts::PI) };
                let start = Pose::new(frame.point(begin, *across_m), self.heading_rad + turned);
                legs.push(Leg { start, way: vec![Stretch::straight(to - from)] });
            };
            let spans = parts.iter();
            if onward {
                spans.for_each(&mut leg);
            } else {
                spans.rev().for_each(&mut leg);
            }
            onward = !onward;
        }
        legs
    }

    /// The middle of each band and the ways on it that are in the field, rising.
    fn bands(&self, field: &Polygon<f64>) -> Vec<(f64, Vec<(f64, f64)>)> {
        let (low, high) = reach(field.coords_iter().map(|at| at.y));
        let (begin, end) = reach(field.coords_iter().map(|at| at.x));
        let mut bands = Vec::new();
        let mut edge = low;
        while edge < high - 1e-6 {
            let (x0, x1, y1) = (begin - 1.0, end + 1.0, edge + self.width_m);
            let band = vec![(x0, edge), (x1, edge), (x1, y1), (x0, y1)];
            let within = Polygon::new(LineString::from(band), Vec::new()).intersection(field);
            let mut parts: Vec<(f64, f64)> =
                within.iter().map(|part| reach(part.coords_iter().map(|at| at.x))).collect();
            parts.sort_by(|a, b| a.0.total_cmp(&b.0));
            bands.push((edge + self.width_m / 2.0, merged(parts)));
            edge += self.spacing_m;
        }
        bands
    }
}

/// Least and largest.
fn reach(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), it| (a.min(it), b.max(it)))
}

/// Parts in order, those that overlap as one.
fn merged(parts: Vec<(f64, f64)>) -> Vec<(f64, f64)> {
    let mut apart: Vec<(f64, f64)> = Vec::new();
    for (from, to) in parts {
        match apart.last_mut() {
            Some(last) if from <= last.1 => last.1 = last.1.max(to),
            Some(_) | None => apart.push((from, to)),
        }
    }
    apart
}

/// The order of `count` bands with a stride: blocks of `2 stride - 1` bands, to and fro in each.
pub fn order(count: usize, stride: usize) -> Vec<usize> {
    let block = (2 * stride).saturating_sub(1).max(1);
    let mut order = Vec::new();
    let mut begin = 0;
    while begin < count {
        let size = block.min(count - begin);
        let half = size.div_ceil(2);
        for index in 0..half {
            order.push(begin + index);
            if half + index < size {
                order.push(begin + half + index);
            }
        }
        begin += size;
    }
    order
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_band_is_driven_once_whatever_the_stride() {
        for (count, stride) in [(1, 1), (7, 1), (10, 3), (13, 4), (5, 4)] {
            let mut bands = order(count, stride);
            bands.sort_unstable();
            assert!(bands.into_iter().eq(0..count), "{count} bands, stride {stride}");
        }
        assert_eq!(order(10, 3), [0, 3, 1, 4, 2, 5, 8, 6, 9, 7]);
        assert_eq!(order(3, 1), [0, 1, 2]);
    }

    #[test]
    fn passes_lie_side_by_side_and_alternate() {
        let field = vec![(0.0, 0.0), (100.0, 0.0), (100.0, 17.0), (0.0, 17.0)];
        let field = Polygon::new(LineString::from(field), Vec::new());
        let passes = Passes { heading_rad: 0.0, width_m: 6.0, spacing_m: 6.0, stride: 1 };
        let legs = passes.over(&field);
        let starts: Vec<(f64, f64)> = legs
            .iter()
            .map(|leg| (libm::round(leg.start.x_m), libm::round(leg.start.y_m)))
            .collect();
        assert_eq!(starts, [(0.0, 3.0), (100.0, 9.0), (0.0, 15.0)]);
        assert!((legs[1].end().x_m).abs() < 1e-4, "{:?}", legs[1].end());
    }
}
