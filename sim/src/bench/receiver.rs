//! A receiver of speed samples: late and noisy.

use super::piece::{seconds, steps};
use super::senses::SampleSense;
use crate::machine::Noise;
use crate::scenario::{Gnss, Source};

/// Plays a receiver of speed samples.
pub(super) struct Receiver {
    config: Option<Gnss>,
    noise: Noise,
    next: u64,
}

impl Receiver {
    pub(super) fn new(source: &Source, seed: u64) -> Self {
        let config = match source {
            Source::Pulses => None,
            Source::Gnss(gnss) => Some(gnss.clone()),
        };
        Self { config, noise: Noise::new(seed), next: 0 }
    }

    /// The sample that arrives at step `k`, if one does.
    pub(super) fn arrives(&mut self, k: u64, t0: f64, speeds: &[f64]) -> Option<SampleSense> {
        let config = self.config.as_ref()?;
        let period = steps(config.interval_s).max(1);
        if k < self.next {
            return None;
        }
        self.next = k + period;
        let age = usize::try_from(steps(config.latency_s)).unwrap_or(0);
        let index = usize::try_from(k).unwrap_or(usize::MAX).saturating_sub(age);
        let speed_mps = speeds[index] + config.noise_mps * self.noise.gauss();
        Some(SampleSense { speed_mps, at_s: t0 + seconds(k) - config.latency_s })
    }
}
