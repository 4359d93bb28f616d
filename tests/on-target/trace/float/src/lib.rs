//! The law of a tick once more in f32: what would it cost where there is no float unit?
//!
//! ```text
//!  pulses or samples ─► ground ─► demand ─► lead ─► drive ─► valve command
//!                               encoder ─► shaft ──────┘
//! ```
//!
//! In both, and compared: one source of ground speed (pulse windows or samples, belief in jumps, the tracker of two models with
//! its gains between rows, one carry to now and its look ahead, the bound by the wait since the last pulse), the demand's
//! line, the lead, the shaft's windows and bound, the model for sparse edges, the gains' row, PI with its trim of gain and offset
//! that learns in every second tick, sides in turn, the limit of the correction, the map and the word for the PWM, for each side. What the
//! core works out when settings change, this law works out then too; time and edges are whole numbers in both, and the pulse
//! meter is the core's own. Tables stand in for `exp` here as well, so it is the arithmetic that differs and nothing else.
//!
//! In the core alone, and not compared: yaw, choice and comparison of sources, slip, states of the sides, watch, tally, gaps,
//! runs, motorised valves. Whether a side sows is told to this law.

#![no_std]

mod decay;
mod demand;
mod drive;
mod ground;
pub mod beside;
mod shaft;
mod tracker;
mod trim;

use controller::quantity::{Instant, Micros};
use controller::sense::Closing;
use controller::settings::SettingsConfig;
use controller::{Inputs, MAX_SIDES};
use demand::Demand;
use drive::{Drive, DriveState, Feedback};
use ground::{Ground, GroundState};
use tracker::{Lead, Motion};

/// Seconds of a time.
pub(crate) const fn seconds(time: Micros) -> f32 {
    #[expect(clippy::cast_precision_loss, reason = "that is what is compared")]
    let micros = time.get() as f32;
    micros * 1e-6
}

/// A word of so many fraction bits.
#[expect(clippy::cast_possible_truncation, reason = "that is what is compared")]
pub(crate) fn real(word: impl Into<f64>, bits: i32) -> f32 {
    let mut value: f64 = word.into();
    for _ in 0..bits {
        value *= 0.5;
    }
    value as f32
}

/// Bounds without a library's care for what is no number.
pub(crate) trait Bounded {
    fn at_most(self, most: Self) -> Self;
    fn at_least(self, least: Self) -> Self;
}

impl Bounded for f32 {
    fn at_most(self, most: Self) -> Self {
        if self > most { most } else { self }
    }

    fn at_least(self, least: Self) -> Self {
        if self < least { least } else { self }
    }
}

/// One side.
struct Side {
    demand: Demand,
    drive: Drive,
    lead: Lead,
    state: DriveState,
}

/// The law with what it remembers.
#[expect(missing_debug_implementations, reason = "nothing shows it")]
pub struct Law {
    ground: Ground,
    state: GroundState,
    sides: [Option<Side>; MAX_SIDES],
    delay: Micros,
    delivery: Lead,
    last: Option<Instant>,
    odd: bool,
}

impl Law {
    /// For settings with one speed source and proportional valves that the core accepts.
    pub fn new(config: &SettingsConfig) -> Self {
        let ground = Ground::new(config);
        let side = |index: usize| {
            let side = config.sides.get(index)?;
            let demand = Demand::new(side, config.rate);
            let closing = if index.is_multiple_of(2) { Closing::Odd } else { Closing::Even };
            let drive = Drive::new(side, &config.limits, (ground.quality(), closing));
            let lead = Lead::of(config.delivery_delay.saturating_add(drive.reach()));
            Some(Side { demand, drive, lead, state: DriveState::default() })
        };
        let sides = [side(0), side(1), side(2), side(3)];
        Self {
            ground,
            state: GroundState::default(),
            sides,
            delay: config.delivery_delay,
            delivery: Lead::of(config.delivery_delay),
            last: None,
            odd: false,
        }
    }

    /// Sides of the settings.
    pub fn sides(&self) -> usize {
        self.sides.iter().flatten().count()
    }

    /// Whether a side's valve opens further than its map says by more than is told.
    pub fn is_too_far(&self, index: usize) -> bool {
        let side = self.sides.get(index).and_then(Option::as_ref);
        side.is_some_and(|side| side.state.is_too_far())
    }

    /// One tick: the valve commands, 2⁻¹⁶. `sows` are the sides that lay seed.
    pub fn tick(&mut self, inputs: &Inputs, sows: [bool; MAX_SIDES]) -> [u16; MAX_SIDES] {
        let now = inputs.now;
        let elapsed = self.last.map_or(Micros::ZERO, |last| now.since_or_zero(last));
        self.last = Some(now);
        self.ground.update(&mut self.state, inputs);
        let outlook = self.state.outlook(now);
        let speed = self.ground.now(&self.state, &outlook);
        let due = outlook.after(&self.delivery);
        self.odd = !self.odd;
        let mut commands = [0; MAX_SIDES];
        for (index, side) in self.sides.iter_mut().enumerate() {
            let Some(side) = side else { continue };
            side.drive.measure(&mut side.state, inputs.sides[index].shaft, (now, elapsed));
            if sows[index] {
                let age = now.since_or_zero(side.state.measured_at());
                let was = due
                    .before(age)
                    .unwrap_or_else(|| self.state.speed(side.state.measured_at().plus(self.delay)));
                // The trim learns in every second tick.
                let learns = self.odd == index.is_multiple_of(2);
                let feedback = side.feedback(outlook.after(&side.lead), speed, (was, learns));
                commands[index] = side.drive.update(&mut side.state, feedback, now);
            } else {
                side.state.rest();
            }
        }
        commands
    }
}

impl Side {
    /// What is wanted ahead, the lead, and what was wanted when the shaft was measured.
    fn feedback(&self, motion: Motion, speed: f32, (was, learns): (f32, bool)) -> Feedback {
        let half = speed * 0.5;
        let ahead = motion.speed.at_least(half).at_most(speed + half);
        let wanted = self.demand.shaft(ahead);
        let bound = wanted * 0.5;
        let lead = motion.accel * self.demand.slope(ahead) * self.drive.lag;
        let lead = lead.at_least(-bound).at_most(bound);
        Feedback { ahead: wanted, lead, wanted: self.demand.shaft(was), learns }
    }
}
