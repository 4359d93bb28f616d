//! Ground sown once, twice or more, not at all, and outside, by exact geometry.
//!
//! ```text
//!  sown  = union of all parts        twice = union over pairs of (part ∩ part)
//!  once  = (sown − twice) ∩ field    not   = field − sown      outside = sown − field
//! ```
//!
//! Polygons are cut and joined by `geo`, on a grid of the extent over 2³⁰ or finer.

use super::strip::{Fate, Strip};
use geo::{Area, BooleanOps, BoundingRect, MultiPolygon, Polygon, Rect, unary_union};

/// Ground by how often it was sown.
#[derive(Clone, Debug)]
pub struct Coverage {
    /// What was to be sown.
    pub field: MultiPolygon<f64>,
    /// Sown at least once, anywhere.
    pub sown: MultiPolygon<f64>,
    /// Sown at least twice, anywhere.
    pub twice: MultiPolygon<f64>,
    /// In the field and not sown.
    pub not_sown: MultiPolygon<f64>,
    /// Pieces of ground sown by two parts, with the passes of both.
    pub overlaps: Vec<(usize, usize, Polygon<f64>)>,
}

/// Areas, m².
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Areas {
    /// The field.
    pub field_m2: f64,
    /// Sown once, in the field.
    pub once_m2: f64,
    /// Sown twice or more, in the field.
    pub twice_m2: f64,
    /// Not sown, in the field.
    pub not_m2: f64,
    /// Sown outside the field.
    pub outside_m2: f64,
}

/// A part of a strip, its pass and its extent.
struct Part<'a> {
    pass: usize,
    polygon: &'a Polygon<f64>,
    extent: Rect<f64>,
}

impl Coverage {
    /// Of `strips` on `field`; where there is none, of the strips on what was asked for: all of them but
    /// those switched off.
    pub fn of(strips: &[Strip], field: Option<&Polygon<f64>>) -> Self {
        let sown = parts(strips, |fate| fate == Fate::Sown);
        let field = field.map_or_else(
            || union(parts(strips, |fate| fate != Fate::Off).iter().map(|part| part.polygon)),
            |field| MultiPolygon(vec![field.clone()]),
        );
        let overlaps = overlaps(&sown);
        let twice = union(overlaps.iter().map(|overlap| &overlap.2));
        let sown = union(sown.iter().map(|part| part.polygon));
        let not_sown = field.difference(&sown);
        Self { field, sown, twice, not_sown, overlaps }
    }

    /// The areas. They are found apart, so that their sum is a check.
    pub fn areas(&self) -> Areas {
        let once = self.sown.difference(&self.twice);
        Areas {
            field_m2: self.field.unsigned_area(),
            once_m2: once.intersection(&self.field).unsigned_area(),
            twice_m2: self.twice.intersection(&self.field).unsigned_area(),
            not_m2: self.not_sown.unsigned_area(),
            outside_m2: self.sown.difference(&self.field).unsigned_area(),
        }
    }
}

/// The union of polygons.
pub fn union<'a>(polygons: impl Iterator<Item = &'a Polygon<f64>>) -> MultiPolygon<f64> {
    let polygons: Vec<&Polygon<f64>> = polygons.collect();
    if polygons.is_empty() {
        return MultiPolygon(Vec::new());
    }
    unary_union(polygons)
}

fn parts(strips: &[Strip], wanted: impl Fn(Fate) -> bool) -> Vec<Part<'_>> {
    let strips = strips.iter().filter(|strip| wanted(strip.fate));
    let parts =
        strips.flat_map(|strip| strip.parts.iter().map(move |polygon| (strip.pass, polygon)));
    parts
        .filter_map(|(pass, polygon)| {
            polygon.bounding_rect().map(|extent| Part { pass, polygon, extent })
        })
        .collect()
}

/// What any two parts share, in order from west to east.
fn overlaps(parts: &[Part<'_>]) -> Vec<(usize, usize, Polygon<f64>)> {
    let mut order: Vec<&Part<'_>> = parts.iter().collect();
    order.sort_by(|a, b| a.extent.min().x.total_cmp(&b.extent.min().x));
    let mut overlaps = Vec::new();
    for (index, one) in order.iter().enumerate() {
        let reach =
            order[index + 1..].iter().take_while(|it| it.extent.min().x < one.extent.max().x);
        for other in reach.filter(|it| touch(&one.extent, &it.extent)) {
            let shared = one.polygon.intersection(other.polygon);
            let (low, high) = (one.pass.min(other.pass), one.pass.max(other.pass));
            overlaps.extend(shared.into_iter().map(|polygon| (low, high, polygon)));
        }
    }
    overlaps
}

/// Whether two extents share more than an edge in y.
fn touch(a: &Rect<f64>, b: &Rect<f64>) -> bool {
    a.min().y < b.max().y && b.min().y < a.max().y
}
