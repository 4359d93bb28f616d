//! What is run: a drill, a seed lot, a speed profile, a speed source, events and tolerances.
//!
//! The types here are plain numbers in SI units (metres, seconds, kilograms, turns, radians).
//! Files write their units out; [`read`] turns them into these types and says what is wrong, where.
//!
//! ```text
//!  scenario.toml ──► read ──► Scenario { drill, seed lot, speed, source, events, tolerances }
//!    │ drill = "…"  ──► Drill                      │
//!    │ seed  = "…"  ──► SeedLot                    ▼
//!                                               bench
//! ```

mod drill;
mod event;
pub mod read;
mod seed_lot;
mod tolerance;
pub mod write;

pub use drill::{Drill, Drive, MeterTruth, Side, Truth};
pub use event::{Act, Disturbance, Event, Turn};
pub use seed_lot::SeedLot;
pub use tolerance::{Bound, Tolerance};

use crate::field::Field;
use crate::profile::Profile;

/// One run of the bench, as a person wrote it.
#[derive(Clone, Debug)]
pub struct Scenario {
    /// Short name, as in the file's stem: `ramp-0.5-pulses`.
    pub name: String,
    /// One line that says what is tried.
    pub title: String,
    /// The drill, as the controller is told it and as it truly is.
    pub drill: Drill,
    /// The seed lot in the hopper.
    pub seed_lot: SeedLot,
    /// Ground speed before the tractor smooths it.
    pub profile: Profile,
    /// Where the controller's ground speed comes from.
    pub source: Source,
    /// Operator's and lift inputs, in order of time. Each piece of the profile starts with the
    /// implement lowered, the operator on, at the seed lot's rate.
    pub events: Vec<Event>,
    /// Curves, in order of time; straight before the first.
    pub turns: Vec<Turn>,
    /// The field it is run on, if there is one; a planned way takes the place of the curves.
    pub field: Option<Field>,
    /// Disturbances of the supply and the load, in any order.
    pub disturbances: Vec<Disturbance>,
    /// What must hold for a pass.
    pub tolerances: Vec<Tolerance>,
}

impl Scenario {
    /// Whether anything but straight on is driven.
    pub fn curves(&self) -> bool {
        !self.turns.is_empty() || self.field.as_ref().is_some_and(|field| field.path().is_some())
    }
}

/// Ground speed source of the controller.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// Pulses of a ground wheel or radar (`ground_pulses_per_m` of the drill).
    Pulses,
    /// Timed speed samples.
    Gnss(Gnss),
}

/// A receiver of speed samples.
#[derive(Clone, Debug, PartialEq)]
pub struct Gnss {
    /// Time between samples, s.
    pub interval_s: f64,
    /// Age of a sample when it arrives, s.
    pub latency_s: f64,
    /// Noise of a sample, m/s rms.
    pub noise_mps: f64,
    /// Noise seeds; the scenario is run once for each and the worst counts.
    pub seeds: Vec<u64>,
}
