//! The tracker of two models: `controller::sense::tracker` in f32.

use crate::decay::decay;
use crate::{Bounded, real, seconds};
use controller::quantity::{Instant, Micros};
use controller::sense::{Gains, INTERVALS, Quality};

/// τ of each model, s.
const LAGS: [f32; 2] = [0.4, 2.0];
/// 1/τ.
const RATES: [f32; 2] = [2.5, 0.5];
const FROM_STEADY: [f32; 2] = [32_113.0 / 32_768.0, 655.0 / 32_768.0];
const FROM_MANOEUVRE: f32 = 1_638.0 / 32_768.0;
const FARTHEST_OFF: f32 = 256.0;
const FARTHEST: Micros = Micros::new(4_000_000);
const LEAST: f32 = 8.0 / 32_768.0;

/// Speed, m/s, and acceleration, m/s².
#[derive(Clone, Copy, Default)]
pub(crate) struct Motion {
    pub(crate) speed: f32,
    pub(crate) accel: f32,
}

/// Speed gain, acceleration gain and sharpness of both models, advance: by interval.
pub(crate) struct Table([[f32; 7]; INTERVALS.len()]);

/// What acceleration adds to speed in a time, and what is left of it, by both models.
#[derive(Clone, Copy, Default)]
pub(crate) struct Lead([(f32, f32); 2]);

/// The motion at an instant and the pulls of both models there: it goes on from there.
#[derive(Clone, Copy, Default)]
pub(crate) struct Outlook {
    pub(crate) speed: f32,
    pulls: [f32; 2],
}

/// A look back of so long is a straight one.
const STRAIGHT: Micros = Micros::new(40_000);

/// What the tracker remembers.
#[derive(Clone, Copy, Default)]
pub(crate) struct Tracker {
    beliefs: [Motion; 2],
    /// Speed of both models by their weights, and acceleration of each times its weight.
    speed: f32,
    pulls: [f32; 2],
    steady: f32,
    at: Instant,
    live: bool,
}

impl Table {
    /// The rows of the core.
    pub(crate) fn new(quality: Quality) -> Self {
        Self(INTERVALS.map(|interval| {
            let gains = Gains::at(quality, Micros::new(interval));
            let mut row = [0.0; 7];
            for (place, model) in row.chunks_exact_mut(3).zip(gains.models) {
                let words = [(model.speed, 16), (model.accel, 16), (model.sharpness, 12)];
                place.copy_from_slice(&words.map(|(word, bits)| real(word, bits)));
            }
            row[6] = real(gains.advance, 16);
            row
        }))
    }

    #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
    fn at(&self, interval: u32) -> [f32; 7] {
        let mut low = (INTERVALS[0], &self.0[0]);
        for (&at, row) in INTERVALS.iter().zip(&self.0) {
            if interval <= at {
                let span = at.saturating_sub(low.0);
                if span == 0 {
                    return *row;
                }
                let share = interval.saturating_sub(low.0) as f32 / span as f32;
                let mut between = [0.0; 7];
                for (value, (a, b)) in between.iter_mut().zip(low.1.iter().zip(row)) {
                    *value = a + (b - a) * share;
                }
                return between;
            }
            low = (at, row);
        }
        *low.1
    }
}

fn carry(model: usize, horizon: f32) -> (f32, f32) {
    let left = decay(horizon * RATES[model]);
    (LAGS[model] * (1.0 - left), left)
}

impl Lead {
    pub(crate) fn of(time: Micros) -> Self {
        let horizon = seconds(time.min(FARTHEST));
        Self([carry(0, horizon), carry(1, horizon)])
    }
}

impl Outlook {
    /// The motion after a time.
    pub(crate) fn after(&self, lead: &Lead) -> Motion {
        let ([a, b], [(adds_a, left_a), (adds_b, left_b)]) = (self.pulls, lead.0);
        Motion { speed: self.speed + a * adds_a + b * adds_b, accel: a * left_a + b * left_b }
    }
}

impl Motion {
    /// The speed a short while before; none for a longer one.
    pub(crate) fn before(self, time: Micros) -> Option<f32> {
        (time <= STRAIGHT).then(|| self.speed - self.accel * seconds(time))
    }

    fn carried(self, model: usize, horizon: f32) -> Self {
        let (adds, left) = carry(model, horizon);
        Self { speed: self.speed + self.accel * adds, accel: self.accel * left }
    }

    fn correct(&mut self, measured: f32, gains: &[f32]) -> f32 {
        let innovation = measured - self.speed;
        self.speed += innovation * gains[0];
        self.accel += innovation * gains[1];
        let normal = (innovation * gains[2]).abs().at_most(FARTHEST_OFF);
        normal * normal
    }

    fn blend(self, other: Self, share: f32) -> Self {
        Self {
            speed: other.speed + (self.speed - other.speed) * share,
            accel: other.accel + (self.accel - other.accel) * share,
        }
    }
}

/// What the models expect of a measurement.
#[derive(Clone, Copy)]
pub(crate) struct Foretold {
    beliefs: [Motion; 2],
    prior: f32,
    at: Instant,
    interval: Micros,
}

impl Foretold {
    pub(crate) fn speed(&self) -> f32 {
        let [a, b] = self.beliefs;
        b.speed + (a.speed - b.speed) * self.prior
    }
}

impl Tracker {
    pub(crate) const fn is_live(&self) -> bool {
        self.live
    }

    pub(crate) const fn at(&self) -> Instant {
        self.at
    }

    pub(crate) fn forget(&mut self) {
        *self = Self::default();
    }

    /// Forgets everything but this measurement.
    pub(crate) fn begin(&mut self, speed: f32, at: Instant) {
        let belief = Motion { speed, accel: 0.0 };
        *self = Self { beliefs: [belief; 2], steady: 0.5, at, live: true, ..Self::default() };
        self.look();
    }

    /// What a measurement is expected to be; nothing of an instant that is passed.
    pub(crate) fn foretell(&self, at: Instant) -> Option<Foretold> {
        if !self.at.is_before(at) {
            return None;
        }
        let interval = at.since(self.at);
        let (prior, [steady, manoeuvre]) = self.mixed();
        let horizon = seconds(interval.min(FARTHEST));
        let beliefs = [steady.carried(0, horizon), manoeuvre.carried(1, horizon)];
        Some(Foretold { beliefs, prior, at, interval })
    }

    /// Corrects what was foretold by the measurement.
    pub(crate) fn correct(&mut self, of: Foretold, table: &Table, speed: f32) {
        let Foretold { beliefs: [mut steady, mut manoeuvre], prior, at, interval } = of;
        let gains = table.at(interval.get());
        let misses = [steady.correct(speed, &gains[..3]), manoeuvre.correct(speed, &gains[3..6])];
        self.beliefs = [steady, manoeuvre];
        self.steady = weigh(prior, misses, gains[6]);
        self.at = at;
        self.look();
    }

    /// Works out what every look at the motion shares.
    fn look(&mut self) {
        let [a, b] = self.beliefs;
        self.speed = b.speed + (a.speed - b.speed) * self.steady;
        self.pulls = [a.accel * self.steady, b.accel * (1.0 - self.steady)];
    }

    fn mixed(&self) -> (f32, [Motion; 2]) {
        let (steady, manoeuvre) = (self.steady, 1.0 - self.steady);
        let stays = FROM_STEADY[0] * steady;
        let prior = stays + FROM_MANOEUVRE * manoeuvre;
        let in_steady = stays / prior;
        let in_manoeuvre = FROM_STEADY[1] * steady / (1.0 - prior);
        let [a, b] = self.beliefs;
        (prior, [a.blend(b, in_steady), a.blend(b, in_manoeuvre)])
    }

    /// The motion at an instant and how it goes on, held before the last measurement.
    #[inline(never)]
    pub(crate) fn outlook(&self, at: Instant) -> Outlook {
        let lead = Lead::of(at.since_or_zero(self.at));
        let ([a, b], [(adds_a, left_a), (adds_b, left_b)]) = (self.pulls, lead.0);
        let speed = self.speed + a * adds_a + b * adds_b;
        Outlook { speed, pulls: [a * left_a, b * left_b] }
    }

    /// The speed at the last measurement.
    pub(crate) const fn last(&self) -> f32 {
        self.speed
    }
}

fn weigh(prior: f32, misses: [f32; 2], advance: f32) -> f32 {
    let ratio = misses[1] + advance - misses[0];
    let faded = decay(ratio.abs());
    let other = 1.0 - prior;
    let (steady, manoeuvre) =
        if ratio >= 0.0 { (prior, other * faded) } else { (prior * faded, other) };
    (steady / (steady + manoeuvre)).at_least(LEAST).at_most(1.0 - LEAST)
}
