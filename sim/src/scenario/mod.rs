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

mod day;
mod drill;
mod event;
mod fitted;
mod hydraulics;
mod limits;
pub mod read;
mod seed_lot;
mod tolerance;
pub mod write;

pub use day::is_day;
pub use drill::{AsBuilt, Drill, Drive, MeterTruth, Motor, Side, Truth, Ways};
pub use event::{Act, Disturbance, Event, Opened, Turn};
pub use fitted::{Fitted, Line, LineInput, Lines, Silence, Slip, YawFrom};
pub use hydraulics::Hydraulics;
pub use limits::Limits;
pub use seed_lot::{Caught, SeedLot};
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
    /// The seed lot in the hopper; with two boxes that in the first.
    pub seed_lot: SeedLot,
    /// That in the second box, where there is one.
    pub second_lot: Option<SeedLot>,
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
    /// What is fitted beyond the first source.
    pub fitted: Fitted,
    /// What must hold for a pass.
    pub tolerances: Vec<Tolerance>,
}

impl Scenario {
    /// Whether anything but straight on is driven.
    pub fn curves(&self) -> bool {
        !self.turns.is_empty() || self.field.as_ref().is_some_and(|field| field.path().is_some())
    }
}

impl Scenario {
    /// The lot of a product; a drill without a second box has one.
    pub fn lot(&self, product: usize) -> &SeedLot {
        self.second_lot.as_ref().filter(|_| product == 1).unwrap_or(&self.seed_lot)
    }

    /// The lots, in the order of the products.
    pub fn lots(&self) -> impl Iterator<Item = &SeedLot> {
        core::iter::once(&self.seed_lot).chain(&self.second_lot)
    }

    /// The rates by product at the begin, kg/ha.
    pub fn rates_kg_per_ha(&self) -> [f64; 2] {
        [0, 1].map(|product| self.lot(product).rate_kg_per_ha)
    }

    /// The speed sources in order of preference.
    pub fn sources(&self) -> impl Iterator<Item = &Source> {
        core::iter::once(&self.source).chain(&self.fitted.also)
    }

    /// The noise seeds, where a source is noisy.
    pub fn noise_seeds(&self) -> Option<&[u64]> {
        self.sources().find_map(|source| match source {
            Source::Gnss(gnss) => Some(gnss.seeds.as_slice()),
            Source::Pulses | Source::Bus(_) => None,
        })
    }
}

/// Ground speed source of the controller.
#[derive(Clone, Debug, PartialEq)]
pub enum Source {
    /// Pulses of a ground wheel or radar (`ground_pulses_per_m` of the drill).
    Pulses,
    /// Timed speed samples.
    Gnss(Gnss),
    /// Speed messages of the tractor's bus.
    Bus(BusSpeed),
}

impl Source {
    /// Its kind in a word or two.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Pulses => "pulses",
            Self::Gnss(_) => "gnss",
            Self::Bus(bus) => bus.group.kind(),
        }
    }
}

/// Speed messages of the bus: every 100 ms, in steps of 1 mm/s (ISO 11783-7).
#[derive(Clone, Debug, PartialEq)]
pub struct BusSpeed {
    /// Which of the messages.
    pub group: BusGroup,
    /// Age of a message's speed when it arrives, s.
    pub latency_s: f64,
}

/// A speed message of the bus.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BusGroup {
    /// Wheel-based: slips as the tractor's wheels do.
    Wheel,
    /// Ground-based.
    Ground,
    /// Machine selected; here the tractor selects its wheels.
    Selected,
}

impl BusGroup {
    /// Its name in a scenario file.
    pub const fn kind(self) -> &'static str {
        match self {
            Self::Wheel => "bus-wheel",
            Self::Ground => "bus-ground",
            Self::Selected => "bus-selected",
        }
    }
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
