//! What one would write first for a motorised valve: a pulse as long as the error, then wait for the answer.
//!
//! ```text
//!  every θ + τ1 + 50 ms:   run = (map⁻¹(n*) − map⁻¹(n)) · stroke,   hold for the rest
//! ```
//!
//! A three-point step controller on the shaft speed with a dead zone of 1 % of the travel, told the same numbers
//! as the controller. *Frozen.* Of pulses of 0.3 to 1.0 of the error, those of the whole error served it best over the demo profiles.

use crate::machine::command_for;
use crate::scenario::Drive;

/// A tick, s.
const TICK_S: f64 = 0.01;

/// Errors below this share of the travel are left alone.
const DEAD_ZONE: f64 = 0.01;

/// A three-point step controller.
#[derive(Clone, Debug)]
pub(super) struct Pulsed {
    map: Vec<(f64, f64)>,
    stroke_s: f64,
    period_ticks: u32,
    /// Ticks since the last decision, ticks to run, and the way.
    since: u32,
    left: u32,
    way: f64,
}

impl Pulsed {
    /// The law for a motorised valve as told, none for another.
    pub(super) fn new(told: &Drive) -> Option<Self> {
        let motor = told.motor.as_ref()?;
        let period_ticks = ticks(told.dead_time_s + told.lag_s + 0.05).max(1);
        Some(Self {
            map: told.map.clone(),
            stroke_s: motor.stroke_s,
            period_ticks,
            since: period_ticks,
            left: 0,
            way: 0.0,
        })
    }

    /// Run for a tick: −1, 0 or 1.
    pub(super) fn run(&mut self, wanted: f64, measured: f64) -> f64 {
        if self.since >= self.period_ticks {
            let off = command_for(&self.map, wanted) - command_for(&self.map, measured);
            self.way = off.signum();
            self.left = if off.abs() > DEAD_ZONE { ticks(off.abs() * self.stroke_s) } else { 0 };
            self.since = 0;
        }
        self.since += 1;
        if self.left == 0 {
            return 0.0;
        }
        self.left -= 1;
        self.way
    }

    /// Run for a tick in which nothing is asked for.
    pub(super) const fn shut(&mut self) -> f64 {
        self.since = self.period_ticks;
        self.left = 0;
        -1.0
    }
}

/// Whole ticks of a time.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some seconds")]
fn ticks(seconds: f64) -> u32 {
    libm::round(seconds / TICK_S) as u32
}
