//! Settings for these tests: arbitrary ones, and those of a drill with four sides.

use controller::SettingsConfig;
use controller::drive::{MapPoint, MotorisedConfig, ValveKind};
use controller::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre,
    PerMille, PulsesPerMetre, TurnsPerSecond,
};
use controller::seed::{MeterPoint, Product};
use controller::sense::{Sampled, SpeedSource};
use controller::settings::{LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SideConfig};
use proptest::collection::vec;
use proptest::prelude::*;

/// A drill of four sides of 3 m, demo.
pub(crate) fn drill() -> SettingsConfig {
    let point = |command, turns| MapPoint {
        command: Command::from_bits(command),
        shaft: TurnsPerSecond::from_bits(turns),
    };
    let side = |offset| SideConfig {
        product: Product::First,
        outlets: 24,
        width: Micrometres::from_millimetres(3_000),
        offset: Micrometres::from_millimetres(offset),
        edges_per_turn: 180,
        two_channel: false,
        meter: [MeterPoint {
            shaft: TurnsPerSecond::from_bits(1 << 21),
            mass: MicrogramsPerTurn::new(120_000_000),
        }]
        .into_iter()
        .collect(),
        map: [point(13_107, 0), point(65_535, 3 << 20)].into_iter().collect(),
        lag: Micros::from_millis(150),
        dead_time: Micros::from_millis(50),
        valve: ValveKind::Proportional,
    };
    SettingsConfig {
        sides: [4_500, 1_500, -1_500, -4_500].map(side).into_iter().collect(),
        sources: [SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(130 << 16) }]
            .into_iter()
            .collect(),
        correct_slip: false,
        rate: MilligramsPerSquareMetre::from_whole(11_000),
        second_rate: None,
        lowest_speed: MetresPerSecond::from_millimetres(150),
        top_speed: MetresPerSecond::from_millimetres(4_000),
        delivery_delay: Micros::from_millis(350),
        lift: LiftConfig {
            from: LiftSource::Switch,
            lowered_level: true,
            debounce: Micros::from_millis(50),
        },
        places: PlacesConfig::default(),
        least_gap: Micrometres::from_millimetres(1_000),
        limits: LimitsConfig::default(),
        capture_rate: 100_000,
    }
}

/// Any settings that can be written down, whether they make sense or not.
pub(crate) fn any_settings() -> impl Strategy<Value = SettingsConfig> {
    let words = (any::<[u32; 5]>(), any::<[i32; 3]>(), any::<[bool; 2]>(), any::<[u16; 3]>());
    (vec(side(), 0..=4), vec(source(), 0..=4), lift(), words).prop_map(
        |(sides, sources, lift, (words, lengths, switches, halves))| SettingsConfig {
            sides: sides.into_iter().collect(),
            sources: sources.into_iter().collect(),
            correct_slip: switches[0],
            rate: MilligramsPerSquareMetre::from_bits(words[0]),
            // A rate of nothing is none, and written so.
            second_rate: Some(MilligramsPerSquareMetre::from_bits(words[1]))
                .filter(|it| it.to_bits() % 4 > 0),
            lowest_speed: MetresPerSecond::from_bits(words[1].cast_signed()),
            top_speed: MetresPerSecond::from_bits(words[2].cast_signed()),
            delivery_delay: Micros::new(words[3]),
            lift: LiftConfig { lowered_level: switches[1], ..lift },
            places: PlacesConfig {
                antenna_to_opener: Micrometres::new(lengths[0]),
                lowering: Micrometres::new(lengths[1]),
                lifting: Micrometres::new(lengths[2]),
            },
            least_gap: Micrometres::new(lengths[0].wrapping_mul(7)),
            limits: LimitsConfig {
                start_speed: MetresPerSecond::from_bits(lengths[2]),
                road_speed: MetresPerSecond::from_bits(lengths[1]),
                raised_for: Micros::new(words[1]),
                correction_told: PerMille::new(halves[0]),
                correction_limit: PerMille::new(halves[1]),
                rate_band: PerMille::new(halves[2]),
                rate_way: Micrometres::new(lengths[0].rotate_left(9)),
            },
            capture_rate: words[4],
        },
    )
}

fn lift() -> impl Strategy<Value = LiftConfig> {
    (proptest::option::of(any::<u32>()), any::<u32>()).prop_map(|(limit, debounce)| LiftConfig {
        from: limit
            .map_or(LiftSource::Switch, |limit| LiftSource::Hitch { limit: Micros::new(limit) }),
        lowered_level: false,
        debounce: Micros::new(debounce),
    })
}

fn source() -> impl Strategy<Value = SpeedSource> {
    let from = prop_oneof![
        Just(Sampled::Receiver),
        Just(Sampled::BusWheel),
        Just(Sampled::BusGround),
        Just(Sampled::BusSelected)
    ];
    prop_oneof![
        any::<u32>()
            .prop_map(|bits| SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(bits) }),
        (from, any::<u32>())
            .prop_map(|(from, limit)| SpeedSource::Samples { from, limit: Micros::new(limit) }),
    ]
}

fn side() -> impl Strategy<Value = SideConfig> {
    let meter = vec((any::<i32>(), any::<u64>()), 0..=6);
    let map = vec((any::<u16>(), any::<i32>()), 0..=12);
    (any::<[u32; 7]>(), any::<(bool, u16)>(), meter, map).prop_map(
        |(words, (second, outlets), meter, map)| SideConfig {
            product: if second { Product::Second } else { Product::First },
            outlets,
            width: Micrometres::new(words[0].cast_signed()),
            offset: Micrometres::new(words[1].cast_signed()),
            edges_per_turn: words[2],
            two_channel: words[2] % 2 == 1,
            meter: meter
                .into_iter()
                .map(|(shaft, mass)| MeterPoint {
                    shaft: TurnsPerSecond::from_bits(shaft),
                    mass: MicrogramsPerTurn::new(mass),
                })
                .collect(),
            map: map
                .into_iter()
                .map(|(command, shaft)| MapPoint {
                    command: Command::from_bits(command),
                    shaft: TurnsPerSecond::from_bits(shaft),
                })
                .collect(),
            lag: Micros::new(words[3]),
            dead_time: Micros::new(words[4]),
            valve: match words[5] % 2 {
                0 => ValveKind::Proportional,
                _ => ValveKind::Motorised(MotorisedConfig {
                    stroke: Micros::new(words[5]),
                    play: Micros::new(words[6]),
                }),
            },
        },
    )
}
