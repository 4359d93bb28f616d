//! All that a catch test says.

use super::outlets::{Outlets, outlets};
use super::speeds::{Besides, Fall, Speed, speeds};
use super::{OUTLET_BAND, SCALE_SHARE, Test, Weighing};
use crate::desk::catch::{band, rate_kg_per_ha, turns_for_scale};
use crate::desk::drill::area_m2;
use serde::Serialize;

/// All that a catch test says.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Found {
    /// Name of the seed lot.
    pub name: Option<String>,
    /// Invented for demonstration.
    pub demo: bool,
    /// Day of the catches.
    pub date: Option<String>,
    /// Outlets of the shaft.
    pub outlets: u32,
    /// Rate for the seed file, kg/ha.
    pub rate_kg_per_ha: Option<f64>,
    /// Error of the mean that is wished for, %.
    pub wished_pct: f64,
    /// Each catch.
    pub catches: Vec<CatchRow>,
    /// At each shaft speed, slowest first; one alone where none was noted.
    pub speeds: Vec<Speed>,
    /// Half the 95 % interval of the mean at the speed where it is widest, %; none where one cannot be told.
    pub uncertainty_pct: Option<f64>,
    /// Outlets side by side, where they were weighed one by one.
    pub outlet_spread: Option<Outlets>,
    /// The scale against what it weighed.
    pub scale: Option<Scale>,
    /// What the ground-driven shaft lays.
    pub ground: Option<Ground>,
    /// Uncertainty within the wished error, and every outlet within the band.
    pub good: bool,
}

/// One catch.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct CatchRow {
    /// Turns of the shaft.
    pub turns: f64,
    /// Shaft speed, turns/s.
    pub turns_per_s: Option<f64>,
    /// Outlets caught.
    pub caught: u32,
    /// Seed caught, kg.
    pub net_kg: f64,
    /// Mass per turn of the whole shaft, kg.
    pub kg_per_turn: f64,
}

/// The scale against the lightest that it weighed.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Scale {
    /// Its step, kg.
    pub step_kg: f64,
    /// Lightest that was weighed, kg.
    pub lightest_kg: f64,
    /// Step over that, %.
    pub step_pct: f64,
    /// Below 0.2 %.
    pub fine: bool,
    /// Fewest turns at which it is.
    pub turns: f64,
}

/// A shaft that the ground wheel drives: what it lays by these catches.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ground {
    /// Rate, kg/ha.
    pub kg_per_ha: f64,
    /// Lowest accepted, 5 % below the rate for the seed file, kg/ha.
    pub from_kg_per_ha: Option<f64>,
    /// Highest accepted, kg/ha.
    pub to_kg_per_ha: Option<f64>,
}

/// Works a test out.
///
/// # Errors
///
/// [`Fall`] names a catch that makes no meter curve with the others.
pub fn found(test: &Test) -> Result<Found, Fall> {
    let outlet_spread = outlets(test);
    let uncaught = outlet_spread.as_ref().and_then(|it| it.uncaught_within_pct);
    let scale = scale(test);
    let lightest_catch = test.catches.iter().map(|it| it.net_kg).reduce(f64::min);
    let half_step = test.scale_kg.zip(lightest_catch).map(|(step, kg)| 0.5 * step / kg);
    let besides = Besides {
        known: uncaught.is_some() || test.catches.iter().all(|it| it.caught >= test.outlets),
        outlets: uncaught.unwrap_or(0.0) / 100.0,
        scale: half_step.unwrap_or(0.0),
    };
    let speeds = speeds(test, besides)?;
    let widest = |most: f64, it: Option<f64>| it.map(|it| most.max(it));
    let uncertainty_pct = speeds.iter().try_fold(0.0, |most, it| widest(most, it.uncertainty_pct));
    let inside = outlet_spread.as_ref().is_none_or(|it| it.outside == 0);
    Ok(Found {
        name: test.name.clone(),
        demo: test.demo,
        date: test.date.clone(),
        outlets: test.outlets,
        rate_kg_per_ha: test.rate_kg_per_ha,
        wished_pct: 100.0 * test.wished,
        catches: test.catches.iter().map(|it| row(it, test.outlets)).collect(),
        uncertainty_pct,
        ground: ground(test, &speeds),
        good: inside && speeds.iter().all(|it| it.enough),
        speeds,
        outlet_spread,
        scale,
    })
}

/// One catch in its row.
fn row(weighing: &Weighing, outlets: u32) -> CatchRow {
    CatchRow {
        turns: weighing.turns,
        turns_per_s: weighing.shaft_turns_per_s,
        caught: weighing.caught,
        net_kg: weighing.net_kg,
        kg_per_turn: weighing.kg_per_turn(outlets),
    }
}

/// The scale against the lightest that it weighed, in proportion to the turns.
fn scale(test: &Test) -> Option<Scale> {
    let step_kg = test.scale_kg?;
    let per_turn = |it: &&Weighing| it.lightest_kg() / it.turns;
    let lightest =
        test.catches.iter().min_by(|a, b| a.lightest_kg().total_cmp(&b.lightest_kg()))?;
    let slowest = test.catches.iter().min_by(|a, b| per_turn(a).total_cmp(&per_turn(b)))?;
    let share = step_kg / lightest.lightest_kg();
    Some(Scale {
        step_kg,
        lightest_kg: lightest.lightest_kg(),
        step_pct: 100.0 * share,
        fine: share < SCALE_SHARE,
        turns: turns_for_scale(step_kg, slowest.lightest_kg(), slowest.turns, SCALE_SHARE),
    })
}

/// What a ground-driven shaft lays; it has no one mass per turn where several speeds were caught.
fn ground(test: &Test, speeds: &[Speed]) -> Option<Ground> {
    let (drive, [speed]) = (test.ground?, speeds) else { return None };
    let area = area_m2(drive.width_m, drive.travel_per_turn_m);
    let accepted = test.rate_kg_per_ha.map(|rate| band(rate, OUTLET_BAND));
    Some(Ground {
        kg_per_ha: rate_kg_per_ha(speed.kg_per_turn, area),
        from_kg_per_ha: accepted.map(|it| it.0),
        to_kg_per_ha: accepted.map(|it| it.1),
    })
}
