//! The line input: distance from the antenna to the next line, late and noisy.

use super::clock::{seconds, steps};
use super::senses::LineSense;
use crate::machine::Noise;
use crate::scenario::{LineInput, Lines};
use std::collections::VecDeque;

/// Plays the line input.
pub(super) struct LinePlayer {
    input: Option<LineInput>,
    noise: Noise,
    next: u64,
    /// Travel at the last steps, m.
    travel_m: VecDeque<f64>,
    latency: usize,
}

impl LinePlayer {
    pub(super) fn new(lines: &Lines, seed: u64) -> Self {
        let input = lines.input.filter(|_| !lines.lines.is_empty());
        let latency = input.map_or(0, |input| usize::try_from(steps(input.latency_s)).unwrap_or(0));
        let noise = Noise::new(seed ^ 0x11_4E);
        Self { input, noise, next: 0, travel_m: VecDeque::new(), latency }
    }

    /// A tick at step `k`, the openers at `travel_m`, the antenna so much further on.
    pub(super) fn arrives(
        &mut self,
        k: u64,
        t0: f64,
        lines: &Lines,
        antenna_m: f64,
    ) -> Option<LineSense> {
        let input = self.input?;
        if k < self.next {
            return None;
        }
        self.next = k + steps(input.interval_s).max(1);
        let then = self.travel_m.front().copied().unwrap_or(0.0) + antenna_m;
        let line = lines.ahead(then)?;
        Some(LineSense {
            distance_m: line.at_m - then + input.noise_m * self.noise.gauss(),
            sow_beyond: line.sow_beyond,
            at_s: t0 + seconds(k) - input.latency_s,
        })
    }

    /// The openers moved on to `travel_m`.
    pub(super) fn step(&mut self, travel_m: f64) {
        if self.input.is_none() {
            return;
        }
        self.travel_m.push_back(travel_m);
        if self.travel_m.len() > self.latency + 1 {
            self.travel_m.pop_front();
        }
    }
}
