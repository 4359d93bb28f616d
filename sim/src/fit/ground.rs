//! Fits the ground run: pulses per metre of every pass over the tape, with the receiver's way beside it.
//!
//! `pulses per metre = pulses from mark to mark / tape`; the receiver's way is the integral of its speed.

use super::error::FitError;
use super::result::Measured;
use super::run_log::RunLog;
use crate::unit::{LENGTH, PULSES_PER_LENGTH, System};
use serde::Serialize;
use std::fmt;

/// Which way a pass went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Along the tape.
    There,
    /// Against it.
    Back,
}

/// One pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Pass {
    /// Which way it went.
    pub way: Way,
    /// Length by the tape, m.
    pub tape_m: f64,
    /// Ground pulses over it.
    pub pulses: f64,
    /// Its length by the receiver's speed, m.
    pub receiver_m: Option<f64>,
}

/// The passes together.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GroundFit {
    /// Pulses per metre, 1/m.
    pub pulses_per_m: Measured,
    /// The passes.
    pub passes: Vec<Pass>,
    /// What to be careful about, in words.
    pub cautions: Vec<String>,
}

/// Fewest pulses of a pass.
const LEAST_PULSES: f64 = 50.0;
/// Scatter, and difference of there and back, that need a word: shares.
const SCATTER: f64 = 0.003;
const SLOPE: f64 = 0.005;
/// Difference of receiver and tape that needs a word.
const RECEIVER: f64 = 0.01;
/// A pass of which they differ by more is no pass over that tape.
const CONTRADICTED: f64 = 0.1;
/// Passes each way.
const WANTED: usize = 3;

/// One pass: between the first two presses of the mark button, or from standstill to standstill without them.
///
/// # Errors
///
/// [`FitError::TooFewPulses`] when there is no ground speed sensor to speak of, [`FitError::Contradicted`] when the
/// receiver says by far another length than the tape.
pub fn pass(log: &RunLog, tape_m: f64, way: Way) -> Result<Pass, FitError> {
    let marks: Vec<f64> = log.rows(["marks"]).map(|row| row[0]).collect();
    let last = marks.last().copied().unwrap_or(0.0);
    let within = |mark: f64| last < 2.0 || (1.0..2.0).contains(&mark);
    let rows = log.rows(["t_s", "ground", "speed_mps", "marks"]).filter(|row| within(row[3]));
    let (mut first, mut end) = (None, 0.0);
    let (mut before_s, mut receiver_m, mut heard) = (f64::NAN, 0.0, false);
    for [t_s, ground, speed_mps, _] in rows {
        first.get_or_insert(ground);
        end = ground;
        if before_s.is_finite() {
            // Before its first sample a receiver says nothing, and the drill stands.
            let known = speed_mps.is_finite();
            heard |= known;
            let metres = if known || heard { speed_mps * (t_s - before_s) } else { 0.0 };
            receiver_m += metres;
        }
        before_s = t_s;
    }
    let receiver_m = Some(receiver_m).filter(|metres| heard && metres.is_finite());
    let pulses = end - first.unwrap_or(0.0);
    if pulses < LEAST_PULSES {
        return Err(FitError::TooFewPulses { have: pulses });
    }
    match receiver_m {
        Some(receiver_m) if (receiver_m / tape_m - 1.0).abs() > CONTRADICTED => {
            Err(FitError::Contradicted { tape_m, receiver_m })
        }
        _ => Ok(Pass { way, tape_m, pulses, receiver_m }),
    }
}

/// All passes together.
pub fn ground(passes: Vec<Pass>) -> Option<GroundFit> {
    let each = |way: Option<Way>| {
        let taken = passes.iter().filter(|pass| way.is_none_or(|it| pass.way == it));
        let values: Vec<f64> = taken.map(|pass| pass.pulses / pass.tape_m).collect();
        (Measured::mean(&values), values.len())
    };
    let pulses_per_m = each(None).0?;
    let mut cautions = Vec::new();
    let (there, back) = (each(Some(Way::There)), each(Some(Way::Back)));
    if there.1 < WANTED || back.1 < WANTED {
        cautions
            .push(format!("{} passes there and {} back; three each are wanted", there.1, back.1));
    }
    if let (Some(there), Some(back)) = (there.0, back.0) {
        let apart = (there.value - back.value).abs() / pulses_per_m.value;
        if apart > SLOPE {
            cautions.push(format!(
                "there and back differ by {:.2} %: a slope, wind in a radar, or a wheel that slips",
                100.0 * apart
            ));
        }
    }
    // What a slope does is no scatter.
    let ways = [there.0, back.0].into_iter().flatten();
    let scatter = ways.filter_map(|way| way.scatter).fold(0.0, f64::max) / pulses_per_m.value;
    if scatter > SCATTER {
        cautions.push(format!(
            "the passes scatter by {:.2} %; look at wheel and tape",
            100.0 * scatter
        ));
    }
    let off = |pass: &Pass| pass.receiver_m.map(|metres| metres / pass.tape_m - 1.0);
    let offs: Vec<f64> = passes.iter().filter_map(off).collect();
    if let Some(off) = Measured::mean(&offs).filter(|it| it.value.abs() > RECEIVER) {
        cautions.push(format!(
            "by the receiver the way is {:+.2} % off the tape; see whether the whole tape was driven",
            100.0 * off.value
        ));
    }
    Some(GroundFit { pulses_per_m, passes, cautions })
}

impl GroundFit {
    /// The fit in words, in the units of `system`.
    ///
    /// # Errors
    ///
    /// That of the writer.
    pub fn write(&self, f: &mut dyn fmt::Write, system: System) -> fmt::Result {
        let Measured { value, scatter } = self.pulses_per_m;
        let unit = PULSES_PER_LENGTH.preferred(system);
        let per = |per_m: f64| unit.map_or(per_m, |unit| unit.from_own(per_m));
        let symbol = unit.map_or("/m", |unit| unit.symbol());
        let length = |m: f64| LENGTH.fixed(m, system, 2);
        let scatter = scatter.map_or(String::new(), |it| format!(" ± {:.3}", per(it)));
        let (value, passes) = (per(value), self.passes.len());
        writeln!(f, "Ground pulses    {value:.3}{scatter} {symbol} from {passes} passes")?;
        for Pass { way, tape_m, pulses, receiver_m } in &self.passes {
            let way = if *way == Way::There { "there" } else { "back " };
            let receiver =
                receiver_m.map_or(String::new(), |it| format!(", {} by the receiver", length(it)));
            writeln!(
                f,
                "                 {way} {}: {pulses:.0} pulses, {:.3} {symbol}{receiver}",
                length(*tape_m),
                per(pulses / tape_m)
            )?;
        }
        self.cautions.iter().try_for_each(|caution| writeln!(f, "Careful: {caution}."))
    }
}
