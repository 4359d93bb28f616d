//! Settings of a drill of two sides, as the station has them.

use controller::Settings;
use controller::drive::{MapPoint, ValveKind};
use controller::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre,
    PulsesPerMetre, TurnsPerSecond,
};
use controller::seed::{MeterPoint, Product};
use controller::sense::SpeedSource;
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};

/// Their fingerprint, as the station is told it.
pub(crate) const FINGERPRINT: u32 = 0x1234_5678;

/// Shaft speed in thousandths of a turn per second.
fn turns(thousandths: i64) -> TurnsPerSecond {
    let bits = i32::try_from((thousandths << 21) / 1_000).expect("a shaft speed");
    TurnsPerSecond::from_bits(bits)
}

fn side() -> SideConfig {
    let map = [(13_107, 0), (65_535, 1_650)];
    SideConfig {
        product: Product::First,
        outlets: 24,
        width: Micrometres::from_millimetres(4_000),
        offset: Micrometres::default(),
        edges_per_turn: 180,
        two_channel: false,
        meter: [MeterPoint { shaft: turns(1_000), mass: MicrogramsPerTurn::new(120_000_000) }]
            .into_iter()
            .collect(),
        map: map
            .map(|(command, shaft)| MapPoint {
                command: Command::from_bits(command),
                shaft: turns(shaft),
            })
            .into_iter()
            .collect(),
        lag: Micros::from_millis(150),
        dead_time: Micros::from_millis(50),
        valve: ValveKind::Proportional,
    }
}

pub(crate) fn settings() -> Settings {
    let source = SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(130 << 16) };
    let config = SettingsConfig {
        sides: core::iter::repeat_n(side(), 2).collect(),
        sources: core::iter::once(source).collect(),
        correct_slip: false,
        places: PlacesConfig::default(),
        least_gap: Micrometres::from_millimetres(500),
        limits: LimitsConfig::default(),
        rate: MilligramsPerSquareMetre::from_whole(11_000),
        second_rate: None,
        lowest_speed: MetresPerSecond::from_millimetres(150),
        top_speed: MetresPerSecond::from_millimetres(15_000),
        delivery_delay: Micros::from_millis(350),
        lift: LiftConfig {
            from: LiftSource::Switch,
            lowered_level: true,
            debounce: Micros::from_millis(20),
        },
        capture_rate: 100_000,
    };
    Settings::new(&config).expect("the controller takes them")
}
