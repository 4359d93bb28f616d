//! A tractor has no corners: two first-order lags of 0.3 s.

use super::Piece;

/// Time constant of each of the two lags, s.
const LAG_S: f64 = 0.3;

/// Walks along a piece in equal steps and yields the smoothed ground speed.
#[derive(Clone, Debug)]
pub struct Smooth<'a> {
    piece: &'a Piece,
    step_s: f64,
    keep: f64,
    index: usize,
    count: u64,
    lags: [f64; 2],
}

impl<'a> Smooth<'a> {
    /// Starts at the first sample, at its speed.
    pub fn new(piece: &'a Piece, step_s: f64) -> Self {
        let first = piece.samples.first().map_or(0.0, |sample| sample.speed_mps);
        let keep = libm::exp(-step_s / LAG_S);
        Self { piece, step_s, keep, index: 0, count: 0, lags: [first; 2] }
    }

    /// The unsmoothed speed at `t`, linear between samples, held outside.
    fn raw(&mut self, t: f64) -> f64 {
        let samples = &self.piece.samples;
        while self.index + 1 < samples.len() && samples[self.index + 1].t_s <= t {
            self.index += 1;
        }
        let here = samples[self.index];
        samples.get(self.index + 1).map_or(here.speed_mps, |next| {
            let share = (t - here.t_s) / (next.t_s - here.t_s);
            here.speed_mps + share * (next.speed_mps - here.speed_mps)
        })
    }
}

impl Iterator for Smooth<'_> {
    type Item = f64;

    fn next(&mut self) -> Option<f64> {
        let speed = self.lags[1];
        self.count += 1;
        #[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 steps")]
        let t = self.piece.start_s() + self.count as f64 * self.step_s;
        let raw = self.raw(t);
        self.lags[0] = raw + (self.lags[0] - raw) * self.keep;
        self.lags[1] = self.lags[0] + (self.lags[1] - self.lags[0]) * self.keep;
        Some(speed)
    }
}
