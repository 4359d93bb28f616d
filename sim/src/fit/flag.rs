//! Fits the flag run: how far the drill goes from the lift switch to the openers in and out of the ground.
//!
//! ```text
//!  A ──────┬─────────┬──────────────────┬──────────┬───── C     way by pulses, scaled to the tape A to C
//!          │ switch  │ furrow           │ switch   │ furrow
//!          │ in work │ begins           │ lifted   │ ends
//!          └lowering─┘                  └─lifting──┘
//! ```
//!
//! The openers stand at A when the log starts and at C when it ends, so they are where the way is.

use super::error::FitError;
use super::result::Measured;
use super::run_log::RunLog;
use crate::unit::{LENGTH, System};
use serde::Serialize;
use std::fmt;

/// What the tape read, from flag A, m.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Tape {
    /// Where the furrow begins.
    pub furrow_start_m: f64,
    /// Where it ends.
    pub furrow_end_m: f64,
    /// Where the openers stood at the end, flag C.
    pub whole_m: f64,
    /// Where the seed begins, if it was looked for.
    pub seed_start_m: Option<f64>,
}

/// One drive from A to C.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Flags {
    /// Way of the openers into the ground, m.
    pub lowering_m: f64,
    /// Way of the openers out of the ground, m.
    pub lifting_m: f64,
    /// Ground pulses per metre of this drive, 1/m.
    pub pulses_per_m: f64,
    /// Time from the shaft's first edge to where the seed begins: a cross-check of the delivery delay, s.
    pub seed_delay_s: Option<f64>,
}

/// The drives together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FlagFit {
    /// Way of the openers into the ground, m.
    pub lowering_m: Measured,
    /// Way of the openers out of the ground, m.
    pub lifting_m: Measured,
    /// The drives.
    pub drives: Vec<Flags>,
    /// What to be careful about, in words.
    pub cautions: Vec<String>,
}

/// Scatter of a way that needs a word, m.
const SCATTER_M: f64 = 0.08;
/// A row is read half of this late in the mean, s.
const ROW_S: f64 = 0.01;

/// A place on the way: instant, pulses so far.
#[derive(Clone, Copy)]
struct Place {
    t_s: f64,
    pulses: f64,
}

/// One drive.
///
/// # Errors
///
/// [`FitError::TooFewPulses`] without ground pulses, [`FitError::NoLift`] when the switch did not go in and out of
/// work once.
pub fn flags(log: &RunLog, tape: Tape) -> Result<Flags, FitError> {
    let rows: Vec<[f64; 5]> = log.rows(["t_s", "ground", "ground_s", "lift", "edges"]).collect();
    let whole = rows.last().map_or(0.0, |row| row[1]);
    if whole < 50.0 {
        return Err(FitError::TooFewPulses { have: whole });
    }
    let changes: Vec<f64> = (rows.windows(2))
        .filter(|pair| (pair[0][3] > 0.5) != (pair[1][3] > 0.5))
        .map(|pair| pair[1][0] - ROW_S / 2.0)
        .collect();
    // A switch bounces: the first change of each kind is the one, the other comes seconds later.
    let Some(&lowered_s) = changes.first() else { return Err(FitError::NoLift) };
    let lifted = changes.iter().find(|change| **change > lowered_s + 1.0);
    let Some(&lifted_s) = lifted else { return Err(FitError::NoLift) };
    let places = places(&rows);
    let pulses_per_m = whole / tape.whole_m;
    let way_m = |t_s: f64| pulses_at(&places, t_s) / pulses_per_m;
    let first_edge = rows.iter().find(|row| row[4] > 0.0).map(|row| row[0] - ROW_S / 2.0);
    let seed_delay_s = tape
        .seed_start_m
        .and_then(|metres| Some(instant_at(&places, metres * pulses_per_m) - first_edge?));
    Ok(Flags {
        lowering_m: tape.furrow_start_m - way_m(lowered_s),
        lifting_m: tape.furrow_end_m - way_m(lifted_s),
        pulses_per_m,
        seed_delay_s,
    })
}

/// Every pulse whose instant is known.
fn places(rows: &[[f64; 5]]) -> Vec<Place> {
    let mut list: Vec<Place> = Vec::new();
    for &[_, pulses, t_s, ..] in rows {
        if pulses > list.last().map_or(0.0, |last| last.pulses) {
            list.push(Place { t_s, pulses });
        }
    }
    list
}

/// Pulses at an instant, between the nearest.
fn pulses_at(places: &[Place], t_s: f64) -> f64 {
    let next = places.partition_point(|place| place.t_s < t_s);
    let (Some(a), Some(b)) = (next.checked_sub(1).and_then(|at| places.get(at)), places.get(next))
    else {
        return places.last().filter(|last| last.t_s <= t_s).map_or(0.0, |last| last.pulses);
    };
    a.pulses + (b.pulses - a.pulses) * (t_s - a.t_s) / (b.t_s - a.t_s)
}

/// Instant at which so many pulses had come.
fn instant_at(places: &[Place], pulses: f64) -> f64 {
    let next = places.partition_point(|place| place.pulses < pulses);
    let (Some(a), Some(b)) = (next.checked_sub(1).and_then(|at| places.get(at)), places.get(next))
    else {
        return f64::NAN;
    };
    a.t_s + (b.t_s - a.t_s) * (pulses - a.pulses) / (b.pulses - a.pulses)
}

/// All drives together.
pub fn together(drives: Vec<Flags>) -> Option<FlagFit> {
    let over = |of: fn(&Flags) -> f64| Measured::mean(&drives.iter().map(of).collect::<Vec<_>>());
    let (lowering_m, lifting_m) = (over(|it| it.lowering_m)?, over(|it| it.lifting_m)?);
    let mut cautions = Vec::new();
    if drives.len() < 2 {
        cautions.push("one drive only, so nothing tells the scatter".to_owned());
    }
    for (name, way) in [("lowering", lowering_m), ("lifting", lifting_m)] {
        if way.scatter.is_some_and(|scatter| scatter > SCATTER_M) {
            cautions
                .push(format!("{name} scatters by more than {SCATTER_M} m; drive at one speed"));
        }
        if way.value < 0.0 {
            cautions.push(format!(
                "{name} is {:.2} m: the switch reads later than the openers move; move it",
                way.value
            ));
        }
    }
    Some(FlagFit { lowering_m, lifting_m, drives, cautions })
}

impl FlagFit {
    /// The fit in words, in the units of `system`.
    ///
    /// # Errors
    ///
    /// That of the writer.
    pub fn write(&self, f: &mut dyn fmt::Write, system: System) -> fmt::Result {
        let shown = |it: Measured| {
            let length = LENGTH.fixed(it.value, system, 3);
            it.scatter.map_or(length.clone(), |scatter| {
                format!("{length} ± {}", LENGTH.fixed(scatter, system, 3))
            })
        };
        writeln!(
            f,
            "Lowering         {} from {} drives",
            shown(self.lowering_m),
            self.drives.len()
        )?;
        writeln!(f, "Lifting          {}", shown(self.lifting_m))?;
        for delay in self.drives.iter().filter_map(|drive| drive.seed_delay_s) {
            writeln!(f, "                 seed {delay:.2} s after the shaft began to turn")?;
        }
        self.cautions.iter().try_for_each(|caution| writeln!(f, "Careful: {caution}."))
    }
}
