//! The figures of a field.

use super::coverage::Areas;
use super::gaps::{Gap, Overlap};
use serde::Serialize;

/// How a field was sown. Shares are of the field's area.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldFigures {
    /// The field has a boundary; without one its area is what lift and operator asked for.
    pub bounded: bool,
    /// Area of the field, m².
    pub field_m2: f64,
    /// Sown once, m².
    pub sown_once_m2: f64,
    /// Sown twice or more, m².
    pub sown_twice_m2: f64,
    /// Not sown, m².
    pub not_sown_m2: f64,
    /// Sown outside the field, m².
    pub sown_outside_m2: f64,
    /// Sown once, %.
    pub sown_once_pct: f64,
    /// Sown twice or more, %.
    pub sown_twice_pct: f64,
    /// Not sown, %.
    pub not_sown_pct: f64,
    /// Sown outside the field, % of the field.
    pub sown_outside_pct: f64,
    /// Gaps, largest first.
    pub gaps: Vec<Gap>,
    /// Overlaps, largest first.
    pub overlaps: Vec<Overlap>,
}

/// Keys of the figures that may have a tolerance.
pub const FIELD_FIGURES: [&str; 4] =
    ["sown_once_pct", "sown_twice_pct", "not_sown_pct", "sown_outside_pct"];

impl FieldFigures {
    /// From the areas and the lists.
    pub fn new(bounded: bool, areas: &Areas, gaps: Vec<Gap>, overlaps: Vec<Overlap>) -> Self {
        let share = |area_m2: f64| 100.0 * area_m2 / areas.field_m2;
        Self {
            bounded,
            field_m2: areas.field_m2,
            sown_once_m2: areas.once_m2,
            sown_twice_m2: areas.twice_m2,
            not_sown_m2: areas.not_m2,
            sown_outside_m2: areas.outside_m2,
            sown_once_pct: share(areas.once_m2),
            sown_twice_pct: share(areas.twice_m2),
            not_sown_pct: share(areas.not_m2),
            sown_outside_pct: share(areas.outside_m2),
            gaps,
            overlaps,
        }
    }

    /// The figure of a key.
    pub fn figure(&self, key: &str) -> Option<f64> {
        Some(match key {
            "sown_once_pct" => self.sown_once_pct,
            "sown_twice_pct" => self.sown_twice_pct,
            "not_sown_pct" => self.not_sown_pct,
            "sown_outside_pct" => self.sown_outside_pct,
            _ => return None,
        })
    }

    /// Ground that was not sown as it should be: not at all, twice, or outside, m².
    pub fn wrong_m2(&self) -> f64 {
        self.not_sown_m2 + self.sown_twice_m2 + self.sown_outside_m2
    }
}
