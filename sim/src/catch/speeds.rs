//! Catches at one shaft speed, taken together.

use super::{MOST_SPEEDS, Test, Weighing};
use crate::desk::catch::{mean_g as mean, scatter_pct};
use crate::desk::confidence::{cv_interval, half_width, weighings_needed};
use serde::Serialize;

/// Shaft speeds this near to each other are one, share.
const SAME_SPEED: f64 = 0.02;

/// What the catches at one shaft speed say.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Speed {
    /// Shaft speed, turns/s; none where it was not noted.
    pub turns_per_s: Option<f64>,
    /// Number of catches.
    pub catches: u32,
    /// Mean mass per turn of the whole shaft, kg.
    pub kg_per_turn: f64,
    /// Scatter from catch to catch: sample standard deviation over the mean, %; none below two.
    pub cv_pct: Option<f64>,
    /// Lower end of its 95 % interval, %.
    pub cv_from_pct: Option<f64>,
    /// Upper end; none also where so few catches set no bound.
    pub cv_to_pct: Option<f64>,
    /// Half the 95 % interval of the mean by the scatter between catches alone, %.
    pub mean_within_pct: Option<f64>,
    /// The same with the outlets that were not caught and the scale's step, %: the error of the rate.
    pub uncertainty_pct: Option<f64>,
    /// The uncertainty is within the wished error.
    pub enough: bool,
    /// More catches that would bring it there if the scatter stays as it is; none where no number would, or
    /// nothing is known of the scatter.
    pub more_catches: Option<u32>,
}

/// A meter curve that no shaft could follow.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fall {
    /// Number of the catch to blame, from 0.
    pub catch: usize,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

/// What besides the scatter between catches makes the mean unsure.
#[derive(Clone, Copy, Debug)]
pub(super) struct Besides {
    /// Something is known of outlets that were not caught, or there are none.
    pub(super) known: bool,
    /// Half the 95 % interval by the outlets that were not caught, share.
    pub(super) outlets: f64,
    /// Half the scale's step over the lightest catch, share.
    pub(super) scale: f64,
}

impl Besides {
    /// The whole, from the part of the catches.
    fn uncertainty(self, catches: f64) -> f64 {
        catches.hypot(self.outlets).max(self.scale)
    }
}

/// Groups the catches of a test by shaft speed, slowest first.
pub(super) fn speeds(test: &Test, besides: Besides) -> Result<Vec<Speed>, Fall> {
    let groups = groups(test)?;
    let found: Vec<Speed> = groups.iter().map(|group| speed(test, group, besides)).collect();
    let flow = |it: &Speed| it.turns_per_s.unwrap_or(1.0) * it.kg_per_turn;
    if let Some(at) = (1..found.len()).find(|&at| flow(&found[at]) <= flow(&found[at - 1])) {
        let catch = groups[at].first().copied().unwrap_or_default();
        return Err(Fall {
            catch,
            what: "the shaft turns faster here than at another speed, and lays no more in a second".to_owned(),
            remedy: "look at both weighings; a meter that is full at that speed works no faster: catch below it".to_owned(),
        });
    }
    Ok(found)
}

/// Numbers of the catches at each speed, slowest first.
fn groups(test: &Test) -> Result<Vec<Vec<usize>>, Fall> {
    let speed = |at: usize| test.catches[at].shaft_turns_per_s;
    let noted = (0..test.catches.len()).filter(|&at| speed(at).is_some()).count();
    if noted != 0 && noted != test.catches.len() {
        let catch = (0..test.catches.len()).find(|&at| speed(at).is_none()).unwrap_or_default();
        let what = "this catch names no shaft speed, others do".to_owned();
        return Err(Fall {
            catch,
            what,
            remedy: "give shaft in every catch, or in none".to_owned(),
        });
    }
    let mut order: Vec<usize> = (0..test.catches.len()).collect();
    order.sort_by(|&a, &b| speed(a).unwrap_or(0.0).total_cmp(&speed(b).unwrap_or(0.0)));
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for at in order {
        match groups.last_mut() {
            Some(group) if same(speed(group[0]), speed(at)) => group.push(at),
            _ => groups.push(vec![at]),
        }
    }
    if groups.len() > MOST_SPEEDS {
        let catch = groups[MOST_SPEEDS][0];
        let what = format!("{} shaft speeds are too many", groups.len());
        let remedy = format!(
            "a meter curve has {MOST_SPEEDS} points at most; repeat catches at fewer speeds"
        );
        return Err(Fall { catch, what, remedy });
    }
    Ok(groups)
}

/// Whether two catches were at one speed.
fn same(first: Option<f64>, other: Option<f64>) -> bool {
    let (first, other) = (first.unwrap_or(1.0), other.unwrap_or(1.0));
    other <= first * (1.0 + SAME_SPEED)
}

/// What the catches at one speed say.
fn speed(test: &Test, group: &[usize], besides: Besides) -> Speed {
    let catches: Vec<&Weighing> = group.iter().map(|&at| &test.catches[at]).collect();
    let masses: Vec<f64> = catches.iter().map(|it| it.kg_per_turn(test.outlets)).collect();
    let turns: Vec<f64> = catches.iter().filter_map(|it| it.shaft_turns_per_s).collect();
    let count = u32::try_from(masses.len()).unwrap_or(u32::MAX);
    // Weighings that are alike to the scale's step scatter by what the step hides, its length over the root of 12; without
    // a step, nothing is known of it.
    let hidden = besides.scale / 3.0_f64.sqrt();
    let cv = (count > 1).then(|| (scatter_pct(&masses) / 100.0).max(hidden)).filter(|&cv| cv > 0.0);
    let interval = cv.and_then(|cv| cv_interval(cv, count));
    let within = cv.and_then(|cv| half_width(cv, count));
    let uncertainty = within.filter(|_| besides.known).map(|it| besides.uncertainty(it));
    let pct = |share: f64| 100.0 * share;
    Speed {
        turns_per_s: (!turns.is_empty()).then(|| mean(&turns)),
        catches: count,
        kg_per_turn: mean(&masses),
        cv_pct: cv.map(pct),
        cv_from_pct: interval.map(|it| pct(it.0)),
        cv_to_pct: interval.and_then(|it| it.1).map(pct),
        mean_within_pct: within.map(pct),
        uncertainty_pct: uncertainty.map(pct),
        enough: uncertainty.is_some_and(|it| it <= test.wished),
        more_catches: cv.and_then(|cv| more(cv, count, test.wished, besides)),
    }
}

/// More catches until the mean is known to the wished error.
fn more(cv: f64, count: u32, wished: f64, besides: Besides) -> Option<u32> {
    let left = wished * wished - besides.outlets * besides.outlets;
    if !besides.known || left <= 0.0 || besides.scale > wished {
        return None;
    }
    Some(weighings_needed(cv, left.sqrt(), count)? - count)
}
