//! Settings: every rule has an example that breaks it and names field, side, value and limit.

use crate::rig::{config, sampled, turns};
use controller::Settings;
use controller::drive::MapPoint;
use controller::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre,
    PulsesPerMetre,
};
use controller::seed::{MeterPoint, Product};
use controller::sense::{Sampled, SpeedSource};
use controller::settings::{LiftSource, Rule, SettingsConfig, SettingsError};

/// A change to the settings, the rule it breaks and the value that is named.
type Breaks = (fn(&mut SettingsConfig), Rule, i64);

fn error(config: &SettingsConfig) -> SettingsError {
    Settings::new(config).expect_err("a rule is broken")
}

/// Checks an error: rule, side, a value outside its limits and a message that holds both.
fn names(error: SettingsError, rule: Rule, side: Option<u8>, value: i64) {
    assert_eq!((error.rule, error.side, error.value), (rule, side, value), "{error}");
    let inside = (error.low..=error.high).contains(&value);
    assert!(!inside, "{error}: the value is possible by its own words");
    let words = error.to_string();
    assert!(words.contains(&value.to_string()), "{words}");
    assert_eq!(side.is_some(), words.starts_with("side 2, "), "{words}");
}

fn catch(shaft: i64, mass: u64) -> MeterPoint {
    MeterPoint { shaft: turns(shaft), mass: MicrogramsPerTurn::new(mass) }
}

fn opens(command: u16, shaft: i64) -> MapPoint {
    MapPoint { command: Command::from_bits(command), shaft: turns(shaft) }
}

fn bits(shaft: i64) -> i64 {
    i64::from(turns(shaft).to_bits())
}

#[test]
fn each_rule_of_the_machine_is_broken_by_one_step_past_its_limit() {
    let cases: &[Breaks] = &[
        (|c| c.sides.clear(), Rule::Sides, 0),
        (
            |c| c.rate = MilligramsPerSquareMetre::from_bits((50 << 16) - 1),
            Rule::Rate,
            (50 << 16) - 1,
        ),
        (
            |c| c.rate = MilligramsPerSquareMetre::from_bits((50_000 << 16) + 1),
            Rule::Rate,
            (50_000 << 16) + 1,
        ),
        (|c| c.sides[0].product = Product::Second, Rule::FirstProduct, 0),
        (
            |c| c.second_rate = Some(MilligramsPerSquareMetre::from_whole(800)),
            Rule::SecondRate,
            800 << 16,
        ),
        (|c| c.lowest_speed = MetresPerSecond::from_bits(52_428), Rule::LowestSpeed, 52_428),
        (
            |c| c.lowest_speed = MetresPerSecond::from_bits((2 << 20) + 1),
            Rule::LowestSpeed,
            (2 << 20) + 1,
        ),
        (|c| c.top_speed = c.lowest_speed, Rule::TopSpeed, 157_286),
        (
            |c| c.top_speed = MetresPerSecond::from_bits((15 << 20) + 1),
            Rule::TopSpeed,
            (15 << 20) + 1,
        ),
        (|c| c.delivery_delay = Micros::new(2_000_001), Rule::DeliveryDelay, 2_000_001),
        (|c| c.lift.debounce = Micros::new(500_001), Rule::Debounce, 500_001),
        (|c| c.capture_rate = 9, Rule::CaptureRate, 9),
        (|c| c.capture_rate = 1_000_001, Rule::CaptureRate, 1_000_001),
        (|c| c.sources[0] = pulses((1 << 16) - 1), Rule::PulsesPerMetre, (1 << 16) - 1),
        (|c| c.sources[0] = pulses((2_000 << 16) + 1), Rule::PulsesPerMetre, (2_000 << 16) + 1),
        (|c| c.sources[0] = samples(99_999), Rule::SampleLimit, 99_999),
        (|c| c.sources[0] = samples(5_000_001), Rule::SampleLimit, 5_000_001),
    ];
    break_each(cases);
}

/// Every change breaks its rule by its value.
fn break_each(cases: &[Breaks]) {
    for &(change, rule, value) in cases {
        let mut config = config(1);
        change(&mut config);
        names(error(&config), rule, None, value);
    }
}

#[test]
fn each_rule_of_sources_lift_and_places_is_broken_by_one_step_past_its_limit() {
    let cases: &[Breaks] = &[
        (|c| c.sources.clear(), Rule::Sources, 0),
        (twice, Rule::SourceTwice, 1),
        (|c| c.correct_slip = true, Rule::SlipSources, 1),
        (|c| c.lift.from = hitch(199_999), Rule::HitchLimit, 199_999),
        (|c| c.lift.from = hitch(5_000_001), Rule::HitchLimit, 5_000_001),
        (|c| c.places.antenna_to_opener = um(-20_000_001), Rule::AntennaToOpener, -20_000_001),
        (|c| c.places.antenna_to_opener = um(20_000_001), Rule::AntennaToOpener, 20_000_001),
        (|c| c.places.lowering = um(-1), Rule::Lowering, -1),
        (|c| c.places.lowering = um(10_000_001), Rule::Lowering, 10_000_001),
        (|c| c.places.lifting = um(-1), Rule::Lifting, -1),
        (|c| c.places.lifting = um(10_000_001), Rule::Lifting, 10_000_001),
        (|c| c.least_gap = um(99_999), Rule::LeastGap, 99_999),
        (|c| c.least_gap = um(50_000_001), Rule::LeastGap, 50_000_001),
    ];
    break_each(cases);
}

/// A second source of pulses.
fn twice(config: &mut SettingsConfig) {
    let _full = config.sources.push(config.sources[0]);
}

const fn hitch(limit: u32) -> LiftSource {
    LiftSource::Hitch { limit: Micros::new(limit) }
}

const fn um(micrometres: i32) -> Micrometres {
    Micrometres::new(micrometres)
}

const fn pulses(bits: u32) -> SpeedSource {
    SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(bits) }
}

const fn samples(micros: u32) -> SpeedSource {
    SpeedSource::Samples { from: Sampled::Receiver, limit: Micros::new(micros) }
}

#[test]
fn each_rule_of_a_side_is_broken_by_one_step_past_its_limit() {
    let cases: &[Breaks] = &[
        (|c| c.sides[1].width = Micrometres::new(99_999), Rule::Width, 99_999),
        (|c| c.sides[1].width = Micrometres::new(18_000_001), Rule::Width, 18_000_001),
        (|c| c.sides[1].offset = Micrometres::new(-20_000_001), Rule::Offset, -20_000_001),
        (|c| c.sides[1].offset = Micrometres::new(20_000_001), Rule::Offset, 20_000_001),
        (|c| c.sides[1].edges_per_turn = 0, Rule::EdgesPerTurn, 0),
        (|c| c.sides[1].edges_per_turn = 4_097, Rule::EdgesPerTurn, 4_097),
        (|c| c.sides[1].lag = Micros::new(9_999), Rule::Lag, 9_999),
        (|c| c.sides[1].lag = Micros::new(2_000_001), Rule::Lag, 2_000_001),
        (|c| c.sides[1].dead_time = Micros::new(999), Rule::DeadTime, 999),
        (|c| c.sides[1].dead_time = Micros::new(1_000_001), Rule::DeadTime, 1_000_001),
        (|c| c.sides[1].meter.clear(), Rule::MeterPoints, 0),
        (|c| c.sides[1].map.clear(), Rule::MapPoints, 0),
        (|c| c.sides[1].map.truncate(1), Rule::MapPoints, 1),
    ];
    for &(change, rule, value) in cases {
        let mut config = config(2);
        change(&mut config);
        names(error(&config), rule, Some(1), value);
    }
}

#[test]
fn a_wrong_catch_is_named_by_number_with_its_value_and_limit() {
    let cases: [(&[MeterPoint], Rule, u8, i64); 6] = [
        (&[catch(500, 199_999)], Rule::MeterMass, 1, 199_999),
        (&[catch(500, 5_000_000_001)], Rule::MeterMass, 1, 5_000_000_001),
        (&[catch(-1, 120_000_000)], Rule::MeterOrder, 1, bits(-1)),
        (&[catch(500, 120_000_000), catch(500, 121_000_000)], Rule::MeterOrder, 2, bits(500)),
        (
            &[catch(500, 120_000_000), catch(1_000, 120_000_000), catch(900, 121_000_000)],
            Rule::MeterOrder,
            3,
            bits(900),
        ),
        // 0.5 turns/s of 120 g and 1 turn/s of 60 g are the same flow.
        (&[catch(500, 120_000_000), catch(1_000, 60_000_000)], Rule::MeterFlow, 2, 60_000_000),
    ];
    for (points, rule, number, value) in cases {
        let mut config = config(2);
        config.sides[1].meter = points.iter().copied().collect();
        let error = error(&config);
        names(error, rule, Some(1), value);
        assert_eq!(error.point, Some(number), "{error}");
        assert!(error.to_string().contains(&format!("point {number}")), "{error}");
    }
}

#[test]
fn a_wrong_point_of_the_map_is_named_by_number_with_its_value_and_limit() {
    let cases: [(&[MapPoint], Rule, u8, i64); 5] = [
        (&[opens(100, 5), opens(200, 1_000)], Rule::MapOpening, 1, bits(5)),
        (&[opens(100, 0), opens(200, 0), opens(300, 1_000)], Rule::MapOrder, 2, 0),
        (&[opens(100, 0), opens(100, 1_000)], Rule::MapCommand, 2, 100),
        (&[opens(100, 0), opens(200, 19)], Rule::MapFull, 2, bits(19)),
        (&[opens(100, 0), opens(200, 10_001)], Rule::MapFull, 2, bits(10_001)),
    ];
    for (points, rule, number, value) in cases {
        let mut config = config(2);
        config.sides[1].map = points.iter().copied().collect();
        let error = error(&config);
        names(error, rule, Some(1), value);
        assert_eq!(error.point, Some(number), "{error}");
    }
}

#[test]
fn turns_per_metre_out_of_range_are_named_with_the_value_that_is_out() {
    let mut config = config(2);
    config.sides[1].meter = [catch(1_000, 5_000_000_000)].into_iter().collect();
    config.sides[1].width = Micrometres::new(400_000);
    // 0.4 m · 0.011 kg/m² / 5 kg = 0.00088 turns per metre.
    names(error(&config), Rule::TurnsPerMetre, Some(1), 59_056);
    // The steep piece of a curve is out although its first catch is within: flow hardly rises.
    let mut config = self::config(2);
    config.sides[1].meter =
        [catch(1_000, 120_000_000), catch(2_000, 60_000_001)].into_iter().collect();
    let error = error(&config);
    names(error, Rule::TurnsPerMetre, Some(1), error.value);
}

#[test]
fn a_sensor_that_is_faster_than_the_capture_is_named() {
    let mut config = config(2);
    // 130 per metre at 15 m/s.
    config.capture_rate = 1_950;
    assert!(Settings::new(&config).is_ok(), "1950 edges per second can be captured");
    config.capture_rate = 1_949;
    names(error(&config), Rule::GroundCapture, None, 1_950);
    assert!(error(&config).to_string().contains("ground sensor"));
    // 4096 per turn at 1.65 turns/s.
    config.capture_rate = 6_758;
    config.sides[1].edges_per_turn = 4_096;
    assert!(Settings::new(&config).is_ok(), "6758 can");
    config.capture_rate = 6_757;
    names(error(&config), Rule::ShaftCapture, Some(1), 6_758);
    assert!(error(&config).to_string().contains("shaft encoder"));
}

#[test]
fn the_limits_themselves_are_possible() {
    let changes: &[fn(&mut SettingsConfig)] = &[
        |c| c.lowest_speed = MetresPerSecond::from_bits(52_429),
        |c| c.lowest_speed = MetresPerSecond::from_bits(2 << 20),
        |c| c.top_speed = MetresPerSecond::from_bits(157_287),
        |c| c.top_speed = MetresPerSecond::from_bits(15 << 20),
        |c| c.delivery_delay = Micros::ZERO,
        |c| c.delivery_delay = Micros::new(2_000_000),
        |c| c.lift.debounce = Micros::ZERO,
        |c| c.lift.debounce = Micros::new(500_000),
        |c| c.capture_rate = 1_000_000,
        |c| c.sources[0] = pulses(1 << 16),
        |c| c.sources[0] = pulses(2_000 << 16),
        |c| c.sources[0] = samples(100_000),
        |c| c.sources[0] = samples(5_000_000),
        |c| c.sides[0].width = Micrometres::new(100_000),
        |c| c.sides[0].width = Micrometres::new(18_000_000),
        |c| c.sides[0].offset = Micrometres::new(20_000_000),
        |c| c.sides[0].edges_per_turn = 1,
        |c| c.sides[0].edges_per_turn = 4_096,
        |c| c.sides[0].lag = Micros::new(10_000),
        |c| c.sides[0].lag = Micros::new(2_000_000),
        |c| c.sides[0].dead_time = Micros::new(1_000),
        |c| c.sides[0].dead_time = Micros::new(1_000_000),
        |c| c.sides[0].meter = [catch(0, 120_000_000)].into_iter().collect(),
        |c| c.sides[0].map = [opens(1, 0), opens(2, 21)].into_iter().collect(),
        |c| c.sides[0].map = [opens(0, 0), opens(65_535, 10_000)].into_iter().collect(),
    ];
    for (index, change) in changes.iter().enumerate() {
        let mut config = config(1);
        change(&mut config);
        assert!(Settings::new(&config).is_ok(), "change {index}: {:?}", Settings::new(&config));
    }
    assert!(Settings::new(&sampled()).is_ok());
}

#[test]
fn the_least_and_most_rate_and_mass_are_possible_together_with_a_width_that_fits() {
    for (rate, width, mass) in [
        (50_u16, 18_000_000, 200_000),
        (50_000, 100_000, 5_000_000_000),
        (50_000, 18_000_000, 18_000_000),
    ] {
        let mut config = config(1);
        config.rate = MilligramsPerSquareMetre::from_whole(rate);
        config.sides[0].width = Micrometres::new(width);
        config.sides[0].meter = [catch(1_000, mass)].into_iter().collect();
        assert!(Settings::new(&config).is_ok(), "{:?}", Settings::new(&config));
    }
}

#[test]
fn a_second_product_has_a_rate_and_ground_of_its_own_or_all_of_that_of_another_side() {
    type Case = (fn(&mut SettingsConfig), Option<(Rule, Option<u8>, i64)>);
    let shared = Some((Rule::SharedGround, Some(1), 1));
    let cases: [Case; 7] = [
        (|_| (), None),
        (|c| c.second_rate = None, Some((Rule::SecondRate, None, 0))),
        (|c| c.sides[1].width = um(3_999_999), shared),
        (|c| c.sides[1].offset = um(1), shared),
        (|c| c.sides[1].offset = um(3_999_997), shared),
        (|c| c.sides[1].offset = um(4_000_000), None),
        (
            |c| {
                let third = c.sides[1].clone();
                c.sides.push(third).expect("room");
            },
            Some((Rule::SharedGround, Some(2), 1)),
        ),
    ];
    for (change, broken) in cases {
        let mut config = config(2);
        config.sides[1].product = Product::Second;
        config.second_rate = Some(MilligramsPerSquareMetre::from_whole(800));
        change(&mut config);
        let have = Settings::new(&config).err().map(|error| (error.rule, error.side, error.value));
        assert_eq!(have, broken);
    }
}

#[test]
fn a_side_has_an_outlet_at_the_least_and_no_more_than_512() {
    for outlets in [0, 513] {
        let mut config = config(2);
        config.sides[1].outlets = outlets;
        names(error(&config), Rule::Outlets, Some(1), i64::from(outlets));
    }
}
