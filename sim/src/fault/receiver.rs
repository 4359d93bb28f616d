//! Faults of a receiver of speed samples.
//!
//! A receiver tells no age: the board takes the arrival less the set latency for the instant at which a sample was
//! true. A receiver that is later than that is believed to be on time.

use crate::machine::Noise;
use controller::quantity::{MetresPerSecond, Micros};
use controller::sense::{SpeedReport, SpeedSample};
use std::collections::VecDeque;

/// What is wrong with the receiver.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ReceiverKind {
    /// It repeats the last speed, as if it were new.
    Frozen,
    /// Every sample jumps by up to 2 m/s.
    Jumping,
    /// Samples arrive so many ticks later than they should, as if they were on time.
    Late(u16),
    /// Nothing comes.
    Silent,
}

/// A receiver with a fault.
#[derive(Clone, Debug)]
pub struct ReceiverFault {
    kind: ReceiverKind,
    noise: Noise,
    held: Option<MetresPerSecond>,
    waiting: VecDeque<Option<SpeedReport>>,
}

/// Half of the widest jump, m/s Q20.
const JUMP: f64 = 2.0 * 1_048_576.0;

impl ReceiverFault {
    /// A receiver whose chances follow from `seed`.
    pub fn new(kind: ReceiverKind, seed: u64) -> Self {
        Self { kind, noise: Noise::new(seed), held: None, waiting: VecDeque::new() }
    }

    /// What arrives in a tick in which `report` should have.
    pub fn pass(&mut self, report: Option<SpeedReport>, active: bool) -> Option<SpeedReport> {
        if !active {
            return report;
        }
        match self.kind {
            ReceiverKind::Silent => None,
            ReceiverKind::Late(ticks) => self.late(report, usize::from(ticks)),
            ReceiverKind::Frozen => on_speed(report, |sample| {
                let speed = *self.held.get_or_insert(sample.speed);
                SpeedSample { speed, ..sample }
            }),
            ReceiverKind::Jumping => on_speed(report, |sample| {
                #[expect(clippy::cast_possible_truncation, reason = "at most 2 m/s in Q20")]
                let jump = (JUMP * (2.0 * self.noise.uniform() - 1.0)) as i32;
                let bits = sample.speed.to_bits().saturating_add(jump).max(0);
                SpeedSample { speed: MetresPerSecond::from_bits(bits), ..sample }
            }),
        }
    }

    fn late(&mut self, report: Option<SpeedReport>, ticks: usize) -> Option<SpeedReport> {
        self.waiting.push_back(report);
        if self.waiting.len() <= ticks {
            return None;
        }
        let late = Micros::from_millis(u32::try_from(ticks * 10).unwrap_or(u32::MAX));
        on_speed(self.waiting.pop_front().flatten(), |sample| SpeedSample {
            at: sample.at.plus(late),
            ..sample
        })
    }
}

fn on_speed(
    report: Option<SpeedReport>,
    mut change: impl FnMut(SpeedSample) -> SpeedSample,
) -> Option<SpeedReport> {
    report.map(|report| match report {
        SpeedReport::Speed(sample) => SpeedReport::Speed(change(sample)),
        other => other,
    })
}
