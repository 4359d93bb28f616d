//! Feed-forward through the map, PI on the shaft speed, and a trim that learns gain and offset.
//!
//! Gains by SIMC (Skogestad 2003) with τc = θt: `Kc = τ1 / (2 θt)`, `τI = min(τ1, 8 θt)`, where
//! `θt = θ + half a tick + a quarter of the measurement's window`. They fall with the edge
//! rate at the shaft speed wanted; below two edges per τ1 the proportional part is off and the trim is slow.
//!
//! The integral is not one number but two, the gain and the offset by which the map is wrong:
//!
//! ```text
//!  n_cmd = n (1 + g) + b + Kc e
//!  e' = Ki Ts e / (n² + λ²)      g += e' n      b += e' λ²      λ = full speed / 10
//! ```
//!
//! At a constant n that is exactly `n_cmd = n + Kc e + Ki ∫e`. When the speed changes, oil that is thin (a
//! wrong gain) needs a correction in proportion to the speed and a wrong opening command needs a
//! constant one; a single integral would have to be learnt anew in every ramp
//! (`docs/decisions/001-trim-learns-gain-and-offset.md`).
//!
//! The trim waits after a start until the answer of the drive shows in a whole window, holds while the
//! command is saturated the same way, and keeps 24 bits below the output's step.

use super::correction::{Corrected, Correction};
use super::row::{INTERVALS, ROWS, Row};
use super::shaft::{ShaftMeter, ShaftState};
use super::{Feedback, ValveMap};
use crate::quantity::{
    Command, Instant, Micros, Reciprocal, TurnsPerSecond, clamp_i32, mul_shift, mul_wide,
};
use crate::sense::Quality;

/// The command may rise from nothing to full in so many ticks.
const RISE_TICKS: i32 = 5;

/// Bounds of the trim: gain −60 %..+150 %, Q40; offset ±30 % of full speed.
const GAIN: core::ops::RangeInclusive<i64> = -659_706_976_666..=1_649_267_441_664;

/// The law of a proportional valve, its gains worked out.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Proportional {
    rows: [Row; ROWS],
    /// Dead time and twice the lag.
    answer: Micros,
    correction: Correction,
    /// λ², Q24 of (turns/s)².
    knee: u32,
    offset_limit: i64,
}

/// What it remembers; `Default` is at rest with nothing learnt.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct ProportionalState {
    /// Gain trim, Q40.
    gain: i64,
    /// Offset trim, turns/s Q40.
    offset: i64,
    started: Option<Instant>,
    /// The first window since the start has closed.
    seen: bool,
    settled: bool,
    /// Shaft speed that the last command stood for, Q21.
    given: i32,
    corrected: Corrected,
}

impl Proportional {
    /// Works out the gains of a drive whose numbers have been checked.
    pub(super) fn new(
        correction: Correction,
        [lag, dead_time]: [Micros; 2],
        shaft: &ShaftMeter,
        quality: Quality,
    ) -> Self {
        let mut rows = [Row::default(); ROWS];
        for (row, interval) in rows.iter_mut().zip(INTERVALS) {
            *row = Row::new(lag.get(), dead_time.get(), interval, quality);
            row.from = shaft.one_edge_in(interval);
        }
        // λ = full / 10 in Q12.
        let full = correction.full;
        let knee = (full.unsigned_abs() / 5_120).max(1);
        let offset_limit = i64::from(full).saturating_mul(1 << 19).saturating_mul(3) / 10;
        let answer = dead_time.saturating_add(Micros::new(lag.get().saturating_mul(2)));
        Self { rows, answer, correction, knee: knee.saturating_mul(knee), offset_limit }
    }

    /// The command for a tick in which the drive shall turn.
    pub(super) fn update(
        &self,
        map: &ValveMap,
        (state, shaft): (&mut ProportionalState, &mut ShaftState),
        feedback: Feedback,
        now: Instant,
    ) -> Command {
        let started = state.start(shaft, now);
        let full = self.correction.full;
        let row = self.row(feedback.ahead);
        let error = feedback.wanted.saturating_sub(shaft.measured()).to_bits();
        let fed = feedback.ahead.saturating_add(feedback.lead).max(TurnsPerSecond::ZERO).to_bits();
        let gain = clamp_i32(state.gain.wrapping_shr(16));
        let trimmed =
            mul_wide(fed, gain).wrapping_shr(24).saturating_add(state.offset.wrapping_shr(19));
        let corrected = self.correction.hold(fed, trimmed);
        state.corrected = corrected;
        let kc = i32::try_from(row.kc).unwrap_or(i32::MAX);
        let push = mul_shift(error, kc, 16);
        let sum = i64::from(fed)
            .saturating_add(i64::from(corrected.bits()))
            .saturating_add(i64::from(push));
        // `clamp` panics when its bounds cross; these two do not.
        let command = clamp_i32(sum).min(full).max(0);
        let further = (sum >= i64::from(full) && error > 0)
            || (sum <= 0 && error < 0)
            || (corrected.is_limited() && (error > 0) == (corrected.bits() > 0));
        // How long after a start the trim waits: until the drive's answer fills a window.
        let patience = self.answer.saturating_add(shaft.span().half());
        if state.seen && now.since(started) >= patience {
            // Latched: the clock's wrap must not look like a start.
            state.settled = true;
        }
        if !further && state.settled && feedback.ahead > TurnsPerSecond::ZERO {
            self.learn(state, feedback.wanted, error, row);
        }
        // Only a rise is limited: a reduction, to zero above all, is immediate.
        let command = command.min(state.given.saturating_add(full / RISE_TICKS));
        state.given = command;
        map.command(TurnsPerSecond::from_bits(command))
    }

    /// The gains for the edge interval at the shaft speed that is *wanted*: a shaft that lags behind is
    /// about to give its edges sooner than its last window tells.
    fn row(&self, wanted: TurnsPerSecond) -> Row {
        let wanted = wanted.to_bits().max(0).unsigned_abs();
        let fits = self.rows.iter().find(|row| wanted >= row.from);
        fits.copied().unwrap_or(Row { kc: 0, ki: self.rows[ROWS - 1].ki, from: 0 })
    }

    fn learn(&self, state: &mut ProportionalState, wanted: TurnsPerSecond, error: i32, row: Row) {
        // Error (Q21) · Ki Ts (Q24) is Q45; the trim is Q40.
        let step = mul_wide(error, i32::try_from(row.ki).unwrap_or(i32::MAX)).wrapping_shr(5);
        let n = wanted.to_bits().clamp(0, 15 << 21).unsigned_abs().wrapping_shr(9);
        let weight = Reciprocal::of(n.wrapping_mul(n).saturating_add(self.knee));
        // λ² / (n² + λ²), Q15, and n / (n² + λ²) with n in Q12: per (turns/s), Q16.
        let constant = i64::from(weight.times(self.knee, 15));
        let slope = i64::from(weight.times(n, 28));
        let offset = step.wrapping_shr(3).saturating_mul(constant).wrapping_shr(12);
        let gain = step.wrapping_shr(8).saturating_mul(slope).wrapping_shr(8);
        state.offset = state
            .offset
            .saturating_add(offset)
            .min(self.offset_limit)
            .max(self.offset_limit.saturating_neg());
        state.gain = state.gain.saturating_add(gain).clamp(*GAIN.start(), *GAIN.end());
    }
}

impl ProportionalState {
    /// The instant at which the drive was told to turn. A shaft that stood till then has no speed, and the
    /// window that was open while it ran out says nothing of what comes.
    fn start(&mut self, shaft: &mut ShaftState, now: Instant) -> Instant {
        let Some(started) = self.started else {
            self.started = Some(now);
            if shaft.stands() {
                shaft.begin(now);
            }
            return now;
        };
        self.seen |= shaft.closed_since(started);
        started
    }

    /// The drive is told to rest: the command is zero, what was learnt is kept.
    pub(super) const fn rest(&mut self) {
        self.started = None;
        self.seen = false;
        self.settled = false;
        self.given = 0;
    }

    /// By how much the map was corrected when it was asked last.
    pub(super) const fn corrected(&self) -> Corrected {
        self.corrected
    }

    /// Nothing is learnt.
    pub(super) const fn forget(&mut self) {
        self.gain = 0;
        self.offset = 0;
        self.corrected = Corrected::NONE;
    }

    /// What is wanted changed of a sudden: the trim waits as after a start.
    pub(super) const fn restart(&mut self, now: Instant) {
        self.seen = false;
        self.settled = false;
        if self.started.is_some() {
            self.started = Some(now);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::RISE_TICKS;
    use crate::drive::{Drive, DriveState, Feedback, MapPoint, Numbers, ValveKind, ValveMap};
    use crate::quantity::{Command, Instant, Micros, TurnsPerSecond};
    use crate::sense::Quality;
    use crate::settings::LimitsConfig;

    #[test]
    fn a_rise_is_limited_and_a_reduction_is_immediate() {
        let full = TurnsPerSecond::from_bits(1 << 21);
        let point = |command, shaft| MapPoint { command: Command::from_bits(command), shaft };
        let map = ValveMap::new(&[point(100, TurnsPerSecond::ZERO), point(60_100, full)]).unwrap();
        let (lag, dead_time) = (Micros::from_millis(150), Micros::from_millis(50));
        let numbers = Numbers {
            lag,
            dead_time,
            edges_per_turn: 180,
            two_channel: false,
            valve: ValveKind::Proportional,
            correction: LimitsConfig::default(),
        };
        let drive = Drive::new(map, numbers, Quality::Pulses);
        let mut state = DriveState::default();
        let all = Feedback { ahead: full, lead: TurnsPerSecond::ZERO, wanted: full };
        for tick in 1..=RISE_TICKS {
            let now = Instant::from_micros(tick.unsigned_abs().wrapping_mul(10_000));
            let command = i32::from(drive.update(&mut state, all, now).command.to_bits());
            let most = tick.wrapping_mul(12_000).wrapping_add(101);
            assert!(command <= most, "tick {tick}: {command} above {most}");
        }
        let nothing =
            drive.update(&mut state, Feedback::default(), Instant::from_micros(90_000)).command;
        assert_eq!(nothing, Command::ZERO, "from full to nothing in one tick");
    }
}
