//! Gaps and overlaps one by one, the largest first.
//!
//! ```text
//!  not sown ─┬─ ∩ strips that were owed or off ─► side, travel, cause: late start, early stop, ...
//!            └─ the rest, polygon by polygon ───► between passes, or at the edge of the field
//! ```
//!
//! Pieces smaller than [`LEAST_M2`] and slits narrower than [`SLIT_M`] are not listed; but for them the
//! areas of all gaps together are the area not sown.

use super::coverage::{Coverage, union};
use super::strip::{Fate, Strip};
use super::trail::Trail;
use crate::ground::real;
use geo::algorithm::buffer::{BufferStyle, LineJoin};
use geo::{
    Area, BooleanOps, BoundingRect, Buffer, Centroid, Coord, CoordsIter, Distance, Euclidean,
    MinimumRotatedRect, MultiPolygon, Point, Polygon,
};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Smaller pieces of ground are not listed, m².
pub const LEAST_M2: f64 = 0.05;

/// Narrower slits are not listed, and join nothing, m.
pub const SLIT_M: f64 = 0.02;

/// A pass is next to a gap within this, m.
const NEXT_M: f64 = 0.05;

/// Why ground was not sown.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Seed came late after it was asked for.
    LateStart,
    /// Seed ended before the request did.
    EarlyStop,
    /// Seed failed in the row.
    InTheRow,
    /// The operator had switched off with the implement down.
    SwitchedOff,
    /// No side came by, passes on two sides.
    BetweenPasses,
    /// No side came by, at the edge of the field.
    AtTheEdge,
}

/// Ground that was not sown.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Gap {
    /// Why.
    pub cause: Cause,
    /// Side to blame, from 0; none where no side came by.
    pub side: Option<usize>,
    /// The pass to blame, or the passes next to it, from 1.
    pub passes: Vec<usize>,
    /// Where it begins, m east.
    pub x_m: f64,
    /// Where it begins, m north.
    pub y_m: f64,
    /// Where it begins: the side's own travel, or that of the drill's centre where no side is to blame, m.
    pub travel_m: f64,
    /// Its length, m.
    pub length_m: f64,
    /// Its area, m².
    pub area_m2: f64,
}

/// Ground that two passes sowed.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Overlap {
    /// The two passes, from 1; the same twice where a pass met itself.
    pub passes: [usize; 2],
    /// Its middle, m east.
    pub x_m: f64,
    /// Its middle, m north.
    pub y_m: f64,
    /// Its length, m.
    pub length_m: f64,
    /// Its area, m².
    pub area_m2: f64,
}

/// The gaps, largest first.
pub fn gaps(coverage: &Coverage, strips: &[Strip], worked: &[Worked]) -> Vec<Gap> {
    let mut left = coverage.not_sown.clone();
    let mut gaps = Vec::new();
    let blamed = strips.iter().filter(|strip| strip.fate != Fate::Sown);
    for strip in blamed {
        let ground = union(strip.parts.iter());
        let area_m2 = left.intersection(&ground).unsigned_area();
        if area_m2 >= LEAST_M2 {
            gaps.push(of_strip(strip, area_m2));
            left = left.difference(&ground);
        }
    }
    let rest = wide(&left);
    let rest = rest.iter().filter(|polygon| polygon.unsigned_area() >= LEAST_M2);
    gaps.extend(rest.map(|polygon| unvisited(polygon, strips, worked)));
    gaps.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    gaps
}

/// What is left of ground without its slits.
fn wide(ground: &MultiPolygon<f64>) -> MultiPolygon<f64> {
    let by = |distance_m: f64| BufferStyle::new(distance_m).line_join(LineJoin::Miter(0.5));
    ground.buffer_with_style(by(-SLIT_M / 2.0)).buffer_with_style(by(SLIT_M / 2.0))
}

fn of_strip(strip: &Strip, area_m2: f64) -> Gap {
    let cause = match (strip.fate, strip.asked_around) {
        (Fate::Off, _) => Cause::SwitchedOff,
        (_, (false, _)) => Cause::LateStart,
        (_, (_, false)) => Cause::EarlyStop,
        (_, (true, true)) => Cause::InTheRow,
    };
    Gap {
        cause,
        side: Some(strip.side),
        passes: vec![strip.pass],
        x_m: strip.start.x,
        y_m: strip.start.y,
        travel_m: strip.travel_m.0,
        length_m: strip.length_m,
        area_m2,
    }
}

/// A gap where no side came by.
fn unvisited(polygon: &Polygon<f64>, strips: &[Strip], worked: &[Worked]) -> Gap {
    let passes = neighbours(polygon, strips);
    let (start, travel_m) = earliest(polygon, worked);
    Gap {
        cause: if passes.len() > 1 { Cause::BetweenPasses } else { Cause::AtTheEdge },
        side: None,
        passes,
        x_m: start.x,
        y_m: start.y,
        travel_m,
        length_m: length_m(polygon),
        area_m2: polygon.unsigned_area(),
    }
}

/// The passes that sowed next to a gap.
fn neighbours(gap: &Polygon<f64>, strips: &[Strip]) -> Vec<usize> {
    let Some(extent) = gap.bounding_rect() else { return Vec::new() };
    let sown = strips.iter().filter(|strip| strip.fate == Fate::Sown);
    let parts = sown.flat_map(|strip| strip.parts.iter().map(move |part| (strip.pass, part)));
    let near = |part: &Polygon<f64>| {
        part.bounding_rect().is_some_and(|it| {
            it.min().x - NEXT_M <= extent.max().x
                && extent.min().x - NEXT_M <= it.max().x
                && it.min().y - NEXT_M <= extent.max().y
                && extent.min().y - NEXT_M <= it.max().y
        })
    };
    let touches = |part: &Polygon<f64>| {
        gap.coords_iter().any(|at| Euclidean.distance(&Point::from(at), part) < NEXT_M)
    };
    let found = parts.filter(|(_, part)| near(part) && touches(part)).map(|(pass, _)| pass);
    found.collect::<BTreeSet<usize>>().into_iter().collect()
}

/// Where the drill was in a piece, and when the implement was down.
#[derive(Clone, Debug)]
pub struct Worked {
    /// Where its centre was.
    pub trail: Trail,
    /// From, to, s.
    pub lowered: Vec<(f64, f64)>,
}

/// Every so many poses of a trail are looked at: two a second of a driven one.
const LOOKS: usize = 50;

/// A later pose must be nearer by this to count, m.
const NEARER_M: f64 = 0.5;

/// The corner that the drill came by first in work, and how far it had travelled then, m.
fn earliest(polygon: &Polygon<f64>, worked: &[Worked]) -> (Coord<f64>, f64) {
    let far = |at: Coord<f64>, to: Coord<f64>| libm::hypot(at.x - to.x, at.y - to.y);
    let (mut best, mut found, mut travel_m) = (f64::INFINITY, (Coord::default(), 0.0), 0.0);
    for Worked { trail, lowered } in worked {
        let mut last = trail.poses.first().copied().unwrap_or_default();
        for (index, &pose) in trail.poses.iter().enumerate().step_by(LOOKS) {
            travel_m += far(last.at(), pose.at());
            last = pose;
            let t = trail.start_s + real(index) * trail.step_s;
            if !lowered.iter().any(|span| (span.0..=span.1).contains(&t)) {
                continue;
            }
            for at in polygon.coords_iter() {
                if far(at, pose.at()) < best - NEARER_M {
                    best = far(at, pose.at());
                    found = (at, travel_m);
                }
            }
        }
    }
    found
}

/// The longer side of the narrowest rectangle around a polygon, m.
fn length_m(polygon: &Polygon<f64>) -> f64 {
    let Some(around) = polygon.minimum_rotated_rect() else { return 0.0 };
    let sides = around.exterior().lines().map(|line| libm::hypot(line.dx(), line.dy()));
    sides.fold(0.0, f64::max)
}

/// The overlaps, largest first.
pub fn overlaps(coverage: &Coverage) -> Vec<Overlap> {
    let mut pairs: BTreeMap<(usize, usize), Vec<&Polygon<f64>>> = BTreeMap::new();
    for (one, other, polygon) in &coverage.overlaps {
        pairs.entry((*one, *other)).or_default().push(polygon);
    }
    let mut overlaps = Vec::new();
    for ((one, other), polygons) in pairs {
        let joined = wide(&union(polygons.into_iter()));
        let large = joined.iter().filter(|polygon| polygon.unsigned_area() >= LEAST_M2);
        overlaps.extend(large.map(|polygon| {
            let middle = polygon.centroid().map(Coord::from).unwrap_or_default();
            Overlap {
                passes: [one, other],
                x_m: middle.x,
                y_m: middle.y,
                length_m: length_m(polygon),
                area_m2: polygon.unsigned_area(),
            }
        }));
    }
    overlaps.sort_by(|a, b| b.area_m2.total_cmp(&a.area_m2));
    overlaps
}
