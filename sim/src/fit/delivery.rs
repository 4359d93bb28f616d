//! Fits the delivery run: the time from the shaft's start to the seed in the soil.
//!
//! ```text
//!  by eye     delay = mean(press − command − θ) − mean(press − lamp)
//!  by sensor  delay = mean(seen − command − θ)
//! ```
//!
//! The shaft begins to turn a dead time θ after the command, and slowly: the first seed of an outlet comes when it has
//! turned half the way from one of its seeds to the next, `x(t) = n (t − τ1 (1 − e^(−t/τ1)))` after θ. What a person is late by is in both means and goes
//! out. A press that came too soon, too late or not at all is left out, and so is one far from the rest.

use super::error::FitError;
use super::result::Measured;
use super::run_log::RunLog;
use serde::Serialize;
use std::fmt;

/// The delay of one side.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct DeliveryFit {
    /// The side, from 0.
    pub side: usize,
    /// Time from meter to soil, s.
    pub delay_s: Measured,
    /// Standard deviation of that mean, s.
    pub open_s: f64,
    /// Starts of the shaft that were used.
    pub starts: usize,
    /// Reaction of the person, s; none where the tube sensor told.
    pub reaction_s: Option<Measured>,
    /// What to be careful about, in words.
    pub cautions: Vec<String>,
}

/// Nobody reacts faster, s.
const TOO_SOON_S: f64 = 0.08;
/// A press later than this after the lamp, or a seed later than this after the shaft, belongs to neither, s.
const LAMP_S: f64 = 1.0;
const SEED_S: f64 = 3.0;
/// What the promise leaves open, s, at so many standard deviations.
const PROMISE_S: f64 = 0.05;
const SIGMAS: f64 = 3.5;
/// A row is read half of this late in the mean, s.
const ROW_S: f64 = 0.01;
/// Fewest starts.
const LEAST: usize = 3;

/// What is known of the drive and the outlet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Known {
    /// Dead time θ, s.
    pub dead_time_s: f64,
    /// Lag τ1, s.
    pub lag_s: f64,
    /// Seeds of one turn of the shaft at the outlet that is watched, where they were counted.
    pub seeds_per_turn: Option<f64>,
}

/// Fits a delivery run.
///
/// # Errors
///
/// [`FitError::NeverTurned`] when the encoder gave no edge, [`FitError::TooFewStarts`] when too little was seen, [`FitError::NoReaction`] when nothing tells how late the
/// person is.
pub fn delivery(log: &RunLog, known: Known) -> Result<DeliveryFit, FitError> {
    let times = Times::of(log);
    if times.edges < 1.0 {
        return Err(FitError::NeverTurned);
    }
    let dead_time_s = known.dead_time_s + times.first_seed_s(log, known);
    let starts: Vec<f64> = times.starts.iter().map(|start| start + dead_time_s).collect();
    let by_sensor = after(&starts, &times.seen, (0.0, SEED_S));
    let reaction = after(&times.lamps, &times.presses, (TOO_SOON_S, LAMP_S));
    let sensor = by_sensor.len() >= LEAST;
    let seeds = if sensor {
        by_sensor.iter().map(|late| late - ROW_S / 2.0).collect()
    } else {
        after(&starts, &times.presses, (TOO_SOON_S, SEED_S))
    };
    let seeds = near(&seeds);
    let reaction = near(&reaction);
    if seeds.len() < LEAST {
        return Err(FitError::TooFewStarts { have: seeds.len(), need: LEAST });
    }
    if !sensor && reaction.len() < LEAST {
        return Err(FitError::NoReaction);
    }
    let seen = Measured::over(mean(&seeds), &seeds);
    let person = (!sensor).then(|| Measured::over(mean(&reaction), &reaction));
    let value = seen.value - person.map_or(0.0, |person| person.value);
    let open_s = (square_open(&seeds) + if sensor { 0.0 } else { square_open(&reaction) }).sqrt();
    let mut cautions = Vec::new();
    if SIGMAS * open_s > PROMISE_S {
        cautions.push(format!(
            "the trials leave the delay open by {:.0} ms; do more of them",
            1000.0 * SIGMAS * open_s
        ));
    }
    let left_out = times.starts.len() - seeds.len();
    if 4 * left_out > times.starts.len() {
        cautions.push(format!("{left_out} of {} starts told nothing", times.starts.len()));
    }
    Ok(DeliveryFit {
        side: log.side,
        delay_s: Measured { value: value.max(0.0), scatter: seen.scatter },
        open_s,
        starts: seeds.len(),
        reaction_s: person,
        cautions,
    })
}

/// What happened when.
#[derive(Debug, Default)]
struct Times {
    /// How long the shaft was driven, s, and its edges.
    driven_s: f64,
    edges: f64,
    starts: Vec<f64>,
    lamps: Vec<f64>,
    presses: Vec<f64>,
    seen: Vec<f64>,
}

impl Times {
    fn of(log: &RunLog) -> Self {
        let mut times = Self::default();
        let (mut before, mut before_s) = ([0.0, 0.0, 0.0, 0.0], 0.0);
        for [t_s, command, lamp, marks, seen, edges] in
            log.rows(["t_s", "command", "lamp", "marks", "seen", "edges"])
        {
            if before[0] > 0.0 {
                times.driven_s += t_s - before_s;
            }
            (times.edges, before_s) = (edges, t_s);
            let now = [f64::from(u8::from(command > 0.0)), lamp, marks, seen];
            let lists = [&mut times.starts, &mut times.lamps, &mut times.presses, &mut times.seen];
            for ((list, now), before) in lists.into_iter().zip(now).zip(before) {
                if now > before {
                    list.push(t_s);
                }
            }
            before = now.map(|it| if it.is_finite() { it } else { 0.0 });
        }
        times
    }
}

impl Times {
    /// Time from the first motion of the shaft to the first seed in the mean, s.
    fn first_seed_s(&self, log: &RunLog, known: Known) -> f64 {
        let Some(seeds) = known.seeds_per_turn else { return 0.0 };
        let turns = self.edges / f64::from(log.encoder_pulses_per_turn);
        // What the lag owes at a start it gives back at the stop.
        let turns_per_s = turns / self.driven_s;
        let turned =
            |t_s: f64| turns_per_s * (t_s - known.lag_s * (1.0 - libm::exp(-t_s / known.lag_s)));
        let mut t_s = 0.0;
        while t_s < 1.0 && turned(t_s) < 0.5 / seeds {
            t_s += 0.001;
        }
        t_s
    }
}

/// For each instant the time to the first event after it, if that is within the range.
fn after(instants: &[f64], events: &[f64], (from, to): (f64, f64)) -> Vec<f64> {
    let first = |instant: &f64| {
        let late = events.iter().map(|event| event - instant).find(|late| *late > 0.0)?;
        (from..to).contains(&late).then_some(late)
    };
    instants.iter().filter_map(first).collect()
}

/// Those within 3.5 robust standard deviations of the median (1.4826 times the median deviation).
fn near(values: &[f64]) -> Vec<f64> {
    let middle = median(values);
    let off: Vec<f64> = values.iter().map(|value| (value - middle).abs()).collect();
    let spread = (1.4826 * median(&off)).max(ROW_S);
    values.iter().copied().filter(|value| (value - middle).abs() <= 3.5 * spread).collect()
}

fn median(values: &[f64]) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() / 2).copied().unwrap_or(0.0)
}

fn mean(values: &[f64]) -> f64 {
    Measured::mean(values).map_or(0.0, |it| it.value)
}

/// Square of the standard deviation of the mean.
fn square_open(values: &[f64]) -> f64 {
    let scatter = Measured::mean(values).and_then(|it| it.scatter).unwrap_or(ROW_S);
    #[expect(clippy::cast_precision_loss, reason = "some tens of trials")]
    let count = values.len() as f64;
    scatter * scatter / count
}

impl DeliveryFit {
    /// Two runs of one side together, each with the weight of what it leaves open.
    #[must_use]
    pub fn with(self, other: &Self) -> Self {
        let (one, two) = (self.open_s.powi(-2), other.open_s.powi(-2));
        let mean = |a: f64, b: f64| (one * a + two * b) / (one + two);
        let both = |a: Measured, b: Measured| Measured {
            value: mean(a.value, b.value),
            scatter: a.scatter.zip(b.scatter).map(|(a, b)| mean(a, b)),
        };
        let apart = (self.delay_s.value - other.delay_s.value).abs();
        let open_s = (one + two).powf(-0.5);
        let mut cautions = Vec::new();
        if apart > SIGMAS * self.open_s.hypot(other.open_s) {
            cautions.push(format!("two runs differ by {:.0} ms", 1000.0 * apart));
        }
        if SIGMAS * open_s > PROMISE_S {
            cautions.push("the trials leave the delay open; do more of them".to_owned());
        }
        Self {
            side: self.side,
            delay_s: both(self.delay_s, other.delay_s),
            open_s,
            starts: self.starts + other.starts,
            reaction_s: self.reaction_s.zip(other.reaction_s).map(|(a, b)| both(a, b)),
            cautions,
        }
    }
}

impl fmt::Display for DeliveryFit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { delay_s, open_s, starts, reaction_s, cautions, .. } = self;
        writeln!(
            f,
            "Delivery delay   {:.3} s, open by {:.3} s, from {starts} starts",
            delay_s.value,
            SIGMAS * open_s
        )?;
        if let Some(reaction) = reaction_s {
            writeln!(
                f,
                "                 the person's reaction, {:.3} s, is taken off",
                reaction.value
            )?;
        }
        cautions.iter().try_for_each(|caution| writeln!(f, "Careful: {caution}."))
    }
}
