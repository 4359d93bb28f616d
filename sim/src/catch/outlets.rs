//! Outlets side by side.

use super::{OUTLET_BAND, Test};
use crate::desk::catch::{band, mean_g as mean, scatter_pct};
use crate::desk::confidence::uncaught_half_width;
use serde::Serialize;

/// How the outlets compare, from those that were weighed one by one.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Outlets {
    /// Turns that the masses below are for.
    pub turns: f64,
    /// Mean of the outlets, kg.
    pub mean_kg: f64,
    /// Least mass within the band, kg.
    pub from_kg: f64,
    /// Most, kg.
    pub to_kg: f64,
    /// Outlets outside the band.
    pub outside: u32,
    /// Spread: sample standard deviation over the mean, %; none below two.
    pub cv_pct: Option<f64>,
    /// Half the 95 % interval of the mean by the outlets that were not caught, %; none below two caught.
    pub uncaught_within_pct: Option<f64>,
    /// Each outlet, in the order of the sheet.
    pub each: Vec<Outlet>,
}

/// One outlet.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Outlet {
    /// Number in the order of the sheet, from 1.
    pub number: usize,
    /// Mean mass, kg.
    pub kg: f64,
    /// Difference from the mean, %.
    pub off_pct: f64,
    /// Within the band.
    pub inside: bool,
}

/// Compares the outlets; none where none was weighed by itself.
pub(super) fn outlets(test: &Test) -> Option<Outlets> {
    let weighed = || test.catches.iter().filter(|it| !it.each_kg.is_empty());
    let first = weighed().next()?;
    let turns = first.turns;
    let masses: Vec<f64> = (0..first.each_kg.len())
        .map(|at| {
            let of: Vec<f64> = weighed()
                .filter_map(|it| it.each_kg.get(at).map(|kg| kg * turns / it.turns))
                .collect();
            mean(&of)
        })
        .collect();
    let middle = mean(&masses);
    let (from_kg, to_kg) = band(middle, OUTLET_BAND);
    let each: Vec<Outlet> = (masses.iter().enumerate())
        .map(|(at, &kg)| Outlet {
            number: at + 1,
            kg,
            off_pct: 100.0 * (kg / middle - 1.0),
            inside: (from_kg..=to_kg).contains(&kg),
        })
        .collect();
    let cv = (masses.len() > 1).then(|| scatter_pct(&masses) / 100.0);
    let uncaught = if first.caught >= test.outlets {
        Some(0.0)
    } else {
        cv.and_then(|cv| uncaught_half_width(cv, first.caught, test.outlets))
    };
    Some(Outlets {
        turns,
        mean_kg: middle,
        from_kg,
        to_kg,
        outside: u32::try_from(each.iter().filter(|it| !it.inside).count()).unwrap_or(u32::MAX),
        cv_pct: cv.map(|it| 100.0 * it),
        uncaught_within_pct: uncaught.map(|it| 100.0 * it),
        each,
    })
}
