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
use geo::{Area, Coord, LineString, Polygon};

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
}

/// Most that a part turns, rad, and its length, bins.
const TURN_RAD: f64 = 1.0;
const PART_BINS: usize = 2000;

/// An edge may be straightened by this much, m.
const STRAIGHT_M: f64 = 0.000_5;

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
                asked_around: (asked(from.checked_sub(1)), asked(Some(to))),
                parts: parts(&poses, lane.offset_m, side.width_m),
            });
        }
        from = to;
    }
    strips
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

/// The ground between two edges along `poses`, in parts that do not turn on themselves.
pub fn parts(poses: &[Pose], offset_m: f64, width_m: f64) -> Vec<Polygon<f64>> {
    let edges: Vec<(Coord<f64>, Coord<f64>)> = poses
        .iter()
        .map(|pose| {
            (pose.point(0.0, offset_m + width_m / 2.0), pose.point(0.0, offset_m - width_m / 2.0))
        })
        .collect();
    let mut parts = Vec::new();
    let mut from = 0;
    for index in 1..poses.len() {
        let turned = (poses[index].heading_rad - poses[from].heading_rad).abs() > TURN_RAD;
        if turned || index - from >= PART_BINS || index + 1 == poses.len() {
            parts.extend(polygon(&edges[from..=index]));
            from = index;
        }
    }
    parts
}

/// The polygon between two edges; none where it has no area.
fn polygon(edges: &[(Coord<f64>, Coord<f64>)]) -> Option<Polygon<f64>> {
    let kept = kept(edges);
    let left = kept.iter().map(|&index| edges[index].0).rev();
    let right = kept.iter().map(|&index| edges[index].1);
    let ring: Vec<Coord<f64>> = right.chain(left).collect();
    let polygon = Polygon::new(LineString::new(ring), Vec::new());
    (polygon.unsigned_area() > 1e-9).then_some(polygon)
}

/// Points without which an edge would move by more than [`STRAIGHT_M`].
fn kept(edges: &[(Coord<f64>, Coord<f64>)]) -> Vec<usize> {
    let mut kept = vec![0];
    let mut from = 0;
    let mut reach = 1;
    while from + reach < edges.len() {
        let far = |to: usize| {
            (from + 1..to).all(|at| {
                off(edges[from].0, edges[to].0, edges[at].0) < STRAIGHT_M
                    && off(edges[from].1, edges[to].1, edges[at].1) < STRAIGHT_M
            })
        };
        let mut to = from + reach;
        while to < edges.len() && far(to) {
            reach = (to - from) * 2;
            to = from + reach;
        }
        // Between the last that was straight and the first that was not.
        let mut bad = to.min(edges.len());
        let mut good = (from + reach / 2).max(from + 1).min(edges.len() - 1);
        while bad - good > 1 {
            let middle = usize::midpoint(good, bad);
            if far(middle) { good = middle } else { bad = middle }
        }
        kept.push(good);
        from = good;
        reach = 1;
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

    #[test]
    fn a_straight_strip_keeps_four_corners_and_its_area() {
        let poses: Vec<Pose> =
            (0..=1000_u32).map(|k| Pose::default().along(f64::from(k) * 0.1, 0.0)).collect();
        let parts = parts(&poses, 1.5, 3.0);
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
        let area: f64 = parts(&poses, -1.5, 3.0).iter().map(Area::unsigned_area).sum();
        // Middle of the side at 21.5 m: area = width × way of its middle.
        let exact = 3.0 * 2.0 * core::f64::consts::PI * 21.5;
        assert!((area / exact - 1.0).abs() < 1e-4, "{area}, {exact}");
    }
}
