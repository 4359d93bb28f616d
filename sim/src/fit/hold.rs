//! Holds of a command, and what the edges within them tell.

use super::error::FitError;
use super::log::{Row, StepLog};

/// A position that an edge tells: `edges` at `t_s`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Sight {
    pub(super) t_s: f64,
    pub(super) edges: f64,
    /// One over its variance, 1/edges².
    pub(super) weight: f64,
}

/// A stretch with one command.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hold {
    pub(super) command: f64,
    pub(super) from_s: f64,
    pub(super) to_s: f64,
    /// Edges at its start and end.
    pub(super) count: (u64, u64),
    /// Positions at its start and end, edges: the counts, but for a swing that was taken off.
    pub(super) place: (f64, f64),
    /// How often the same step was played before.
    pub(super) repeat: usize,
    pub(super) level: Level,
}

/// Shaft speed at the end of a hold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Level {
    /// No edge in the last part.
    Silent,
    /// Edges per second.
    Turning(f64),
    /// Too few edges to tell.
    Unknown,
}

/// The holds of a log and the sights within.
#[derive(Clone, Debug)]
pub(super) struct Holds {
    pub(super) list: Vec<Hold>,
    pub(super) sights: Vec<Sight>,
    pub(super) pulses_per_turn: u32,
    /// Mean time between rows, s.
    pub(super) row_s: f64,
    /// Lag and dead time with which the speeds were worked out, s.
    pub(super) answer_s: (f64, f64),
}

/// The speed is taken from this share of a hold on.
const SETTLED_FROM: f64 = 0.4;
/// At zero command this last share of a hold tells whether the shaft stands.
const RUN_OUT: f64 = 0.2;
/// Half the spread of a whole count, edges rms.
const WHOLE: f64 = 0.288_675;
/// What edges are off their place at the most, edges rms.
const JITTER: f64 = 0.02;

impl Level {
    /// Edges per second, if known.
    pub(super) const fn per_s(self) -> Option<f64> {
        match self {
            Self::Silent => Some(0.0),
            Self::Turning(per_s) => Some(per_s),
            Self::Unknown => None,
        }
    }
}

impl Holds {
    /// Checks a log and splits it.
    pub(super) fn of(log: &StepLog) -> Result<Self, FitError> {
        Self::with(log, sights(&log.rows))
    }

    /// The same where the instants of the edges are known.
    pub(super) fn with(log: &StepLog, sights: Vec<Sight>) -> Result<Self, FitError> {
        if log.encoder_pulses_per_turn == 0 {
            return Err(FitError::NoEncoder);
        }
        for pair in log.rows.windows(2) {
            if pair[1].edges < pair[0].edges {
                return Err(FitError::Backwards { t_s: pair[1].t_s });
            }
            if pair[1].t_s.partial_cmp(&pair[0].t_s) != Some(std::cmp::Ordering::Greater) {
                return Err(FitError::Time { t_s: pair[1].t_s });
            }
        }
        let mut list = split(&log.rows);
        #[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 edges")]
        for hold in &mut list {
            hold.place = (hold.count.0 as f64, hold.count.1 as f64);
        }
        if list.len() < 2 {
            return Err(FitError::NoStep);
        }
        if sights.is_empty() {
            return Err(FitError::NeverTurned);
        }
        let span_s = list.last().map_or(0.0, |hold| hold.to_s) - list[0].from_s;
        #[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 rows")]
        let row_s = span_s / (log.rows.len() - 1) as f64;
        Ok(Self {
            list,
            sights,
            pulses_per_turn: log.encoder_pulses_per_turn,
            row_s,
            answer_s: (0.2, 0.05),
        })
    }

    /// Edges in the fastest hold.
    pub(super) fn most_edges(&self) -> u64 {
        self.list.iter().map(|hold| hold.count.1 - hold.count.0).max().unwrap_or(0)
    }

    /// How often the steps were played.
    pub(super) fn repeats(&self) -> usize {
        self.list.iter().map(|hold| hold.repeat + 1).max().unwrap_or(0)
    }

    /// The sights from `from_s` to `to_s`.
    pub(super) fn between(&self, from_s: f64, to_s: f64) -> &[Sight] {
        let from = self.sights.partition_point(|sight| sight.t_s < from_s);
        let to = self.sights.partition_point(|sight| sight.t_s < to_s);
        &self.sights[from..to.max(from)]
    }

    /// Works out the speed of every hold for a lag and dead time.
    pub(super) fn measure(&mut self, lag_s: f64, dead_time_s: f64) {
        let mut before = 0.0;
        self.answer_s = (lag_s, dead_time_s);
        for index in 0..self.list.len() {
            let hold = self.list[index];
            let level = self.level(&hold, before, (lag_s, dead_time_s));
            self.list[index].level = level;
            before = level.per_s().unwrap_or(0.0);
        }
    }

    /// Slope of the position over the settled part, with what the lag still owes taken off.
    fn level(&self, hold: &Hold, before: f64, (lag_s, dead_time_s): (f64, f64)) -> Level {
        let length = hold.to_s - hold.from_s;
        let late = self.between(hold.from_s + SETTLED_FROM * length, hold.to_s);
        // At zero command a long lag may still run out when the others are settled.
        let last = self.between(hold.to_s - RUN_OUT * length, hold.to_s);
        if late.is_empty() || (hold.command <= 0.0 && last.len() <= 1) {
            return Level::Silent;
        }
        let settled = (dead_time_s + lag_s.max(0.1)).min(SETTLED_FROM * length);
        let sights = self.between(hold.from_s + settled, hold.to_s);
        if sights.len() < 2 {
            return Level::Unknown;
        }
        let mut level = slope(sights, |_| 0.0);
        for _ in 0..4 {
            let owed = |t_s: f64| {
                let since = t_s - hold.from_s - dead_time_s;
                -(before - level) * lag_s * libm::exp(-since.max(0.0) / lag_s)
            };
            level = slope(sights, owed);
        }
        if level > 0.0 { Level::Turning(level) } else { Level::Unknown }
    }
}

/// Weighted slope of the positions less `known`, edges/s.
fn slope(sights: &[Sight], known: impl Fn(f64) -> f64) -> f64 {
    let origin = sights[0];
    let [mut w, mut wt, mut we, mut wtt, mut wte] = [0.0; 5];
    for sight in sights {
        let t = sight.t_s - origin.t_s;
        let e = sight.edges - origin.edges - known(sight.t_s);
        w += sight.weight;
        wt += sight.weight * t;
        we += sight.weight * e;
        wtt += sight.weight * t * t;
        wte += sight.weight * t * e;
    }
    (w * wte - wt * we) / (w * wtt - wt * wt)
}

/// Splits the rows where the command changes.
fn split(rows: &[Row]) -> Vec<Hold> {
    let mut list: Vec<Hold> = Vec::new();
    for row in rows {
        if let Some(last) = list.last_mut() {
            last.to_s = row.t_s;
            last.count.1 = row.edges;
        }
        // A board writes its command with few digits; a millionth apart is the same.
        let command = (row.command * 1e6).round() / 1e6;
        #[expect(clippy::float_cmp, reason = "both are rounded the same way")]
        let goes_on = list.last().is_some_and(|last| last.command == command);
        if !goes_on {
            let repeat = played_before(&list, command);
            list.push(Hold {
                command,
                from_s: row.t_s,
                to_s: row.t_s,
                count: (row.edges, row.edges),
                place: (0.0, 0.0),
                repeat,
                level: Level::Unknown,
            });
        }
    }
    list
}

/// How often the step to `command` from the last hold is in the list.
#[expect(clippy::float_cmp, reason = "the same command is the same word")]
fn played_before(holds: &[Hold], command: f64) -> usize {
    let Some(from) = holds.last() else { return 0 };
    let same = |pair: &&[Hold]| pair[0].command == from.command && pair[1].command == command;
    holds.windows(2).filter(same).count()
}

/// Positions that the edges tell, each at the middle of its row interval.
fn sights(rows: &[Row]) -> Vec<Sight> {
    let mut list: Vec<Sight> = Vec::new();
    for pair in rows.windows(2) {
        // A count that runs backwards is refused by the caller.
        let more = pair[1].edges.saturating_sub(pair[0].edges);
        if more > 0 {
            let t_s = f64::midpoint(pair[0].t_s, pair[1].t_s);
            #[expect(clippy::cast_precision_loss, reason = "far fewer than 2^52 edges")]
            let edges = pair[0].edges as f64 + f64::midpoint(more as f64, 1.0);
            list.push(Sight { t_s, edges, weight: pair[1].t_s - pair[0].t_s });
        }
    }
    let rate = |a: &Sight, b: &Sight| (b.edges - a.edges) / (b.t_s - a.t_s);
    let rates: Vec<f64> = list.windows(2).map(|pair| rate(&pair[0], &pair[1])).collect();
    for (index, sight) in list.iter_mut().enumerate() {
        let before = index.checked_sub(1).and_then(|before| rates.get(before)).copied();
        let after = rates.get(index).copied();
        let per_s = before.unwrap_or(0.0).max(after.unwrap_or(0.0));
        // The instant is known to the row interval, the position to a whole edge: the better counts.
        let spread = WHOLE * (per_s * sight.weight).min(1.0) + JITTER;
        sight.weight = 1.0 / (spread * spread);
    }
    list
}

/// Weight of a position known to a whole edge.
pub(super) const AT_REST: f64 = 1.0 / (WHOLE * WHOLE);
