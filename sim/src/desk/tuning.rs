//! PI gains by SIMC (Skogestad 2003) for a drive with one lag and a dead time.
//!
//! `k e^(−θs) / (τ1 s + 1)`: `Kc = τ1 / (k (τc + θ))`, `τI = min(τ1, 4 (τc + θ))`. The tightest advised
//! choice is τc = θ.

/// A first-order drive with dead time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plant {
    /// Output over input at rest.
    pub gain: f64,
    /// Lag τ1, s.
    pub lag_s: f64,
    /// Dead time θ, s.
    pub dead_time_s: f64,
}

/// Gains of a PI law.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PiGains {
    /// Proportional gain, input over output.
    pub kc: f64,
    /// Integral time τI, s.
    pub integral_s: f64,
}

impl Plant {
    /// By the half rule: the second lag is shared between the dead time and the first lag.
    pub const fn by_half_rule(gain: f64, lag_s: f64, second_lag_s: f64, dead_time_s: f64) -> Self {
        let half = second_lag_s / 2.0;
        Self { gain, lag_s: lag_s + half, dead_time_s: dead_time_s + half }
    }

    /// Gains for a closed loop with time constant `closed_s` (τc).
    pub const fn simc(&self, closed_s: f64) -> PiGains {
        let reach = closed_s + self.dead_time_s;
        PiGains { kc: self.lag_s / (self.gain * reach), integral_s: self.lag_s.min(4.0 * reach) }
    }

    /// The tightest advised gains: τc = θ.
    pub const fn simc_tight(&self) -> PiGains {
        self.simc(self.dead_time_s)
    }

    /// How far the output stays behind a ramp of the set point without feed-forward, output units:
    /// `a τI / (k Kc)`.
    pub const fn ramp_lag(&self, gains: PiGains, slope_per_s: f64) -> f64 {
        slope_per_s * gains.integral_s / (self.gain * gains.kc)
    }
}

/// A PI law in sampled form, with the integral in output units.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pi {
    gains: PiGains,
    sample_s: f64,
    integral: f64,
}

impl Pi {
    /// A law at work on a steady `output`.
    pub const fn at(gains: PiGains, sample_s: f64, output: f64) -> Self {
        Self { gains, sample_s, integral: output }
    }

    /// One sample: error in, output out.
    pub const fn update(&mut self, error: f64) -> f64 {
        self.integral += self.gains.kc * self.sample_s / self.gains.integral_s * error;
        self.gains.kc * error + self.integral
    }
}
