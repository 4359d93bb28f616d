//! What is fitted to the drill on the fault bench: its speed sources and sensors, its settings and its machine.
//!
//! Two sides of 2.0 m, 110 kg/ha, 0.06 kg a turn: 0.36667 turns a metre, as on the reference drill.

use crate::scenario::{Drive, MeterTruth, SeedLot, Truth, Ways};
use controller::drive::MapPoint;
use controller::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre,
    PulsesPerMetre, TurnsPerSecond,
};
use controller::seed::{MeterPoint, Product};
use controller::sense::{Sampled, SpeedSource};
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};

/// Ground pulses per metre.
pub const PULSES_PER_M: f64 = 130.0;

/// Teeth of the encoder wheel.
pub const TEETH: u32 = 180;

/// Mass of a turn, kg.
pub const KG_PER_TURN: f64 = 0.06;

/// Shaft turns per metre of travel.
pub const TURNS_PER_M: f64 = 110e-4 * 2.0 / KG_PER_TURN;

/// Time from meter to soil, s.
pub const DELIVERY_S: f64 = 0.35;

/// Offsets of the sides, m, left positive.
pub const OFFSETS_M: [f64; 2] = [1.0, -1.0];

/// A receiver's samples: every 100 ms, so many ticks late.
pub const RECEIVER_LATE: u32 = 10;

/// The bus's samples: every 100 ms, so many ticks late.
pub const BUS_LATE: u32 = 5;

/// Samples of the receiver are stale after this.
pub const RECEIVER_LIMIT: Micros = Micros::from_millis(1_000);

/// Samples of the bus are stale after this.
pub const BUS_LIMIT: Micros = Micros::from_millis(500);

/// The lift must read the same for so long.
pub const DEBOUNCE: Micros = Micros::from_millis(50);

/// What is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Setup {
    /// Pulses alone; no tube sensors, no level switch.
    Pulses,
    /// A receiver alone; no tube sensors, no level switch.
    Receiver,
    /// The bus alone; no tube sensors, no level switch.
    Bus,
    /// Pulses, then the receiver, then the bus; slip corrected; tube sensors and a level switch.
    All,
}

impl Setup {
    /// Every one.
    pub const EVERY: [Self; 4] = [Self::Pulses, Self::Receiver, Self::Bus, Self::All];

    /// In a word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Pulses => "pulses",
            Self::Receiver => "receiver",
            Self::Bus => "bus",
            Self::All => "all",
        }
    }

    /// In a sentence.
    #[must_use]
    pub const fn sentence(self) -> &'static str {
        match self {
            Self::Pulses => "ground pulses alone, no seed sensors",
            Self::Receiver => "a satellite receiver alone, no seed sensors",
            Self::Bus => "the tractor's bus alone, no seed sensors",
            Self::All => {
                "ground pulses, then a receiver, then the bus; tube sensors, a hopper level switch, two-channel encoders"
            }
        }
    }

    /// Several speed sources, tube sensors and a level switch.
    #[must_use]
    pub const fn is_full(self) -> bool {
        matches!(self, Self::All)
    }

    fn sources(self) -> Vec<SpeedSource> {
        let pulses = SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(130 << 16) };
        let receiver = SpeedSource::Samples { from: Sampled::Receiver, limit: RECEIVER_LIMIT };
        let bus = SpeedSource::Samples { from: Sampled::BusGround, limit: BUS_LIMIT };
        match self {
            Self::Pulses => vec![pulses],
            Self::Receiver => vec![receiver],
            Self::Bus => vec![bus],
            Self::All => vec![pulses, receiver, bus],
        }
    }

    /// What a person would have set.
    #[must_use]
    pub fn settings(self) -> SettingsConfig {
        let side = |millimetres| SideConfig {
            product: Product::First,
            outlets: 24,
            width: Micrometres::from_millimetres(2_000),
            offset: Micrometres::from_millimetres(millimetres),
            edges_per_turn: TEETH,
            two_channel: self.is_full(),
            meter: std::iter::once(MeterPoint {
                shaft: TurnsPerSecond::from_bits(1 << 21),
                mass: MicrogramsPerTurn::new(60_000_000),
            })
            .collect(),
            map: [point(13_107, 0), point(65_535, 3_460_301)].into_iter().collect(),
            lag: Micros::from_millis(150),
            dead_time: Micros::from_millis(50),
            valve: controller::drive::ValveKind::Proportional,
        };
        SettingsConfig {
            sides: [side(1_000), side(-1_000)].into_iter().collect(),
            sources: self.sources().into_iter().collect(),
            correct_slip: self.is_full(),
            rate: MilligramsPerSquareMetre::from_whole(11_000),
            second_rate: None,
            lowest_speed: MetresPerSecond::from_millimetres(150),
            top_speed: MetresPerSecond::from_millimetres(15_000),
            delivery_delay: Micros::from_millis(350),
            lift: LiftConfig { from: LiftSource::Switch, lowered_level: true, debounce: DEBOUNCE },
            places: PlacesConfig::default(),
            least_gap: Micrometres::from_millimetres(500),
            limits: LimitsConfig {
                start_speed: MetresPerSecond::from_millimetres(1_000),
                road_speed: MetresPerSecond::from_millimetres(8_000),
                raised_for: Micros::from_millis(30_000),
                ..LimitsConfig::default()
            },
            capture_rate: 100_000,
        }
    }
}

/// A point of the valve map; shaft speed in Q21 (1.65 turns/s at full command).
const fn point(command: u16, shaft: i32) -> MapPoint {
    MapPoint { command: Command::from_bits(command), shaft: TurnsPerSecond::from_bits(shaft) }
}

/// The machine as it truly is: oil that is 10 % thin, an encoder whose edges jitter.
#[must_use]
pub fn truth() -> Truth {
    Truth {
        drive: Drive {
            map: vec![(0.2, 0.0), (1.0, 1.65)],
            lag_s: 0.15,
            dead_time_s: 0.05,
            motor: None,
        },
        physical: false,
        gain: 0.9,
        swing: 0.03,
        swing_rad_per_s: 0.9,
        hysteresis: 0.0,
        coil_rise: 0.0,
        coil_warm_s: 1.0,
        encoder_jitter: 0.004,
        wheel_slip: 0.0,
        lift_bounce_s: 0.0,
        meter: MeterTruth { flutes: 0, pulsation: 0.0, wander: 0.0, wander_s: 1.0 },
        delivery_spread_s: 0.0,
        ways: Ways::default(),
    }
}

/// The seed in the hopper.
#[must_use]
pub fn seed_lot() -> SeedLot {
    SeedLot {
        name: "demo".to_owned(),
        demo: true,
        rate_kg_per_ha: 110.0,
        curve: vec![(1.0, KG_PER_TURN)],
        caught: None,
    }
}
