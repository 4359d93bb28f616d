//! The valve map: one point for every command that was held.

use super::error::FitError;
use super::hold::{Hold, Holds, Level};
use super::result::{FitPoint, Measured};

/// A fall of the map by more than this share of full speed is not scatter.
const FALL: f64 = 0.05;

/// Every command that turned the shaft each time it was held, by rising command.
pub(super) fn map(holds: &Holds) -> Result<Vec<FitPoint>, FitError> {
    let points = points(holds, None);
    let [.., _, full] = points[..] else { return Err(FitError::OneSpeed) };
    if full.command < 1.0 {
        return Err(FitError::NoFullCommand);
    }
    let fastest = points.iter().map(|point| point.turns_per_s.value).fold(0.0, f64::max);
    for pair in points.windows(2) {
        let (before, turns_per_s) = (pair[0].turns_per_s.value, pair[1].turns_per_s.value);
        if before - turns_per_s > FALL * fastest {
            return Err(FitError::NotRising { command: pair[1].command, turns_per_s, before });
        }
    }
    let span = full.turns_per_s.value - points[0].turns_per_s.value;
    if span < FALL * fastest {
        let (turns_per_s, before) = (full.turns_per_s.value, points[0].turns_per_s.value);
        return Err(FitError::NotRising { command: full.command, turns_per_s, before });
    }
    Ok(rising(points))
}

/// The points of one repeat, or of all.
pub(super) fn points(holds: &Holds, repeat: Option<usize>) -> Vec<FitPoint> {
    let taken = |hold: &&Hold| repeat.is_none_or(|repeat| hold.repeat == repeat);
    let mut commands: Vec<f64> = holds.list.iter().map(|hold| hold.command).collect();
    commands.sort_by(f64::total_cmp);
    commands.dedup();
    let point = |command: f64| {
        #[expect(clippy::float_cmp, reason = "the same command is the same word")]
        let held = holds.list.iter().filter(taken).filter(|hold| hold.command == command);
        let levels: Vec<f64> = held.map(turning).collect::<Option<_>>()?;
        let pulses = f64::from(holds.pulses_per_turn);
        let speeds: Vec<f64> = levels.iter().map(|level| level / pulses).collect();
        let turns_per_s = Measured::mean(&speeds)?;
        Some(FitPoint { command, turns_per_s })
    };
    commands.into_iter().filter_map(point).collect()
}

/// Highest command at which the shaft stood each time, and how long it was watched, s.
pub(super) fn silent(holds: &Holds, repeat: Option<usize>) -> Option<(f64, f64)> {
    let taken = holds.list.iter().filter(|hold| repeat.is_none_or(|it| hold.repeat == it));
    let silent = taken.filter(|hold| hold.level == Level::Silent);
    let highest = silent.max_by(|a, b| a.command.total_cmp(&b.command))?;
    Some((highest.command, 0.6 * (highest.to_s - highest.from_s)))
}

const fn turning(hold: &Hold) -> Option<f64> {
    match hold.level {
        Level::Turning(per_s) => Some(per_s),
        Level::Silent | Level::Unknown => None,
    }
}

/// Drops what does not rise over the point before: two commands apart by less than the scatter.
fn rising(points: Vec<FitPoint>) -> Vec<FitPoint> {
    let mut kept: Vec<FitPoint> = Vec::new();
    // From full command down, so that full command stays.
    for point in points.into_iter().rev() {
        let below = |last: &FitPoint| point.turns_per_s.value < last.turns_per_s.value;
        if kept.last().is_none_or(below) {
            kept.push(point);
        }
    }
    kept.reverse();
    kept
}
