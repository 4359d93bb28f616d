//! The control law of docs/signal-path.md in `f64`: tracker, lead, map, PI and the trim that learns gain and offset.

use crate::gains::PULSES;
use crate::plant::{Edges, Mean, Windows};
use crate::tracker::Model;

/// Turns per metre of the reference drill: 4 m · 0.011 kg/m² / 0.12 kg.
pub(crate) const TURNS_PER_METRE: f64 = 4.0 * 0.011 / 0.12;

/// Delivery delay, dead time, lag and half a tick, s.
const DELIVERY: f64 = 0.35;
const DEAD_TIME: f64 = 0.05;
const LAG: f64 = 0.15;
const HALF_TICK: f64 = 0.005;

/// Shaft speed at full command.
const FULL: f64 = 1.65;

/// Edge intervals of the rows of gains, s.
const ROWS: [f64; 13] =
    [0.01, 0.015, 0.02, 0.03, 0.045, 0.07, 0.1, 0.15, 0.22, 0.31, 0.44, 0.63, 0.9];

/// Kc and Ki Ts by SIMC at the edge interval that fits a shaft speed.
fn simc(wanted: f64) -> (f64, f64) {
    let fits = ROWS.iter().find(|interval| wanted * 180.0 * **interval >= 1.0);
    let interval = fits.copied().unwrap_or(0.9);
    let dead = DEAD_TIME + HALF_TICK + (interval + 0.01) / 4.0;
    if 2.0 * interval <= LAG {
        let kc = LAG / (2.0 * dead);
        (kc, kc / LAG.min(8.0 * dead) * 0.01)
    } else {
        (0.0, 0.01 / (8.0 * dead))
    }
}

/// The law and what it remembers.
#[derive(Debug)]
pub(crate) struct Law {
    tracker: Model,
    ground: Windows,
    shaft: Windows,
    measured: f64,
    measured_at: f64,
    span: f64,
    started: Option<f64>,
    given: f64,
    seen: bool,
    settled: bool,
    pub(crate) gain: f64,
    pub(crate) offset: f64,
}

impl Law {
    pub(crate) fn new() -> Self {
        Self {
            tracker: Model::new(&PULSES),
            ground: Windows::default(),
            shaft: Windows::of_odd_ticks(),
            measured: 0.0,
            measured_at: 0.0,
            span: 0.0,
            started: None,
            given: 0.0,
            seen: false,
            settled: false,
            gain: 0.0,
            offset: 0.0,
        }
    }

    /// Reads both encoders at `now`, s.
    pub(crate) fn sense(&mut self, ground: Edges, shaft: Edges, now: f64) {
        if let Some(Mean { rate, middle, .. }) = self.ground.read(ground) {
            self.tracker.observe(rate / 130.0, middle);
        }
        if let Some(mean) = self.shaft.read(shaft) {
            (self.measured, self.measured_at, self.span) =
                (mean.rate / 180.0, mean.middle, mean.span);
            self.seen |= self.started.is_some_and(|started| mean.from >= started);
        } else if !self.shaft.is_open() {
            (self.measured, self.measured_at) = (0.0, now);
        } else {
            let waited = now - f64::from(shaft.last_us) * 1e-6;
            let bound = 1.0 / (waited.max(1e-6) * 180.0);
            if self.shaft.is_turn() && waited > self.span && bound < self.measured {
                (self.measured, self.measured_at) = (bound, now - waited / 2.0);
            }
        }
    }

    /// The command word of a side that sows, `waited` s after the last ground pulse.
    pub(crate) fn command(&mut self, now: f64, ground: Edges) -> u16 {
        let waited = (now - f64::from(ground.last_us) * 1e-6).max(1e-6);
        let speed = self.tracker.motion(now).0.min(1.0 / (130.0 * waited));
        let motion = self.tracker.motion(now + DELIVERY + DEAD_TIME + HALF_TICK);
        let ahead = TURNS_PER_METRE * motion.0.max(speed / 2.0).min(speed * 1.5);
        let lead = (LAG * TURNS_PER_METRE * motion.1).clamp(-ahead / 2.0, ahead / 2.0);
        let started = *self.started.get_or_insert(now);
        let was = TURNS_PER_METRE * self.tracker.motion(self.measured_at + DELIVERY).0.max(0.0);
        let (kc, ki) = simc(ahead);
        let error = was - self.measured;
        let fed = (ahead + lead).max(0.0);
        let sum = fed * (1.0 + self.gain) + self.offset + kc * error;
        let held = (sum >= FULL && error > 0.0) || (sum <= 0.0 && error < 0.0);
        self.settled |= self.seen && now - started >= DEAD_TIME + 2.0 * LAG + self.span / 2.0;
        // In every second tick, twice as much.
        if self.settled && !held && self.shaft.is_turn() {
            let knee = (FULL / 10.0).powi(2);
            let share = 2.0 * ki * error / (was * was + knee);
            self.gain += share * was;
            self.offset += share * knee;
        }
        // From nothing to full in five ticks at most; a reduction is immediate.
        self.given = sum.clamp(0.0, FULL).min(self.given + FULL / 5.0);
        word(self.given)
    }
}

/// The command word for a shaft speed, by the map of the reference drill.
fn word(turns_per_s: f64) -> u16 {
    if turns_per_s <= 0.0 {
        return 0;
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the map")]
    let word = (13_107.0 + turns_per_s / FULL * (65_535.0 - 13_107.0)).round() as u16;
    word
}
