//! The law of a tick once more in f32: what would it cost where there is no float unit?
//!
//! ```text
//!  pulses or samples ─► ground ─► demand ─► lead ─► drive ─► valve command
//!                               encoder ─► shaft ──────┘
//! ```
//!
//! In both, and compared: one source of ground speed (pulse windows or samples, belief in jumps, the tracker of two models with
//! its gains between rows, the bound by the wait since the last pulse), the demand's line, the lead, the shaft's windows and
//! bound, the model for sparse edges, the gains' row, PI with its trim of gain and offset, the limit of the correction, the map
//! and the word for the PWM, for each side. Time and edges are whole numbers in both: the pulse meter is the core's own.
//! Tables stand in for `exp` here as well, so it is the arithmetic that differs and nothing else.
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
use controller::settings::SettingsConfig;
use controller::{Inputs, MAX_SIDES};
use demand::Demand;
use drive::{Drive, DriveState, Feedback};
use ground::{Ground, GroundState};

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
    state: DriveState,
}

/// The law with what it remembers.
#[expect(missing_debug_implementations, reason = "nothing shows it")]
pub struct Law {
    ground: Ground,
    state: GroundState,
    sides: [Option<Side>; MAX_SIDES],
    delay: Micros,
    last: Option<Instant>,
}

impl Law {
    /// For settings with one speed source and proportional valves that the core accepts.
    pub fn new(config: &SettingsConfig) -> Self {
        let ground = Ground::new(config);
        let side = |index: usize| {
            let side = config.sides.get(index)?;
            let demand = Demand::new(side, config.rate);
            let drive = Drive::new(side, &config.limits, ground.quality());
            Some(Side { demand, drive, state: DriveState::default() })
        };
        let sides = [side(0), side(1), side(2), side(3)];
        Self {
            ground,
            state: GroundState::default(),
            sides,
            delay: config.delivery_delay,
            last: None,
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
        let speed = self.ground.now(&self.state, now);
        let mut commands = [0; MAX_SIDES];
        for (index, side) in self.sides.iter_mut().enumerate() {
            let Some(side) = side else { continue };
            side.drive.measure(&mut side.state, inputs.sides[index].shaft, (now, elapsed));
            if sows[index] {
                let feedback = side.feedback(&self.ground, &self.state, (now, self.delay), speed);
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
    fn feedback(
        &self,
        ground: &Ground,
        state: &GroundState,
        (now, delay): (Instant, Micros),
        speed: f32,
    ) -> Feedback {
        let motion = ground.motion(state, now.plus(delay.saturating_add(self.drive.reach())));
        let half = speed * 0.5;
        let ahead = motion.speed.at_least(half).at_most(speed + half);
        let wanted = self.demand.shaft(ahead);
        let bound = wanted * 0.5;
        let lead = motion.accel * self.demand.slope(ahead) * self.drive.lag;
        let was = ground.motion(state, self.state.measured_at().plus(delay));
        Feedback {
            ahead: wanted,
            lead: lead.at_least(-bound).at_most(bound),
            wanted: self.demand.shaft(was.speed),
        }
    }
}
