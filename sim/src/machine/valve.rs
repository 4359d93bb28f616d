//! The proportional valve: duty to coil current to spool to flow.
//!
//! ```text
//!  duty ─► dead time ─► ÷ R(t)/R0 ─► coil lag ─► hysteresis ─► spring ─► spool lag ─► f(x) ─► Q
//!
//!  Q = Q_N f(x) sqrt(Δp / Δp_N)      f(x) = x + b (x² − x)
//! ```
//!
//! The opening command is that of the spring's preload: below it the spool stays where flow begins. A valve
//! that has overlap instead must first carry its spool across it, and a start takes longer than the reduced
//! form knows.
//!
//! Below `LAMINAR_PA` the flow is in proportion to the drop, as it is in a narrow gap, and has a slope at
//! zero.

use std::collections::VecDeque;

/// Drop below which the flow is laminar, Pa.
const LAMINAR_PA: f64 = 1e5;

/// A proportional valve.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ValveConfig {
    /// Flow `Q_N` at full opening and the rated drop, m³/s.
    pub rated_flow_m3_per_s: f64,
    /// Rated drop `Δp_N`, Pa.
    pub rated_drop_pa: f64,
    /// Share of full current that the spring's preload takes: flow begins there.
    pub opening: f64,
    /// Bend b of the flow curve: 0 straight, 1 a parabola.
    pub bend: f64,
    /// Width of the hysteresis, share of full current.
    pub hysteresis: f64,
    /// Lag of the coil current, s.
    pub coil_lag_s: f64,
    /// Rise of the coil's resistance when warm, share (0.4 = +40 %) ...
    pub coil_rise: f64,
    /// ... with this time constant, s.
    pub coil_warm_s: f64,
    /// Lag of the spool, s.
    pub spool_lag_s: f64,
    /// Dead time before the coil answers, s.
    pub dead_time_s: f64,
}

impl ValveConfig {
    /// Spool position, 0..1, at which the spring balances a current.
    pub const fn balanced(&self, current: f64) -> f64 {
        ((current - self.opening) / (1.0 - self.opening)).clamp(0.0, 1.0)
    }

    /// Share of the full opening at a spool position.
    pub const fn opened(&self, spool: f64) -> f64 {
        spool + self.bend * (spool * spool - spool)
    }

    /// Flow at a spool position and pressure drop, m³/s; none against the drop.
    pub fn flow_m3_per_s(&self, spool: f64, drop_pa: f64) -> f64 {
        let drop = drop_pa.max(0.0);
        // Meets the root at LAMINAR_PA in value.
        let root = if drop < LAMINAR_PA { drop / LAMINAR_PA.sqrt() } else { drop.sqrt() };
        self.rated_flow_m3_per_s * self.opened(spool) * root / self.rated_drop_pa.sqrt()
    }

    /// Current over full cold current that a duty drives at `t` seconds since power-up.
    pub fn current(&self, duty: f64, t_s: f64) -> f64 {
        let warm = self.coil_rise * (1.0 - libm::exp(-t_s / self.coil_warm_s));
        duty / (1.0 + warm)
    }
}

/// What a valve remembers of its commands: those still under way, and the play of its friction.
#[derive(Clone, Debug)]
pub struct ValveMemory {
    waiting: VecDeque<f64>,
    play: f64,
}

impl ValveMemory {
    /// A valve at rest, given a duty every `step_s`.
    pub fn new(config: &ValveConfig, step_s: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a dead time of seconds"
        )]
        let slots = libm::round(config.dead_time_s / step_s) as usize;
        Self { waiting: std::iter::repeat_n(0.0, slots).collect(), play: 0.0 }
    }

    /// The duty that is felt now, when `duty` is given now.
    pub fn felt(&mut self, duty: f64) -> f64 {
        self.waiting.push_back(duty);
        self.waiting.pop_front().unwrap_or(duty)
    }

    /// Where the spool is driven by a current: it follows at half the hysteresis behind.
    pub const fn driven(&mut self, config: &ValveConfig, current: f64) -> f64 {
        let half = config.hysteresis / 2.0;
        self.play = self.play.clamp(current - half, current + half);
        self.play
    }
}
