//! What a spin run says is wrong with the machine, each with what to look at.

use super::Wanted;
use crate::fit::hold::{Hold, Holds, Level, Sight};
use crate::fit::result::Measured;
use serde::Serialize;
use std::fmt;

/// Something that is wrong, or will be.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Trouble {
    /// Lag or dead time fall over the repeats, or scatter.
    Air {
        /// Lag plus dead time of the first repeat over that of the last.
        first_over_last: f64,
    },
    /// The encoder misses edges at the same place of every turn.
    MissingTooth {
        /// Edges missed a turn.
        per_turn: f64,
    },
    /// The encoder misses edges at odd places.
    PulsesLost {
        /// Share of edges.
        share: f64,
    },
    /// Some edges come from backward turning.
    SomeBackwards {
        /// Share of edges.
        share: f64,
    },
    /// Another side's shaft turned as well.
    AlsoTurns {
        /// The other side, from 0.
        side: usize,
    },
    /// Full speed is far above what is wanted.
    MotorTooLarge {
        /// Full speed over the highest wanted.
        times: f64,
    },
    /// Full speed is below what is wanted, with some to spare.
    MotorTooSmall {
        /// Full speed over the highest wanted.
        times: f64,
    },
    /// The shaft jerks at the lowest speed wanted.
    Jerks {
        /// Lowest smooth speed, turns/s.
        smooth_from_turns_per_s: f64,
    },
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Air { first_over_last } => write!(
                f,
                "air in the oil, or cold oil: the first steps took {first_over_last:.1} times as long as the \
                 last; bleed the lines, run the oil warm, measure again"
            ),
            Self::MissingTooth { per_turn } => write!(
                f,
                "the encoder misses {per_turn:.1} edges in every turn at the same place; look at its disc and \
                 its gap, or correct its pulses per turn"
            ),
            Self::PulsesLost { share } => write!(
                f,
                "pulses are lost: {:.2} % of the edges, at odd places; look at plug, screen and supply of the \
                 encoder",
                share * 100.0
            ),
            Self::SomeBackwards { share } => write!(
                f,
                "{:.1} % of the edges say that the shaft turned backwards; look at the second channel",
                share * 100.0
            ),
            Self::AlsoTurns { side } => write!(
                f,
                "the shaft of side {} turned as well; look for a valve that leaks or shares its oil",
                side + 1
            ),
            Self::MotorTooLarge { times } => write!(
                f,
                "the shaft turns {times:.1} times as fast as is ever wanted at full command: the motor is too \
                 large or the gearing too fast, and little of the valve is used"
            ),
            Self::MotorTooSmall { times } => write!(
                f,
                "the shaft turns only {times:.2} times as fast as is wanted at full command; look at the oil \
                 flow, the gearing, the size of the motor"
            ),
            Self::Jerks { smooth_from_turns_per_s } => write!(
                f,
                "the shaft jerks below {smooth_from_turns_per_s:.3} turns/s, and slower is wanted; the motor is \
                 too large for this speed, or something rubs"
            ),
        }
    }
}

/// Lag plus dead time of the first repeat may be this many times that of the last.
const SLOW: f64 = 1.25;
/// Full speed over the highest wanted: less is too small, more too large.
const ROOM: (f64, f64) = (1.1, 3.0);
/// A step of the count that comes this much too late has missed an edge.
const MISSED: std::ops::Range<f64> = 0.6..1.5;
/// Speeds between edges may differ by this share in a smooth hold.
const SMOOTH: f64 = 0.25;

/// Air: the answers get faster from repeat to repeat.
pub(super) fn air(each: &[(f64, f64)]) -> Option<Trouble> {
    let whole = |it: &(f64, f64)| it.0 + it.1;
    let (first, last) = (whole(each.first()?), whole(each.last()?));
    (first > SLOW * last).then_some(Trouble::Air { first_over_last: first / last })
}

/// Motor and gearing against the speeds that are wanted.
pub(super) fn size(full: Measured, smooth_from: f64, wanted: Wanted) -> Vec<Trouble> {
    let mut found = Vec::new();
    if let Some(highest) = wanted.highest_turns_per_s {
        let times = full.value / highest;
        if times < ROOM.0 {
            found.push(Trouble::MotorTooSmall { times });
        } else if times > ROOM.1 {
            found.push(Trouble::MotorTooLarge { times });
        }
    }
    if wanted.lowest_turns_per_s.is_some_and(|lowest| lowest < 0.9 * smooth_from) {
        found.push(Trouble::Jerks { smooth_from_turns_per_s: smooth_from });
    }
    found
}

/// The sights of the settled part of a hold that turned.
fn settled<'a>(holds: &'a Holds, hold: &Hold) -> &'a [Sight] {
    let Level::Turning(_) = hold.level else { return &[] };
    holds.between(hold.from_s + 0.5 * (hold.to_s - hold.from_s), hold.to_s)
}

/// Edges that were missed, by the time between the others.
pub(super) fn lost(holds: &Holds) -> Option<Trouble> {
    let pulses = f64::from(holds.pulses_per_turn);
    let (mut edges, mut missed, mut places) = (0.0, 0.0, Vec::new());
    for hold in &holds.list {
        for window in settled(holds, hold).windows(4) {
            let [a, b, c, d] = window else { continue };
            let count = c.edges - b.edges;
            // The speed from the neighbours to both sides, so that a swinging pump does not matter.
            let sides = (b.edges - a.edges + d.edges - c.edges) / (b.t_s - a.t_s + d.t_s - c.t_s);
            edges += count;
            if count < 6.0 && MISSED.contains(&((c.t_s - b.t_s) * sides - count)) {
                missed += 1.0;
                places.push(c.edges + missed);
            }
        }
    }
    let share = missed / f64::max(edges, 1.0);
    if share < 0.2 / pulses && share < 0.002 || places.len() < 8 {
        return None;
    }
    let same = one_place(&places, pulses);
    Some(if same {
        Trouble::MissingTooth { per_turn: share * pulses }
    } else {
        Trouble::PulsesLost { share }
    })
}

/// Most gaps between the misses are whole turns, give or take a few edges (a missed one is not counted).
fn one_place(places: &[f64], pulses: f64) -> bool {
    let whole = |pair: &&[f64]| {
        let gap = pair[1] - pair[0];
        let turns = (gap / pulses).round().max(1.0);
        (gap - turns * pulses).abs() <= 0.03 * pulses + 2.0
    };
    let near: Vec<&[f64]> =
        places.windows(2).filter(|pair| pair[1] - pair[0] < 3.5 * pulses).collect();
    let hits = near.iter().filter(|pair| whole(pair)).count();
    2 * hits > near.len() && near.len() >= 4
}

/// The lowest speed from which on the shaft turns smoothly, turns/s.
pub(super) fn smooth_from(holds: &Holds) -> f64 {
    let pulses = f64::from(holds.pulses_per_turn);
    let mut speeds: Vec<(f64, bool)> = Vec::new();
    for hold in &holds.list {
        let (Level::Turning(per_s), sights) = (hold.level, settled(holds, hold)) else { continue };
        if sights.len() < 5 {
            continue;
        }
        let rate = |pair: &[Sight]| (pair[1].edges - pair[0].edges) / (pair[1].t_s - pair[0].t_s);
        let apart = |pair: &[Sight]| (rate(pair) / per_s - 1.0).powi(2);
        #[expect(clippy::cast_precision_loss, reason = "some hundred sights")]
        let count = (sights.len() - 1) as f64;
        let spread = (sights.windows(2).map(apart).sum::<f64>() / count).sqrt();
        speeds.push((per_s / pulses, spread < SMOOTH));
    }
    speeds.sort_by(|a, b| b.0.total_cmp(&a.0));
    // From the fastest down to the first two that jerk: one may be a bad moment.
    let jerk = speeds.windows(2).position(|pair| !pair[0].1 && !pair[1].1);
    let last = jerk.map_or_else(|| speeds.last(), |place| speeds.get(place.saturating_sub(1)));
    last.map_or(0.0, |speed| speed.0)
}
