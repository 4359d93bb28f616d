//! The headland cycle: what the drill truly does, and what its driver does, over 50 s.
//!
//! ```text
//!  m/s 2.2 ┤    ╭────────╮                          ╭───────────
//!      1.2 ┤   ╱          ╰───────────╮     ╭───────╯
//!        0 ┤──╯                       ╰─────╯
//!           0   4        12  14 │ turn │ 25 27.5  29            50 s
//!  lift     in work ────────────┘ lifted            └── in work
//!  master   on ──────────────────────────────────────────── off for 1 s ── on
//! ```
//!
//! Work, lift, turn at the headland, a look back at standstill, lower, work; at 45 s the operator switches off and on. Speeds pass the two lags of 0.3 s of
//! every profile.

use super::inject::TICKS_PER_S;
use crate::bench::STEP_S;
use crate::ground::real;
use crate::profile::{Piece, Sample, Smooth};

/// Length, s.
pub const LENGTH_S: f64 = 50.0;

/// Faults are injected from here ...
pub const FIRST_TICK: u32 = 50;

/// ... to before here: what is injected late is still watched for ten seconds of work.
pub const LAST_TICK: u32 = 4_000;

/// Instants at which the driver moves the lift, s, and whether it is in work from then on.
const LIFTS: [(f64, bool); 2] = [(14.0, false), (29.0, true)];

/// Speeds before the tractor smooths them, (s, m/s).
const SPEEDS: [(f64, f64); 12] = [
    (0.0, 0.0),
    (0.5, 0.0),
    (3.5, 2.2),
    (12.0, 2.2),
    (14.0, 1.2),
    (24.0, 1.2),
    (25.0, 0.0),
    (27.5, 0.0),
    (28.5, 1.2),
    (29.5, 1.2),
    (31.5, 2.2),
    (LENGTH_S + 1.0, 2.2),
];

/// Ticks in which the operator has the master off.
const OFF: core::ops::Range<usize> = 4_500..4_600;

/// The turn: from, to, s, and its yaw rate, rad/s: half a turn.
const TURN: (f64, f64, f64) = (15.0, 23.0, core::f64::consts::PI / 8.0);

/// What the drill truly does, by step of the physics, and what the driver does, by tick.
#[derive(Clone, Debug, PartialEq)]
pub struct Cycle {
    /// Travel of the drill's centre, m.
    pub travel_m: Vec<f64>,
    /// Ground speed, m/s.
    pub speed_mps: Vec<f64>,
    /// Yaw rate, rad/s, anticlockwise positive.
    pub yaw_rad_per_s: Vec<f64>,
    /// The implement is in work, by tick.
    pub in_work: Vec<bool>,
    /// The master is on, by tick.
    pub master: Vec<bool>,
}

impl Cycle {
    /// The standard cycle.
    pub fn headland() -> Self {
        Self::of(&SPEEDS)
    }

    /// The same acts of the driver at other speeds (s, m/s).
    pub fn of(speeds: &[(f64, f64)]) -> Self {
        let samples = speeds.iter().map(|&(t_s, speed_mps)| Sample {
            t_s,
            speed_mps,
            in_work: None,
            heading_deg: None,
        });
        let piece = Piece { samples: samples.collect() };
        let speed_mps: Vec<f64> = Smooth::new(&piece, STEP_S).take(steps(LENGTH_S) + 1).collect();
        Self::at_speeds(speed_mps)
    }

    /// The same acts of the driver at the speed of every step.
    pub fn at_speeds(speed_mps: Vec<f64>) -> Self {
        let mut travel_m = vec![0.0];
        for pair in speed_mps.windows(2) {
            let last = travel_m.last().copied().unwrap_or(0.0);
            travel_m.push(last + f64::midpoint(pair[0], pair[1]) * STEP_S);
        }
        let turns = |t: f64| t >= TURN.0 && t < TURN.1;
        let yaw = (0..speed_mps.len()).map(|k| if turns(real(k) * STEP_S) { TURN.2 } else { 0.0 });
        let ticks = steps(LENGTH_S) / 10;
        let lift = |k: usize| {
            let t = real(k) / f64::from(TICKS_PER_S);
            LIFTS.iter().rev().find(|act| act.0 <= t + 1e-9).is_none_or(|act| act.1)
        };
        Self {
            yaw_rad_per_s: yaw.collect(),
            travel_m,
            speed_mps,
            in_work: (0..ticks).map(lift).collect(),
            // The operator switches on as the run begins, for a switch found on starts nothing, and off and on again
            // near its end, which leaves every stop.
            master: (0..ticks).map(|k| k > 1 && !OFF.contains(&k)).collect(),
        }
    }

    /// The tractor stands from a step on.
    #[must_use]
    pub fn standing_from(mut self, step: usize) -> Self {
        let at = self.travel_m.get(step).copied().unwrap_or(0.0);
        self.travel_m[step..].fill(at);
        self.speed_mps[step..].fill(0.0);
        self
    }

    /// The tractor keeps the speed of a step.
    #[must_use]
    pub fn steady_from(self, step: usize) -> Self {
        let mut speed_mps = self.speed_mps;
        let held = speed_mps.get(step).copied().unwrap_or(0.0);
        speed_mps[step..].fill(held);
        Self { yaw_rad_per_s: self.yaw_rad_per_s, ..Self::at_speeds(speed_mps) }
    }

    /// The tractor does everything so many steps later.
    #[must_use]
    pub fn later(self, steps: usize) -> Self {
        let mut speed_mps = vec![0.0; steps];
        speed_mps.extend(&self.speed_mps[..self.speed_mps.len() - steps]);
        Self::at_speeds(speed_mps)
    }

    /// From a standstill at a step on the tractor drives twice as fast. The wheel's play there, less than a pulse, is
    /// chosen so that its pulses fall on the flanks of a wheel of `per_m` teeth a metre.
    #[must_use]
    pub fn twice_as_fast_from(mut self, step: usize, per_m: f64) -> Self {
        let at = self.travel_m.get(step).copied().unwrap_or(0.0);
        let ahead = libm::floor(at * per_m) - libm::floor(2.0 * at * per_m);
        for travel_m in &mut self.travel_m[step..] {
            *travel_m = (2.0 * *travel_m * per_m + ahead) / per_m;
        }
        self.speed_mps[step..].iter_mut().for_each(|speed_mps| *speed_mps *= 2.0);
        self
    }

    /// Ticks of the run.
    pub fn ticks(&self) -> u32 {
        u32::try_from(self.master.len()).unwrap_or(0)
    }
}

/// Whole steps in `seconds`.
pub(super) fn steps(seconds: f64) -> usize {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "times of a run, not negative"
    )]
    let steps = libm::round(seconds / STEP_S) as usize;
    steps
}
