//! Feed-forward through the map, PI on the shaft speed, and a trim that learns gain and offset.
//!
//! Gains by SIMC (Skogestad 2003) with τc = θt: `Kc = τ1 / (2 θt)`, `τI = min(τ1, 8 θt)`, where
//! `θt = θ + half a tick + a quarter of the measurement's window`. They fall with the edge
//! rate at the shaft speed wanted. Below two edges per τ1 a model of the shaft takes the loop's place (`sparse`).
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
use super::sparse::{Foretold, Sparse};
use super::{Feedback, ValveMap};
use crate::quantity::{
    Command, Instant, Inverse, Micros, TurnsPerSecond, clamp_i32, mul_shift, mul_wide,
};
use crate::sense::{Quality, Window};

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
    sparse: Sparse,
    /// Dead time and twice the lag.
    answer: Micros,
    correction: Correction,
    /// λ², Q24 of (turns/s)².
    knee: u32,
    /// Most that the command rises in a tick, Q21.
    rise: i32,
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
    /// The same in words: Q24, turns/s Q21.
    trim: (i32, i32),
    /// When it was told to turn, while it is.
    started: Instant,
    phase: Phase,
    /// The shaft speed wanted gives fewer than two edges per τ1, and they teach the map.
    sparse: bool,
    /// It gives fewer than two edges per τ1: the model runs along.
    slow: bool,
    /// The model's turns have been counted since the edge that opened the window.
    counts: bool,
    /// Shaft speed that the last command stood for, Q21.
    given: i32,
    corrected: Corrected,
    /// Shaft speed by the model, a dead time ahead, turns/s Q24.
    model: i32,
}

/// How far a start has come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
enum Phase {
    /// Told to rest.
    #[default]
    Rest,
    /// Told to turn.
    Started,
    /// The first window since then has closed.
    Seen,
    /// The drive's answer has filled a window. Latched: the clock's wrap must not look like a start.
    Settled,
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
        let sparse = Sparse::new([lag, dead_time]);
        let knee = knee.saturating_mul(knee);
        let rise = full / RISE_TICKS;
        Self { rows, sparse, answer, correction, knee, rise, offset_limit }
    }

    /// Carries the model on by `elapsed`, and learns from a window that closed, while edges are sparse.
    pub(super) fn measure(
        &self,
        (state, shaft): (&mut ProportionalState, &mut ShaftState),
        (edge, window): (Option<Micros>, Option<Window>),
        elapsed: Micros,
    ) {
        if !state.slow {
            // The loop does without: as if the shaft had come to its command.
            state.model = state.given.saturating_mul(8);
            state.counts = false;
            return;
        }
        state.model = self.sparse.step(state.model, state.given);
        let over = self.sparse.count(state.model, &mut shaft.turned, (edge, elapsed));
        let counted = state.counts;
        state.counts |= edge.is_some();
        let (Some(window), Some(over)) = (window, over) else { return };
        if !counted || !state.sparse || state.phase == Phase::Rest {
            return;
        }
        let Foretold { mean, share } = self.sparse.foretold(window.span, over);
        // The command that the trim would have given for what the shaft did, against the one it was given.
        let was = shaft.measured().to_bits();
        let was = was.saturating_add(state.trim_of(was));
        // A lost or a stray edge may move the gain by a quarter.
        let most = shaft.measured().to_bits().wrapping_shr(2);
        let error = mean.saturating_sub(was).min(most).max(most.saturating_neg());
        // There is nothing to even out in the first window since a start.
        let share = if state.phase == Phase::Started { 1 << 24 } else { share };
        self.learn(state, shaft.measured(), error, share);
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
        let corrected = self.held(state, fed);
        state.corrected = corrected;
        let sparse = row.kc == 0;
        // By the map alone what is wanted is what is measured: such edges teach nothing.
        state.sparse = sparse && error != 0;
        state.slow = sparse;
        let push = if sparse {
            let ahead = feedback.ahead.to_bits();
            Sparse::push(ahead.saturating_add(self.held(state, ahead).bits()), state.model)
        } else {
            pushed(error, row.kc)
        };
        let sum = fed.saturating_add(corrected.bits()).saturating_add(push);
        // `clamp` panics when its bounds cross; these two do not.
        let command = sum.min(full).max(0);
        let further = (sum >= full && error > 0)
            || (sum <= 0 && error < 0)
            || (corrected.is_limited() && (error > 0) == (corrected.bits() > 0));
        // How long after a start the trim waits: until the drive's answer fills a window.
        let patience = self.answer.saturating_add(shaft.span().half());
        if state.phase == Phase::Seen && now.since(started) >= patience {
            state.phase = Phase::Settled;
        }
        let learns = feedback.learns && !further && state.phase == Phase::Settled && !state.sparse;
        if learns && feedback.ahead > TurnsPerSecond::ZERO {
            self.learn(state, feedback.wanted, error, row.ki);
        }
        // Only a rise is limited: a reduction, to zero above all, is immediate.
        let command = command.min(state.given.saturating_add(self.rise));
        state.given = command;
        map.command(TurnsPerSecond::from_bits(command))
    }

    /// The correction of a shaft speed, Q21, within its limit.
    #[inline(never)]
    fn held(&self, state: &ProportionalState, shaft: i32) -> Corrected {
        self.correction.hold(shaft, state.trim_of(shaft))
    }

    /// The gains for the edge interval at the shaft speed that is *wanted*: a shaft that lags behind is
    /// about to give its edges sooner than its last window tells.
    fn row(&self, wanted: TurnsPerSecond) -> &Row {
        const NONE: Row = Row { from: 0, kc: 0, ki: 0 };
        let wanted = wanted.to_bits().max(0).unsigned_abs();
        self.rows.iter().find(|row| wanted >= row.from).unwrap_or(&NONE)
    }

    #[inline(never)]
    fn learn(&self, state: &mut ProportionalState, wanted: TurnsPerSecond, error: i32, ki: u32) {
        let n = wanted.to_bits().clamp(0, 15 << 21).unsigned_abs().wrapping_shr(9);
        let over = Inverse::of(n.wrapping_mul(n).saturating_add(self.knee));
        // λ² / (n² + λ²), Q15, and n / (n² + λ²) with n in Q12: per (turns/s), Q16.
        let (constant, slope) = (over.share_q15(self.knee), over.times(n, 28));
        // Ki Ts is Q24, at most one; both shares of it are Q24 too. Error (Q21) · Q24 is Q45; the trim is Q40.
        let constant = ki.wrapping_shr(8).wrapping_mul(constant).wrapping_shr(7).cast_signed();
        let offset = part(error, constant);
        let gain = part(error, mul_shift::<16>(ki.cast_signed(), slope));
        state.offset = state
            .offset
            .saturating_add(offset)
            .min(self.offset_limit)
            .max(self.offset_limit.saturating_neg());
        state.gain = state.gain.saturating_add(gain).clamp(*GAIN.start(), *GAIN.end());
        // Both are held within 32 bits: 2.5 and a third of 10 turns/s.
        let word = |trim: i64, shift| clamp_i32(trim.wrapping_shr(shift));
        state.trim = (word(state.gain, 16), word(state.offset, 19));
    }
}

/// A share, Q24, of an error, Q21: Q40. One product of 32 bits below 0.06 turns/s, with fourteen bits of the share.
fn part(error: i32, share: i32) -> i64 {
    if (-0x1_FFFF..=0x1_FFFF).contains(&error) && (1 << 14..1 << 23).contains(&share) {
        return i64::from(error.wrapping_mul(share.wrapping_shr(9))).wrapping_shl(4);
    }
    mul_wide(error, share).wrapping_shr(5)
}

/// What a gain, Q16 and at most 64, makes of an error of shaft speed.
fn pushed(error: i32, kc: u32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&error) && kc < 1 << 19 {
        // Half a turn a second and a gain of 8: sixteen and fifteen bits of them.
        let kc = kc.wrapping_shr(4).cast_signed();
        return error.wrapping_shr(4).wrapping_mul(kc).wrapping_add(1 << 7).wrapping_shr(8);
    }
    mul_shift::<16>(error, kc.cast_signed())
}

impl ProportionalState {
    /// The instant at which the drive was told to turn. A shaft that stood till then has no speed, and the
    /// window that was open while it ran out says nothing of what comes.
    fn start(&mut self, shaft: &mut ShaftState, now: Instant) -> Instant {
        if self.phase == Phase::Rest {
            self.phase = Phase::Started;
            self.started = now;
            if shaft.stands() {
                shaft.begin(now);
            }
        } else if self.phase == Phase::Started && shaft.closed_since(self.started) {
            self.phase = Phase::Seen;
        }
        self.started
    }

    /// The trim of a shaft speed, Q21.
    #[inline]
    const fn trim_of(&self, shaft: i32) -> i32 {
        let (gain, offset) = self.trim;
        // Below a half and 4 turns/s fourteen and seventeen bits of them do.
        let by = if gain.unsigned_abs() < 1 << 23 && shaft.unsigned_abs() < 1 << 23 {
            let product = gain.wrapping_shr(10).wrapping_mul(shaft.wrapping_shr(6));
            product.wrapping_add(1 << 7).wrapping_shr(8)
        } else {
            mul_shift::<24>(shaft, gain)
        };
        by.saturating_add(offset)
    }

    /// The drive is told to rest: the command is zero, what was learnt is kept.
    pub(super) const fn rest(&mut self) {
        self.phase = Phase::Rest;
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
        self.trim = (0, 0);
        self.corrected = Corrected::NONE;
    }

    /// What is wanted changed of a sudden: the trim waits as after a start.
    pub(super) const fn restart(&mut self, now: Instant) {
        if !matches!(self.phase, Phase::Rest) {
            self.phase = Phase::Started;
            self.started = now;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::RISE_TICKS;
    use crate::drive::{Drive, DriveState, Feedback, MapPoint, Numbers, ValveKind, ValveMap};
    use crate::quantity::{Command, Instant, Micros, TurnsPerSecond};
    use crate::sense::{Closing, Quality};
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
            closing: Closing::Odd,
        };
        let drive = Drive::new(map, numbers, Quality::Pulses);
        let mut state = DriveState::default();
        let all = Feedback { ahead: full, lead: TurnsPerSecond::ZERO, wanted: full, learns: true };
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
