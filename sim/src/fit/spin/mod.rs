//! Fits the spin run: opening up and down, hysteresis, valve map, gain, lag, dead time, and what is wrong.
//!
//! ```text
//!  spin log ─► holds ─► lag, dead time (whole steps)
//!                └────► speeds ─► hysteresis (both branches on one line) ─► opening ─► map's middle
//! ```

mod branch;
mod rest;
mod smooth;
mod swing;
mod trouble;

pub use trouble::Trouble;

use super::dynamics::Dynamics;
use super::error::FitError;
use super::hold::{Holds, Sight};
use super::log::{Row, StepLog};
use super::result::{Fit, FitPoint, Measured};
use super::run_log::RunLog;
use serde::Serialize;
use smooth::Sample;
use std::fmt;
use swing::Swing;

/// Steps of this share of full speed and more tell lag and dead time.
const WHOLE_STEP: f64 = 0.25;
/// Points of the map, with the opening.
const POINTS: u32 = 12;
/// One over the variance of an edge whose instant is known, 1/edges².
const SURE: f64 = 100.0;
/// Map and swing are looked for in turn so often.
const SWING_ROUNDS: u32 = 3;
/// Fewer edges are none.
const NO_EDGES: f64 = 10.0;

/// What is asked of the drive; what is not known is not judged.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wanted {
    /// Lowest shaft speed wanted, turns/s.
    pub lowest_turns_per_s: Option<f64>,
    /// Highest shaft speed wanted, turns/s.
    pub highest_turns_per_s: Option<f64>,
    /// The side whose shaft a person saw turning, from 0.
    pub seen_turning: Option<usize>,
}

/// A drive as built.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SpinFit {
    /// The side, from 0.
    pub side: usize,
    /// Map, gain, lag, dead time; the map is the middle of both branches.
    #[serde(flatten)]
    pub fit: Fit,
    /// Width of the hysteresis, in command.
    pub hysteresis: Measured,
    /// Command at which the shaft starts on the way up.
    pub opening_up: f64,
    /// Command at which it stops on the way down.
    pub opening_down: f64,
    /// Lowest speed at which the shaft turns smoothly, turns/s.
    pub smooth_from_turns_per_s: f64,
    /// Swing of the speed and its period, where one was found and taken off: share and s.
    pub swing: Option<(f64, f64)>,
    /// What is wrong.
    pub troubles: Vec<Trouble>,
}

/// Fits a spin run.
///
/// # Errors
///
/// [`FitError`] says what the log lacks, or which shaft turned instead.
pub fn spin(log: &RunLog, wanted: Wanted) -> Result<SpinFit, FitError> {
    let back = right_shaft(log, wanted)?;
    let mut holds = holds(log)?;
    let raw = holds.clone();
    let mut dynamics = Dynamics::fit(&mut holds, WHOLE_STEP)?;
    let mut swing = None;
    for _ in 0..SWING_ROUNDS {
        let Some(found) = swinging(&raw, &holds) else { break };
        swing = Some(found);
        holds = found.taken_off(&raw);
        dynamics = Dynamics::fit(&mut holds, WHOLE_STEP)?;
    }
    let by_repeat = |of: &dyn Fn(Option<usize>) -> f64| {
        let each: Vec<f64> = (0..holds.repeats()).map(|repeat| of(Some(repeat))).collect();
        Measured::over(of(None), &each)
    };
    let hysteresis = by_repeat(&|repeat| branch::hysteresis(&holds, repeat));
    let samples = branch::samples(&holds, hysteresis.value);
    rises(&samples)?;
    let rest = |repeat| rest::opening(&holds, hysteresis.value, repeat);
    let opening = by_repeat(&|repeat| rest(repeat).map_or(f64::NAN, |it| it.0));
    if !opening.value.is_finite() {
        return Err(FitError::OneSpeed);
    }
    let map = map(&samples, opening.value)?;
    let full = map.last().map_or(Measured { value: 0.0, scatter: None }, |it| it.turns_per_s);
    let mut troubles = Vec::new();
    troubles.extend(trouble::air(&dynamics.each));
    troubles.extend(trouble::lost(&holds));
    troubles.extend(back);
    troubles.extend(also_turns(log));
    let smooth_from_turns_per_s = trouble::smooth_from(&holds);
    troubles.extend(trouble::size(full, smooth_from_turns_per_s, wanted));
    Ok(SpinFit {
        side: log.side,
        fit: Fit::spun(&holds, map, opening, &dynamics),
        hysteresis,
        opening_up: opening.value + hysteresis.value / 2.0,
        opening_down: opening.value - hysteresis.value / 2.0,
        smooth_from_turns_per_s,
        swing: swing.map(|it| (it.amplitude(), it.period_s())),
        troubles,
    })
}

/// The swing of the speeds as they were seen, about the map of the holds as they are known so far.
fn swinging(raw: &Holds, holds: &Holds) -> Option<Swing> {
    let hysteresis = branch::hysteresis(holds, None);
    let samples = branch::samples(holds, hysteresis);
    let (opening, _) = rest::opening(holds, hysteresis, None)?;
    let knots = smooth::knots(opening, POINTS);
    let above: Vec<Sample> = samples.into_iter().filter(|it| it.spool > opening).collect();
    let (speeds, _) = smooth::through(&above, &knots);
    let mut seen = raw.clone();
    seen.measure(holds.answer_s.0, holds.answer_s.1);
    Swing::of(&seen, &branch::spools(holds, hysteresis), (&knots, &speeds))
}

/// Refuses a log of which another shaft turned, or this one backwards.
fn right_shaft(log: &RunLog, wanted: Wanted) -> Result<Option<Trouble>, FitError> {
    let [edges, back] = log.rows(["edges", "back"]).last().unwrap_or([0.0; 2]);
    let side = log.side + 1;
    if edges < NO_EDGES {
        let most = log.others().into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let Some((other, _)) = most.filter(|it| it.1 >= NO_EDGES) else {
            return Err(FitError::NeverTurned);
        };
        let other = other + 1;
        return Err(match wanted.seen_turning {
            Some(seen) if seen == log.side => FitError::WrongEncoder { side, other },
            Some(_) => FitError::WrongHoses { side, other },
            None => FitError::OtherSide { side, other },
        });
    }
    let share = back / edges;
    if share > 0.5 {
        return Err(FitError::TurnsBackwards { side });
    }
    Ok((share > 0.02).then_some(Trouble::SomeBackwards { share }))
}

/// Another side that turned with this one.
fn also_turns(log: &RunLog) -> Option<Trouble> {
    let edges = log.rows(["edges"]).last().map_or(0.0, |row| row[0]);
    let other = log.others().into_iter().find(|it| it.1 > 0.02 * edges && it.1 >= NO_EDGES);
    other.map(|(side, _)| Trouble::AlsoTurns { side })
}

/// The holds of the log, with edges at their own instants.
fn holds(log: &RunLog) -> Result<Holds, FitError> {
    let (mut rows, mut sights, mut before) = (Vec::new(), Vec::new(), 0.0);
    for [t_s, command, edges, edge_s] in log.rows(["t_s", "command", "edges", "edge_s"]) {
        if edges > before {
            before = edges;
            sights.push(Sight { t_s: edge_s, edges, weight: SURE });
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
        rows.push(Row { t_s, command, edges: edges as u64 });
    }
    Holds::with(&StepLog { encoder_pulses_per_turn: log.encoder_pulses_per_turn, rows }, sights)
}

/// Refuses a map that does not rise by more than its scatter.
fn rises(samples: &[Sample]) -> Result<(), FitError> {
    let fastest = samples.iter().map(|sample| sample.turns_per_s).fold(0.0, f64::max);
    if samples.len() < 8 || !samples.iter().any(|sample| sample.spool > 0.85) {
        return Err(FitError::NoFullCommand);
    }
    // Means of tenths of the command.
    let mean = |tenth: u32| {
        let low = f64::from(tenth) / 10.0;
        let within = |sample: &&Sample| (low..low + 0.1 + 1e-9).contains(&sample.spool);
        let speeds: Vec<f64> = samples.iter().filter(within).map(|it| it.turns_per_s).collect();
        Measured::mean(&speeds).map(|speed| (low + 0.05, speed.value))
    };
    let means: Vec<(f64, f64)> = (0..10).filter_map(mean).collect();
    for pair in means.windows(2) {
        if pair[0].1 - pair[1].1 > 0.03 * fastest {
            let (before, turns_per_s) = (pair[0].1, pair[1].1);
            return Err(FitError::NotRising { command: pair[1].0, turns_per_s, before });
        }
    }
    let (Some(low), Some(high)) = (means.first(), means.last()) else {
        return Err(FitError::OneSpeed);
    };
    if means.len() > 1 && high.1 - low.1 < 0.1 * fastest {
        return Err(FitError::NotRising { command: high.0, turns_per_s: high.1, before: low.1 });
    }
    Ok(())
}

/// The map from above the opening to full command.
fn map(samples: &[Sample], opening: f64) -> Result<Vec<FitPoint>, FitError> {
    let knots = smooth::knots(opening, POINTS);
    let above: Vec<Sample> = samples.iter().filter(|it| it.spool > opening).copied().collect();
    let (speeds, _) = smooth::through(&above, &knots);
    let point = |index: usize| {
        let (low, high) = (knots[index - 1], knots.get(index + 1).copied().unwrap_or(2.0));
        let near = |sample: &&Sample| (low..high).contains(&sample.spool);
        let off = |sample: &Sample| sample.turns_per_s - smooth::at(&knots, &speeds, sample.spool);
        let offs: Vec<f64> = above.iter().filter(near).map(off).collect();
        let scatter = Measured::mean(&offs).and_then(|it| it.scatter);
        let turns_per_s = Measured { value: speeds[index], scatter };
        FitPoint { command: knots[index], turns_per_s }
    };
    let points: Vec<FitPoint> = (1..knots.len()).map(point).collect();
    let falls = |pair: &[FitPoint]| pair[1].turns_per_s.value <= pair[0].turns_per_s.value;
    if let Some(pair) = points.windows(2).find(|pair| falls(pair)) {
        let (before, turns_per_s) = (pair[0].turns_per_s.value, pair[1].turns_per_s.value);
        return Err(FitError::NotRising { command: pair[1].command, turns_per_s, before });
    }
    Ok(points)
}

impl SpinFit {
    /// Nothing is wrong and the edges tell enough.
    pub fn is_sure(&self) -> bool {
        self.troubles.is_empty() && self.fit.is_sure()
    }
}

impl fmt::Display for SpinFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.fit)?;
        writeln!(
            f,
            "Opens at {:.3} on the way up, shuts at {:.3} on the way down (hysteresis {:.3}); the map is their \
             middle.",
            self.opening_up, self.opening_down, self.hysteresis.value
        )?;
        if let Some((share, period_s)) = self.swing {
            writeln!(
                f,
                "The speed swings by ± {:.1} % every {period_s:.1} s (pump or engine); the map is without it.",
                100.0 * share
            )?;
        }
        writeln!(f, "Smooth from {:.3} turns/s up.", self.smooth_from_turns_per_s)?;
        self.troubles.iter().try_for_each(|trouble| writeln!(f, "Wrong: {trouble}."))
    }
}
