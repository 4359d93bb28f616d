//! The drive in its reduced form: a static map, a dead time and one lag.
//!
//! ```text
//!  command ─► coil ─► hysteresis ─► dead time θ ─► map f(u) ─► × gain(t) ─► limit ─► lag τ1 ─► shaft
//! ```
//!
//! A motorised valve's place takes the place of the spool: `run ─► gear motor ─► place ─► dead time θ ─► …`. The
//! shut-off, when it falls, acts like a shut valve.
//!
//! `τ1 · dn/dt = min(gain · (1 + swing · sin(rate · t)) · f(u(t − θ)), limit) − n`, stepped exactly for
//! a command held over the step.

use super::GearMotor;
use crate::scenario::{Disturbance, Truth};

/// A valve, motor and gearing, from command (0..1) to shaft speed (turns/s).
#[derive(Clone, Debug)]
pub struct ReducedDrive {
    truth: Truth,
    disturbances: Vec<Disturbance>,
    keep: f64,
    waiting: Vec<f64>,
    head: usize,
    spool: f64,
    gear: Option<GearMotor>,
    supply: bool,
    turns_per_s: f64,
}

impl ReducedDrive {
    /// A drive at rest, to be stepped every `step_s`.
    pub fn new(truth: &Truth, disturbances: &[Disturbance], step_s: f64) -> Self {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a dead time of seconds"
        )]
        let delay = libm::round(truth.drive.dead_time_s / step_s) as usize;
        Self {
            keep: libm::exp(-step_s / truth.drive.lag_s),
            truth: truth.clone(),
            disturbances: disturbances.to_vec(),
            waiting: vec![0.0; delay + 1],
            head: 0,
            spool: 0.0,
            gear: truth.drive.motor.as_ref().map(|motor| GearMotor::new(motor, step_s)),
            supply: true,
            turns_per_s: 0.0,
        }
    }

    /// Shaft speed, turns/s.
    pub const fn turns_per_s(&self) -> f64 {
        self.turns_per_s
    }

    /// The shut-off lets oil through from now on, or no longer.
    pub const fn set_supply(&mut self, open: bool) {
        self.supply = open;
    }

    /// Where a motorised valve stands, 0 to 1.
    pub fn place(&self) -> f64 {
        self.gear.as_ref().map_or(0.0, GearMotor::place)
    }

    /// True gain over the map's at `t` seconds.
    pub fn gain(&self, t: f64) -> f64 {
        let truth = &self.truth;
        let swing = if truth.swing == 0.0 {
            0.0
        } else {
            truth.swing * libm::sin(truth.swing_rad_per_s * t)
        };
        let disturbed: f64 =
            self.disturbances.iter().map(|d| 1.0 + (d.gain - 1.0) * d.strength(t)).product();
        truth.gain * (1.0 + swing) * disturbed
    }

    /// Highest shaft speed that the supply allows at `t`, turns/s.
    fn limit(&self, t: f64) -> f64 {
        self.disturbances
            .iter()
            .filter(|d| d.strength(t) > 0.5)
            .map(|d| d.limit_turns_per_s)
            .fold(f64::INFINITY, f64::min)
    }

    /// One step with `command` held, ending at `t` seconds; returns the shaft speed at its end.
    pub fn step(&mut self, command: f64, t: f64) -> f64 {
        let slots = self.waiting.len();
        let coil = self.coil_factor(t);
        let given = self.gear.as_mut().map_or(command, |gear| gear.step(command / coil));
        self.waiting[self.head] = if self.supply { given } else { 0.0 };
        self.head = if self.head + 1 == slots { 0 } else { self.head + 1 };
        let delayed = self.waiting[self.head];
        let motorised = self.gear.is_some();
        let current = if motorised { delayed } else { delayed / coil };
        let half = if motorised { 0.0 } else { self.truth.hysteresis / 2.0 };
        self.spool = self.spool.clamp(current - half, current + half);
        let aim = (self.gain(t) * flow(&self.truth.drive.map, self.spool)).min(self.limit(t));
        self.turns_per_s = aim + (self.turns_per_s - aim) * self.keep;
        self.turns_per_s
    }

    /// Resistance of the coil (or of the gear motor's winding) at `t` over that of a cold one.
    pub fn coil_factor(&self, t: f64) -> f64 {
        if self.truth.coil_rise == 0.0 {
            return 1.0;
        }
        1.0 + self.truth.coil_rise * (1.0 - libm::exp(-t / self.truth.coil_warm_s))
    }
}

/// Shaft speed by a map `(command, turns/s)`: zero up to its first point, linear between, held after.
pub fn flow(map: &[(f64, f64)], command: f64) -> f64 {
    let Some(&(opening, _)) = map.first() else { return 0.0 };
    if command <= opening {
        return 0.0;
    }
    for pair in map.windows(2) {
        let ((u0, n0), (u1, n1)) = (pair[0], pair[1]);
        if command <= u1 {
            return n0 + (n1 - n0) * (command - u0) / (u1 - u0);
        }
    }
    map.last().map_or(0.0, |point| point.1)
}

/// The command that turns the shaft at `turns_per_s` by a map; zero for zero, full above the map.
pub fn command_for(map: &[(f64, f64)], turns_per_s: f64) -> f64 {
    if turns_per_s <= 0.0 {
        return 0.0;
    }
    for pair in map.windows(2) {
        let ((u0, n0), (u1, n1)) = (pair[0], pair[1]);
        if turns_per_s <= n1 {
            return u0 + (u1 - u0) * (turns_per_s - n0) / (n1 - n0);
        }
    }
    map.last().map_or(0.0, |point| point.0)
}

impl Disturbance {
    /// How far the disturbance is in force at `t`: 0..1, with its rise and fall.
    pub fn strength(&self, t: f64) -> f64 {
        let since = t - self.at_s;
        if since <= 0.0 || since >= self.for_s {
            return 0.0;
        }
        let edge = since.min(self.for_s - since);
        if edge >= self.edge_s { 1.0 } else { edge / self.edge_s }
    }
}

#[cfg(test)]
mod tests {
    use super::{command_for, flow};

    #[test]
    fn the_map_and_its_inverse_are_one() {
        let map = [(0.2, 0.0), (0.5, 0.4), (1.0, 1.65)];
        for step in 1..=165 {
            let n = f64::from(step) / 100.0;
            let back = flow(&map, command_for(&map, n));
            assert!((back - n).abs() < 1e-12, "{n} came back as {back}");
        }
        assert!(command_for(&map, 0.0) == 0.0, "no speed, no command");
        assert!(flow(&map, 0.2) == 0.0, "at the opening command the shaft stands");
    }
}
