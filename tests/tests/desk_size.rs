//! The sizing: every limit can bind, a row is what a pocket calculator gives, the ranking keeps its word.

use sim::scenario::{Drill, Hydraulics, SeedLot, read};
use sim::size::{Binding, DISPLACEMENTS_M3, Sizing, TEETH, Trial, TrialError, Wanted, with_motor};
use sim::unit::System;
use std::path::{Path, PathBuf};

fn demo(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../demo-data").join(path)
}

fn sized_drill() -> (Drill, SeedLot) {
    let drill = read::drill(&demo("drills/sized.toml")).unwrap_or_else(|error| panic!("{error}"));
    let lot =
        read::seed_lot(&demo("seeds/demo-110.toml")).unwrap_or_else(|error| panic!("{error}"));
    (drill, lot)
}

fn size(drill: &Drill, lot: &SeedLot) -> Sizing {
    Sizing::of(drill, lot, Wanted::default(), System::Metric)
}

#[track_caller]
fn near(what: &str, have: f64, want: f64, share: f64) {
    assert!((have / want - 1.0).abs() <= share, "{what}: have {have}, want {want}");
}

#[test]
fn a_row_is_what_a_pocket_calculator_gives() {
    let (drill, lot) = sized_drill();
    let sizing = size(&drill, &lot);
    let row = &sizing.sides[0].speeds[5];
    let some = |value: Option<f64>| value.expect("there is an oil side");
    // 3 m/s × 4 m × 110 kg/ha = 0.132 kg/s; 0.12 kg a turn: 1.1 turns/s; three turns of the motor each: 3.3 turns/s of
    // 32 cm³, 105.6 cm³/s, over 0.9: 117.33 cm³/s, 7.04 L/min.
    near("m/s", row.speed_mps, 3.0, 1e-12);
    near("turns/s", row.turns_per_s, 1.1, 1e-9);
    near("motor, turns/s", some(row.motor_turns_per_s), 3.3, 1e-9);
    near("L/min", some(row.flow_m3_per_s) * 60_000.0, 7.04, 1e-9);
    near("edges/s", row.edges_per_s, 198.0, 1e-9);
    near("edges in the lag", row.edges_per_lag, 29.7, 1e-9);
    // 1.1 of 1.65 turns/s are two thirds of the way from 20 % to full.
    near("opening", row.opening, 0.2 + 0.8 * 2.0 / 3.0, 1e-9);
    // Two thirds of 11 L/min would pass at 7 bar: 7 × (7.04 / 7.3333)² = 6.4512 bar.
    near("drop over the valve, bar", some(row.valve_drop_pa) / 1e5, 6.4512, 1e-6);
    let oil = sizing.oil.expect("there is an oil side");
    // 2π × 20 / (96 cm³ × 0.85) = 15.400 bar; 96 cm³ × 90 bar / 2π = 137.510 N·m, × 0.85 = 116.883; 2π × 150 / 96 cm³ = 98.175 bar.
    near("drop, bar", oil.drop_pa / 1e5, 15.400, 1e-4);
    near("blocked", oil.blocked_torque_nm, 137.510, 1e-5);
    near("turning", oil.turning_torque_nm, 116.883, 1e-5);
    near("relief at most, bar", oil.relief_at_most_pa / 1e5, 98.175, 1e-5);
    near("flow wanted, L/min", oil.flow_at_wanted_m3_per_s * 60_000.0, 7.04, 1e-9);
    near("travel per flute", some(sizing.sides[0].travel_per_flute_m), 12.0 / 44.0 / 1.2, 1e-9);
}

/// What is changed, and where that limit then stands by arithmetic, m/s.
type Case = (Binding, fn(&mut Drill), f64);

#[test]
fn every_limit_can_bind() {
    // One metre a second is 0.36667 turns/s of the shaft, 1.1 of the motor, 2.34667 L/min.
    let oil = |drill: &mut Drill, change: fn(&mut Hydraulics)| {
        change(drill.hydraulics.as_mut().expect("there is an oil side"));
    };
    let per_mps = 1.1 / 3.0;
    let below: [Case; 4] = [
        (Binding::LowestSowingSpeed, |it| it.lowest_speed_mps = 1.9, 1.9),
        (Binding::SmoothTurning, |it| it.told.map[1].1 = 9.0, 9.0 / 64.0 / per_mps),
        (Binding::EncoderResolution, |it| it.sides[0].encoder_pulses_per_turn = 1, 0.25 / per_mps),
        (Binding::MotorLowest, |it| it.hydraulics.as_mut().unwrap().lowest_motor = 1.0, 1.0 / 1.1),
    ];
    let above: [Case; 6] = [
        (Binding::FullCommand, |it| it.told.map[1].1 = 1.0, 1.0 / per_mps),
        (
            Binding::ShaftCapture,
            |it| it.sides[0].encoder_pulses_per_turn = 1_000_000,
            0.1 / per_mps,
        ),
        (Binding::GroundCapture, |it| it.ground_pulses_per_m = 1e5, 1.0),
        (Binding::MotorHighest, |it| it.hydraulics.as_mut().unwrap().highest_motor = 2.2, 2.0),
        (
            Binding::ValveFlow,
            |it| it.hydraulics.as_mut().unwrap().valve_flow_m3_per_s = 4.693_333e-3 / 60.0,
            2.0,
        ),
        (
            Binding::TractorFlow,
            |it| it.hydraulics.as_mut().unwrap().tractor_flow_m3_per_s = 4.693_333e-3 / 60.0,
            2.0,
        ),
    ];
    for (by, change, at) in below {
        let (mut drill, lot) = sized_drill();
        change(&mut drill);
        let sizing = size(&drill, &lot);
        assert_eq!(sizing.sides[0].lowest.by, by);
        near("m/s", sizing.from_mps, at, 1e-6);
    }
    for (by, change, at) in above {
        let (mut drill, lot) = sized_drill();
        change(&mut drill);
        let sizing = size(&drill, &lot);
        assert_eq!(sizing.sides[0].highest.by, by);
        near("m/s", sizing.to_mps, at, 1e-6);
    }
    // A relief just above what turning takes, 15.4 bar, leaves the valve a part of its 7 bar.
    let (mut drill, lot) = sized_drill();
    oil(&mut drill, |it| it.relief_pa = it.drop_pa() + 0.25 * it.valve_drop_pa);
    let sizing = size(&drill, &lot);
    assert_eq!(sizing.sides[0].highest.by, Binding::ValveFlow);
    near("half the flow", sizing.to_mps, 5.5 / 2.346_666_7, 1e-6);
}

#[test]
fn limits_stand_in_order_and_the_first_is_the_range() {
    let (drill, lot) = sized_drill();
    let sizing = size(&drill, &lot);
    let side = &sizing.sides[0];
    assert_eq!((side.from_below.len(), side.from_above.len()), (4, 6));
    assert!(side.from_below.is_sorted_by(|a, b| a.speed_mps >= b.speed_mps));
    assert!(side.from_above.is_sorted_by(|a, b| a.speed_mps <= b.speed_mps));
    near("from", sizing.from_mps, side.from_below[0].speed_mps, 0.0);
    near("to", sizing.to_mps, side.from_above[0].speed_mps, 0.0);
}

#[test]
fn two_sides_share_the_tractors_flow() {
    let (mut drill, lot) = sized_drill();
    let mut other = drill.sides[0].clone();
    drill.sides[0].offset_m = 2.0;
    other.offset_m = -2.0;
    drill.sides.push(other);
    drill.hydraulics.as_mut().unwrap().tractor_flow_m3_per_s = 4.693_333e-3 / 60.0;
    let sizing = size(&drill, &lot);
    assert_eq!(sizing.sides[1].highest.by, Binding::TractorFlow);
    near("half of what one side has", sizing.to_mps, 1.0, 1e-6);
}

/// A drill whose motor is far too large, so that there is much that would do better.
fn clumsy() -> (Drill, SeedLot) {
    let (mut drill, lot) = sized_drill();
    drill.told.map = vec![(0.2, 0.0), (1.0, 0.5)];
    let oil = drill.hydraulics.as_mut().unwrap();
    (oil.displacement_m3, oil.ratio) = (100e-6, 3.168);
    oil.relief_pa = 25e5;
    (drill, lot)
}

#[test]
fn the_ranking_is_that_of_its_criterion_and_every_range_is_what_the_sizing_says() {
    let (drill, lot) = clumsy();
    let sizing = size(&drill, &lot);
    assert!(sizing.room < 1.0, "room {}", sizing.room);
    assert!(sizing.alternatives.len() >= 2, "{:?}", sizing.alternatives);
    for pair in sizing.alternatives.windows(2) {
        let key = |it: &sim::size::Alternative| {
            (-(it.room * 100.0).round(), f64::from(u8::from(it.relief_lowered)), it.flow_m3_per_s)
        };
        assert!(key(&pair[0]) <= key(&pair[1]), "{pair:?}");
    }
    let own = drill.hydraulics.as_ref().unwrap();
    for found in &sizing.alternatives {
        let changed = with_motor(
            &drill,
            Hydraulics {
                displacement_m3: found.displacement_m3,
                ratio: f64::from(found.shaft_teeth) / f64::from(found.motor_teeth),
                lowest_motor: found.lowest_motor_turns_per_s,
                highest_motor: found.highest_motor_turns_per_s,
                relief_pa: found.relief_pa,
                ..own.clone()
            },
        );
        let again = size(&changed, &lot);
        near("from", again.from_mps, found.from_mps, 1e-12);
        near("to", again.to_mps, found.to_mps, 1e-12);
        near("room", again.room, found.room, 1e-12);
        let oil = again.oil.unwrap();
        assert!(oil.suits() && oil.reserve >= 1.5, "{found:?} {oil:?}");
        assert!(found.room > sizing.room, "no better: {found:?}");
    }
}

#[test]
fn nothing_that_the_ranking_left_out_is_better_than_its_first() {
    let (drill, lot) = clumsy();
    let own = drill.hydraulics.clone().unwrap();
    let best = size(&drill, &lot).alternatives[0];
    let pairs = DISPLACEMENTS_M3.iter().flat_map(|&size| TEETH.map(|teeth| (size, teeth)));
    for (displacement_m3, (motor, shaft)) in pairs {
        let share = own.displacement_m3 / displacement_m3;
        let mut oil = Hydraulics {
            displacement_m3,
            ratio: f64::from(shaft) / f64::from(motor),
            lowest_motor: own.lowest_motor * share.max(1.0),
            highest_motor: own.highest_motor * share.min(1.0),
            ..own.clone()
        };
        oil.relief_pa = oil.relief_pa.min(oil.relief_for_pa(oil.bearable_torque_nm));
        let found = size(&with_motor(&drill, oil), &lot);
        if found.fits && found.oil.is_some_and(|oil| oil.reserve >= 1.5) {
            assert!(
                found.room <= best.room + 0.005,
                "{displacement_m3} {motor}:{shaft} {}",
                found.room
            );
        }
    }
}

#[test]
fn both_systems_of_units_show_the_same_physics() {
    let (drill, lot) = sized_drill();
    let [metric, us] =
        [System::Metric, System::Us].map(|it| Sizing::of(&drill, &lot, Wanted::default(), it));
    assert_eq!((metric.from_mps, metric.to_mps), (us.from_mps, us.to_mps));
    let flow_per_speed = |sizing: &Sizing| {
        let row = &sizing.sides[0].speeds[4];
        row.flow_m3_per_s.unwrap() / row.speed_mps
    };
    near("m³ a metre", flow_per_speed(&us), flow_per_speed(&metric), 1e-12);
    near("5 mph", us.sides[0].speeds[4].speed_mps, 2.2352, 1e-12);
}

#[test]
fn a_stronger_motor_than_the_meter_bears_does_not_fit_unless_a_pin_parts_first() {
    let (mut drill, lot) = sized_drill();
    let oil = drill.hydraulics.as_mut().unwrap();
    oil.relief_pa = 160e5;
    assert!(!size(&drill, &lot).fits);
    let at_most = size(&drill, &lot).oil.unwrap().relief_at_most_pa;
    drill.hydraulics.as_mut().unwrap().relief_pa = at_most * 0.999;
    assert!(size(&drill, &lot).fits);
    drill.hydraulics.as_mut().unwrap().relief_pa = at_most * 1.001;
    assert!(!size(&drill, &lot).fits);
    for (pin, fits) in [(140.0, true), (160.0, false)] {
        drill.hydraulics.as_mut().unwrap().shear_pin_nm = Some(pin);
        assert_eq!(size(&drill, &lot).fits, fits, "pin of {pin} N·m");
    }
}

#[test]
fn a_tried_ratio_moves_the_map_as_the_oil_has_it() {
    let (drill, lot) = sized_drill();
    let tried = Trial { ratio: Some(6.0), ..Trial::default() }.drill(Some(drill.clone())).unwrap();
    // Twice the turns of the motor: the same oil turns the shaft half as fast.
    near("full", tried.told.full_turns_per_s(), 0.825, 1e-12);
    near("range", size(&tried, &lot).to_mps, size(&drill, &lot).to_mps / 2.0, 1e-9);
    let same = Trial::default().drill(Some(drill.clone())).unwrap();
    assert_eq!(same, drill);
}

#[test]
fn options_alone_make_the_drill_of_the_file() {
    let (drill, lot) = sized_drill();
    let oil = drill.hydraulics.clone().unwrap();
    let trial = Trial {
        width_m: Some(4.0),
        rate_kg_per_ha: Some(110.0),
        kg_per_turn: Some(0.12),
        full_turns_per_s: Some(1.65),
        flutes: Some(12),
        displacement_m3: Some(oil.displacement_m3),
        ratio: Some(oil.ratio),
        lowest_motor: Some(oil.lowest_motor),
        highest_motor: Some(oil.highest_motor),
        relief_pa: Some(oil.relief_pa),
        tractor_flow: Some(oil.tractor_flow_m3_per_s),
        valve_flow: Some(oil.valve_flow_m3_per_s),
        valve_drop_pa: Some(oil.valve_drop_pa),
        meter_torque: Some(oil.meter_torque_nm),
        bearable_torque: Some(oil.bearable_torque_nm),
        ..Trial::default()
    };
    let alone = size(&trial.drill(None).unwrap(), &trial.lot(None).unwrap());
    let file = size(&drill, &lot);
    let rows = |sizing: &Sizing| serde_json::to_value(&sizing.sides).unwrap();
    assert_eq!(rows(&alone), rows(&file));
    let short = Trial { relief_pa: None, ..trial };
    assert_eq!(short.drill(None).unwrap_err(), TrialError::Lacking(vec!["--relief"]));
}
