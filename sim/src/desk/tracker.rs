//! Fixed-gain trackers of a value and its rate (α-β), their gains and their lag.
//!
//! ```text
//!  predict  x⁻ = x + T v        correct  x = x⁻ + α (z − x⁻)      v = v + β/T (z − x⁻)
//! ```

/// Gains and sample interval of an α-β tracker.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AlphaBeta {
    /// Share of the innovation that goes to the value.
    pub alpha: f64,
    /// Share of the innovation that goes to the rate, per interval.
    pub beta: f64,
    /// Sample interval T, s.
    pub interval_s: f64,
}

/// A value and its rate.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Tracked {
    /// The value.
    pub value: f64,
    /// Its rate, 1/s.
    pub rate: f64,
}

/// How far a tracker falls behind a steady second derivative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lag {
    /// Of the corrected value.
    pub value: f64,
    /// Of the prediction before the sample: the innovation.
    pub innovation: f64,
    /// Of the rate, 1/s.
    pub rate: f64,
}

/// β that belongs to α in the steady state: `2 (2 − α) − 4 sqrt(1 − α)`.
pub fn steady_beta(alpha: f64) -> f64 {
    2.0 * (2.0 - alpha) - 4.0 * (1.0 - alpha).sqrt()
}

/// α for a tracking index `λ = T² σa / σn`: `1 − r²`, `r = (4 + λ − sqrt(8λ + λ²)) / 4`.
pub fn steady_alpha(index: f64) -> f64 {
    let r = (4.0 + index - (8.0 * index + index * index).sqrt()) / 4.0;
    1.0 - r * r
}

/// α and β of a fading memory: each sample back counts `fading` (0..1) times the one after it.
pub const fn fading(fading: f64) -> (f64, f64) {
    (1.0 - fading * fading, (1.0 - fading) * (1.0 - fading))
}

impl AlphaBeta {
    /// One sample in, the corrected state out.
    pub const fn update(&self, state: Tracked, sample: f64) -> Tracked {
        let predicted = self.predict(state);
        let innovation = sample - predicted;
        Tracked {
            value: predicted + self.alpha * innovation,
            rate: state.rate + self.beta / self.interval_s * innovation,
        }
    }

    /// Value at the next sample.
    pub const fn predict(&self, state: Tracked) -> f64 {
        state.value + self.interval_s * state.rate
    }

    /// Steady lag under a constant second derivative.
    pub const fn lag(&self, second_derivative: f64) -> Lag {
        let innovation = second_derivative * self.interval_s * self.interval_s / self.beta;
        Lag {
            value: (1.0 - self.alpha) * innovation,
            innovation,
            rate: second_derivative * self.interval_s * (self.alpha / self.beta - 0.5),
        }
    }
}
