//! Strips of ground behind the sides, from the bins of a run.
//!
//! ```text
//!           left edge   at offset + w/2
//!   ──┬──┬──┬──┬──┬──►  a bin of 0.1 m is a piece across the width; bins in a row that fared alike
//!           right edge  are one strip, cut into parts that do not turn on themselves
//! ```
//!
//! A bin is *sown* where at least half the rate in force lies on it, *owed* where lift and operator asked
//! for seed and it is not sown, *off* where the implement was down and the operator did not ask.

use super::pose::Pose;
use super::trail::Trail;
use crate::bench::SideOutcome;
use crate::ground::{BIN_M, Bin, real};
use geo::{Area, ConvexHull, Coord, LineString, MultiPoint, Polygon};

/// How ground fared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fate {
    /// At least half the rate lies there.
    Sown,
    /// Asked for, and not sown.
    Owed,
    /// Implement down, switched off, not sown.
    Off,
}

/// Bins of one side in a row that fared alike.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Side, from 0.
    pub side: usize,
    /// Pass: how often the implement had been lowered, from 1.
    pub pass: usize,
    /// How it fared.
    pub fate: Fate,
    /// Where it begins and ends, m of the side's own travel.
    pub travel_m: (f64, f64),
    /// Middle of the side where it begins.
    pub start: Coord<f64>,
    /// Way of the side's middle over the ground, m.
    pub length_m: f64,
    /// The bin before it was asked for, and the bin after it.
    pub asked_around: (bool, bool),
    /// The ground, in parts.
    pub parts: Vec<Polygon<f64>>,
}

/// Where a side runs.
#[derive(Clone, Copy, Debug)]
pub struct Lane {
    /// Piece of the profile, from 0.
    pub piece: usize,
    /// Side, from 0.
    pub side: usize,
    /// Offset of its middle to the left of the drill's, m.
    pub offset_m: f64,
    /// Its edges may be straightened by this much, m.
    pub straight_m: f64,
}

impl Lane {
    /// A place on a grid as fine as the straightening, in whole powers of two so that it is exact: edges
    /// that nearly meet meet.
    fn snapped(&self, at: Coord<f64>) -> Coord<f64> {
        if self.straight_m < GRID_M {
            return at;
        }
        let on = |metres: f64| libm::round(metres / GRID_M) * GRID_M;
        Coord { x: on(at.x), y: on(at.y) }
    }
}

/// Grid of recorded edges, m.
const GRID_M: f64 = 1.0 / 256.0;

/// Most that a part turns, rad, and its length, bins.
const TURN_RAD: f64 = 1.0;
const PART_BINS: usize = 1000;

/// A recorded edge may go back by this much in a bin: positions jitter, m.
const BACK_M: f64 = 0.05;

/// Parts with less ground are nothing, m².
const LEAST_M2: f64 = 1e-9;

/// The strips of one side after a run; `lowered` is when the implement was down.
pub fn strips(side: &SideOutcome, lane: Lane, trail: &Trail, lowered: &[(f64, f64)]) -> Vec<Strip> {
    let bins = side.ground.bins();
    let marks: Vec<Option<Mark>> =
        bins.windows(2).map(|pair| mark(&pair[0], side.width_m, lowered)).collect();
    let asked = |index: Option<usize>| {
        index.and_then(|index| bins.get(index)).is_some_and(|bin| bin.asked_m > BIN_M / 2.0)
    };
    let mut strips = Vec::new();
    let mut from = 0;
    for run in marks.chunk_by(|a, b| a == b) {
        let to = from + run.len();
        if let Some(mark) = run[0] {
            let poses: Vec<Pose> =
                bins[from..=to].iter().map(|bin| trail.at(bin.entered_s)).collect();
            strips.push(Strip {
                piece: lane.piece,
                side: lane.side,
                pass: mark.pass,
                fate: mark.fate,
                travel_m: (real(from) * BIN_M, real(to) * BIN_M),
                start: poses[0].point(0.0, lane.offset_m),
                length_m: length_m(&poses, lane.offset_m),
                asked_around: (asked(from.checked_sub(1)), asked(Some(to))),
                parts: parts(&poses, side.width_m, lane),
            });
        }
        from = to;
    }
    strips
}

/// Way of a side's middle, m.
fn length_m(poses: &[Pose], offset_m: f64) -> f64 {
    let middles: Vec<Coord<f64>> = poses.iter().map(|pose| pose.point(0.0, offset_m)).collect();
    middles.windows(2).map(|pair| libm::hypot(pair[1].x - pair[0].x, pair[1].y - pair[0].y)).sum()
}

/// What makes bins one strip.
#[derive(Clone, Copy, PartialEq, Eq)]
struct Mark {
    fate: Fate,
    pass: usize,
}

/// How a bin fared; none where nobody wanted anything and nothing lies.
fn mark(bin: &Bin, width_m: f64, lowered: &[(f64, f64)]) -> Option<Mark> {
    let begun = lowered.partition_point(|span| span.0 <= bin.entered_s);
    let down = begun.checked_sub(1).is_some_and(|last| bin.entered_s < lowered[last].1);
    let rate = bin.laid_kg / (BIN_M * width_m);
    let fate = if rate > 0.0 && rate >= bin.rate_kg_per_m2 / 2.0 {
        Fate::Sown
    } else if bin.asked_m > BIN_M / 2.0 {
        Fate::Owed
    } else if down {
        Fate::Off
    } else {
        return None;
    };
    Some(Mark { fate, pass: begun.max(1) })
}

/// The ground between two edges along `poses`, in parts that do not turn on themselves: from its first
/// pose on, both edges of a part go forward. A bin that turns on the spot is a part of its own.
pub fn parts(poses: &[Pose], width_m: f64, lane: Lane) -> Vec<Polygon<f64>> {
    let edge = |pose: &Pose, hand: f64| pose.point(0.0, lane.offset_m + hand * width_m / 2.0);
    let snapped = |pose: &Pose, hand| lane.snapped(edge(pose, hand));
    let edges: Vec<Edges> =
        poses.iter().map(|pose| (snapped(pose, 1.0), snapped(pose, -1.0))).collect();
    let mut parts = Vec::new();
    let mut from = 0;
    for index in 1..poses.len() {
        let last = index + 1 == poses.len();
        if !onward(poses[from].heading_rad, edges[index - 1], edges[index]) {
            parts.extend(polygon(&edges[from..index], lane.straight_m));
            parts.extend(wedge(edges[index - 1], edges[index]));
            from = index;
        } else if last || index - from >= PART_BINS || turned(poses[from], poses[index]) {
            parts.extend(polygon(&edges[from..=index], lane.straight_m));
            from = index;
        }
    }
    parts
}

/// Left and right edge of a side.
type Edges = (Coord<f64>, Coord<f64>);

fn turned(from: Pose, to: Pose) -> bool {
    (to.heading_rad - from.heading_rad).abs() > TURN_RAD
}

/// Whether both edges go forward by `heading_rad`.
fn onward(heading_rad: f64, from: Edges, to: Edges) -> bool {
    let (sin, cos) = (libm::sin(heading_rad), libm::cos(heading_rad));
    let ahead = |a: Coord<f64>, b: Coord<f64>| (b.x - a.x) * cos + (b.y - a.y) * sin;
    ahead(from.0, to.0) > -BACK_M && ahead(from.1, to.1) > -BACK_M
}

/// The ground of a bin that turns on the spot: all that lies between its corners.
fn wedge(from: Edges, to: Edges) -> Option<Polygon<f64>> {
    let hull = MultiPoint::from(vec![from.0, from.1, to.0, to.1]).convex_hull();
    (hull.unsigned_area() > LEAST_M2).then_some(hull)
}

/// The polygon between two edges; none where it has no area.
fn polygon(edges: &[Edges], straight_m: f64) -> Option<Polygon<f64>> {
    let kept = kept(edges, straight_m);
    let left = kept.iter().map(|&index| edges[index].0).rev();
    let right = kept.iter().map(|&index| edges[index].1);
    let ring: Vec<Coord<f64>> = right.chain(left).collect();
    let polygon = Polygon::new(LineString::new(ring), Vec::new());
    (polygon.signed_area() > LEAST_M2).then_some(polygon)
}

/// Points without which an edge would move by more than `straight_m`.
fn kept(edges: &[Edges], straight_m: f64) -> Vec<usize> {
    let mut kept = vec![0];
    let mut from = 0;
    while from + 1 < edges.len() {
        let far = |to: usize| {
            (from + 1..to).all(|at| {
                off(edges[from].0, edges[to].0, edges[at].0) < straight_m
                    && off(edges[from].1, edges[to].1, edges[at].1) < straight_m
            })
        };
        let (mut good, mut bad) = (from + 1, edges.len());
        let mut step = 2;
        while from + step < bad {
            if far(from + step) {
                good = from + step;
                step *= 2;
            } else {
                bad = from + step;
            }
        }
        // Between the last that was straight and the first that was not.
        while bad - good > 1 {
            let middle = usize::midpoint(good, bad);
            if far(middle) { good = middle } else { bad = middle }
        }
        kept.push(good);
        from = good;
    }
    kept
}

/// Distance of `at` from the line through two points, m.
fn off(a: Coord<f64>, b: Coord<f64>, at: Coord<f64>) -> f64 {
    let (dx, dy) = (b.x - a.x, b.y - a.y);
    let length = libm::hypot(dx, dy);
    if length < 1e-12 {
        return libm::hypot(at.x - a.x, at.y - a.y);
    }
    ((at.x - a.x) * dy - (at.y - a.y) * dx).abs() / length
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn lane(offset_m: f64) -> Lane {
        Lane { piece: 0, side: 0, offset_m, straight_m: 0.000_5 }
    }

    #[test]
    fn a_straight_strip_keeps_four_corners_and_its_area() {
        let poses: Vec<Pose> =
            (0..=1000_u32).map(|k| Pose::default().along(f64::from(k) * 0.1, 0.0)).collect();
        let parts = parts(&poses, 3.0, lane(1.5));
        assert_eq!(parts.len(), 1);
        assert_eq!(parts[0].exterior().0.len(), 5, "{:?}", parts[0]);
        assert!((parts[0].unsigned_area() - 300.0).abs() < 1e-9);
    }

    #[test]
    fn a_circle_is_an_annulus_within_the_straightening() {
        let bins = 1257_u32;
        let step_m = 40.0 * core::f64::consts::PI / f64::from(bins);
        let poses: Vec<Pose> =
            (0..=bins).map(|k| Pose::default().along(f64::from(k) * step_m, 1.0 / 20.0)).collect();
        let area: f64 = parts(&poses, 3.0, lane(-1.5)).iter().map(Area::unsigned_area).sum();
        // Middle of the side at 21.5 m: area = width × way of its middle.
        let exact = 3.0 * 2.0 * core::f64::consts::PI * 21.5;
        assert!((area / exact - 1.0).abs() < 1e-4, "{area}, {exact}");
    }
}
