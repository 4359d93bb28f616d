//! The map of a field: what was sown once, twice, not at all, and outside.
//!
//! North is up. Colours are those of the other picture; sown ground is light, what went wrong is dark, so
//! that a grey print tells the same.

use super::palette::{BAND, HAVE, INK, OUT, SOFT, WANTED};
use super::scale::{label, rounds};
use super::sheet::{Ink, Sheet, Stroke};
use crate::field::{FieldFigures, Survey};
use crate::unit::{LENGTH, System};
use geo::{BoundingRect, Coord, LineString, MultiPolygon};
use std::fmt::Write;

/// Width of the map and room around it, px.
const WIDTH: f64 = 1100.0;
const ROOM: f64 = 36.0;
/// Room above for title and legend, and below for the scale, px.
const HEAD: f64 = 108.0;
const FOOT: f64 = 56.0;
/// The map is no higher than this, px.
const HIGHEST: f64 = 900.0;

/// From the ground to the paper.
struct Paper {
    west: f64,
    north: f64,
    /// Pixels a metre.
    scale: f64,
}

impl Paper {
    fn at(&self, at: Coord<f64>) -> (f64, f64) {
        (ROOM + (at.x - self.west) * self.scale, HEAD + (self.north - at.y) * self.scale)
    }

    fn ring(&self, ring: &LineString<f64>) -> String {
        let mut data = String::new();
        for (index, &at) in ring.0.iter().enumerate() {
            let (x, y) = self.at(at);
            let _ = write!(data, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
        }
        data + "z"
    }

    fn ground(&self, ground: &MultiPolygon<f64>) -> String {
        let rings =
            ground.iter().flat_map(|it| core::iter::once(it.exterior()).chain(it.interiors()));
        rings.map(|ring| self.ring(ring)).collect()
    }
}

/// The map as a picture of its own.
pub fn map(survey: &Survey, figures: &FieldFigures, title: &str, system: System) -> String {
    let mut sheet = Sheet::default();
    let coverage = &survey.coverage;
    let mut all = coverage.field.clone();
    all.0.extend(coverage.sown.0.iter().cloned());
    let Some(extent) = all.bounding_rect() else { return sheet.finish(WIDTH, 40.0, "no field") };
    let (across, up) = (extent.width().max(1.0), extent.height().max(1.0));
    let scale = ((WIDTH - 2.0 * ROOM) / across).min(HIGHEST / up);
    let paper = Paper { west: extent.min().x, north: extent.max().y, scale };
    let height = HEAD + up * scale + FOOT;
    sheet.area(paper.ground(&coverage.sown), BAND);
    sheet.area(paper.ground(&coverage.twice), HAVE);
    sheet.area(paper.ground(&coverage.not_sown), OUT);
    way(&mut sheet, &paper, survey);
    for polygon in &coverage.field {
        sheet.line(paper.ring(polygon.exterior()), Stroke { colour: INK, width: 1.6 });
    }
    head(&mut sheet, figures, title);
    scale_bar(&mut sheet, scale, height - 22.0, system);
    sheet.finish(WIDTH, height, title)
}

/// The way of the drill's middle, thin.
fn way(sheet: &mut Sheet, paper: &Paper, survey: &Survey) {
    for worked in &survey.worked {
        let mut data = String::new();
        for (index, pose) in worked.trail.poses.iter().step_by(20).enumerate() {
            let (x, y) = paper.at(pose.at());
            let _ = write!(data, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
        }
        sheet.line(data, Stroke { colour: SOFT, width: 0.5 });
    }
}

/// Title and legend, each colour with its area and share.
fn head(sheet: &mut Sheet, figures: &FieldFigures, title: &str) {
    sheet.words(title, (ROOM, 34.0), Ink::plain(19.0).bold());
    let keys = [
        (BAND, "sown once", figures.sown_once_m2, figures.sown_once_pct),
        (HAVE, "sown twice or more", figures.sown_twice_m2, figures.sown_twice_pct),
        (OUT, "not sown", figures.not_sown_m2, figures.not_sown_pct),
    ];
    let mut left = ROOM;
    for (colour, words, area_m2, pct) in keys {
        sheet.fill((left, 52.0), (16.0, 16.0), colour);
        sheet.words(words, (left + 23.0, 65.0), Ink::plain(14.0));
        let share = format!("{area_m2:.1} m², {pct:.2} %");
        sheet.words(&share, (left + 23.0, 83.0), Ink::plain(13.0).colour(SOFT));
        left += 215.0;
    }
    let outside = format!("outside: {:.1} m²", figures.sown_outside_m2);
    sheet.words(&outside, (left, 65.0), Ink::plain(14.0));
    let lists = format!("{} gaps, {} overlaps", figures.gaps.len(), figures.overlaps.len());
    sheet.words(&lists, (left, 83.0), Ink::plain(13.0).colour(SOFT));
    sheet.words("north up", (WIDTH - ROOM, 83.0), Ink::plain(13.0).colour(SOFT).anchor("end"));
}

/// A bar of a round length.
fn scale_bar(sheet: &mut Sheet, scale: f64, y: f64, system: System) {
    let unit = LENGTH.preferred(system);
    let metres = unit.map_or(1.0, |unit| unit.to_own(1.0));
    let longest = 240.0 / scale / metres;
    let length = rounds(0.0, longest, 5.0).last().copied().unwrap_or(longest);
    let width = length * metres * scale;
    sheet.line(format!("M{ROOM} {y:.1}h{width:.1}"), Stroke { colour: WANTED, width: 5.0 });
    let words = format!("{} {}", label(length), unit.map_or("m", |unit| unit.symbol()));
    sheet.words(&words, (ROOM + width + 9.0, y + 5.0), Ink::plain(14.0));
}
