//! Every item of the watch: its number, its class, and how soon it is told, measured.

use crate::rig::{Rig, Shaft, config, rate, told};
use controller::quantity::{Command, Micros, MilligramsPerSquareMetre};
use controller::section::SideState;
use controller::settings::{LimitsConfig, SettingsConfig};
use controller::watch::{Class, Item};
use controller::{Controller, Inputs};

/// Every item with its stable number and class, as the table of the docs has them.
const TABLE: [(Item, u8, Class); 10] = [
    (Item::SpeedLost, 1, Class::Pause),
    (Item::SpeedImplausible, 2, Class::Alarm),
    (Item::ShaftSilent, 3, Class::Latch),
    (Item::ShaftTurnsAtRest, 4, Class::Latch),
    (Item::ShaftDoesNotFollow, 5, Class::Alarm),
    (Item::TargetAbove, 6, Class::Alarm),
    (Item::TargetBelow, 7, Class::Alarm),
    (Item::InputsStale, 8, Class::Latch),
    (Item::SettingsInvalid, 9, Class::Latch),
    (Item::TickLate, 10, Class::Alarm),
];

#[test]
fn the_numbers_and_classes_are_those_of_the_table() {
    for (item, number, class) in TABLE {
        assert_eq!((item.number(), item.class()), (number, class), "{item:?}");
    }
}

#[test]
fn a_silent_shaft_latches_after_half_a_second_where_edges_are_many() {
    let mut rig = Rig::sowing(&config(1), 3_000);
    rig.shafts[0] = Shaft::Turns(0);
    let ticks = rig.until(100, told(Item::ShaftSilent));
    assert!((50..=51).contains(&ticks), "told after {ticks} ticks");
    rig.is_latched(Item::ShaftSilent);
    rig.shafts[0] = Shaft::Follows(1_000);
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_silent_shaft_latches_after_twelve_edges_where_edges_are_few() {
    let mut config = config(1);
    config.sides[0].edges_per_turn = 4;
    let mut rig = Rig::of(&config);
    rig.shafts[0] = Shaft::Turns(0);
    rig.speed = 1_000;
    rig.run(10);
    rig.inputs.master = true;
    rig.until(10, |out| out.sides[0].command > Command::ZERO);
    let ticks = rig.until(1_000, told(Item::ShaftSilent));
    // 0.36667 turns/s of 4 edges: 12 edges take 8.182 s.
    assert!((810..=820).contains(&ticks), "told after {ticks} ticks");
}

#[test]
fn a_shaft_that_creeps_at_rest_cuts_the_supply_in_the_tick_of_its_third_edge() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(200);
    assert!(rig.outputs.supply, "lifted keeps the shut-off on");
    let before = rig.edges(0);
    rig.shafts[0] = Shaft::Turns(9_000);
    while rig.edges(0).wrapping_sub(before) < 3 {
        assert_eq!(rig.outputs.alarm, None, "two edges may be a tooth at the sensor");
        rig.step();
    }
    assert!(!rig.outputs.supply, "oil still flows: {:?}", rig.outputs);
    assert_eq!(rig.outputs.alarm, Some(Item::ShaftTurnsAtRest));
    rig.shafts[0] = Shaft::Follows(1_000);
    rig.is_latched(Item::ShaftTurnsAtRest);
}

#[test]
fn a_creep_that_has_ended_is_left_by_a_fresh_master() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(200);
    rig.shafts[0] = Shaft::Turns(9_000);
    rig.until(100, told(Item::ShaftTurnsAtRest));
    rig.shafts[0] = Shaft::Follows(1_000);
    rig.inputs.lift = true;
    rig.run(100);
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "locked out for ever");
}

#[test]
fn a_shaft_that_still_creeps_cannot_be_started() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(200);
    rig.shafts[0] = Shaft::Turns(90_000);
    rig.until(100, told(Item::ShaftTurnsAtRest));
    for _ in 0..20 {
        rig.inputs.master = !rig.inputs.master;
        for _ in 0..10 {
            rig.step();
            assert!(rig.outputs.sides[0].command == Command::ZERO);
        }
    }
}

#[test]
fn a_tooth_that_chatters_now_and_then_never_latches() {
    // Three edges within 10 s are a creep; one every 5.5 s is a tooth standing at the sensor.
    let raised_for = Micros::from_millis(3_600_000);
    let limits = LimitsConfig { raised_for, ..LimitsConfig::default() };
    let mut rig = Rig::sowing(&SettingsConfig { limits, ..config(1) }, 2_000);
    rig.inputs.lift = false;
    rig.run(200);
    rig.shafts[0] = Shaft::Turns(1_000_000 / 5_500);
    for _ in 0..350_000 {
        rig.step();
        assert_eq!(rig.outputs.alarm, None, "latched after {} edges", rig.edges(0));
    }
    rig.shafts[0] = Shaft::Turns(1_000_000 / 4_500);
    rig.until(2_000, told(Item::ShaftTurnsAtRest));
}

#[test]
fn a_shaft_slower_by_more_than_15_percent_is_told_after_two_seconds() {
    // 0.73333 turns/s of 180 edges are 132 edges/s.
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Turns(132 * 860);
    rig.run(500);
    assert_eq!(rig.outputs.alarm, None, "14 % slower is within");
    rig.shafts[0] = Shaft::Turns(132 * 840);
    let ticks = rig.until(300, told(Item::ShaftDoesNotFollow));
    // Up to four ticks until a window of 20 ms shows it.
    assert!((200..=205).contains(&ticks), "told after {ticks} ticks");
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "an alarm takes nothing away");
}

#[test]
fn a_shaft_that_runs_away_is_cut_off() {
    // The valve sticks open: the loop takes the command to zero and the shaft turns on.
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Turns(132 * 1_500);
    let ticks = rig.until(400, |out| !out.supply);
    assert!(ticks <= 300, "cut off after {ticks} ticks");
    assert_eq!(rig.outputs.alarm, Some(Item::ShaftTurnsAtRest));
}

#[test]
fn a_speed_above_the_drive_is_told_after_half_a_second_with_the_range_that_is_right() {
    let rig = Rig::sowing(&config(1), 5_000);
    let out = rig.outputs;
    assert_eq!(out.alarm, Some(Item::TargetAbove));
    let (low, high) = rig.controller.speed_range(0).expect("there is a side");
    assert!((high.to_bits() - (9 << 19)).abs() < 100, "4.5 m/s, have {high:?}");
    assert!((low.to_bits() - (9 << 13)).abs() < 100, "1/64 of it, have {low:?}");
    let mut rig = Rig::of(&config(1));
    rig.speed = 5_000;
    rig.run(10);
    rig.inputs.master = true;
    rig.until(10, |out| out.sides[0].command > Command::ZERO);
    let ticks = rig.until(100, told(Item::TargetAbove));
    assert!((49..=50).contains(&ticks), "told after {ticks} ticks");
}

#[test]
fn a_speed_below_the_drive_is_told_after_two_seconds() {
    let mut config = config(1);
    config.rate = MilligramsPerSquareMetre::from_whole(2_000);
    let mut rig = Rig::of(&config);
    rig.speed = 300;
    rig.run(10);
    rig.inputs.master = true;
    rig.until(10, |out| out.sides[0].command > Command::ZERO);
    let ticks = rig.until(300, told(Item::TargetBelow));
    assert!((199..=201).contains(&ticks), "told after {ticks} ticks");
}

#[test]
fn a_quarter_of_a_second_without_a_tick_latches_and_less_is_only_told() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    assert_eq!(rig.step_after(20_000).alarm, None, "20 ms are in time");
    assert_eq!(rig.step_after(20_001).alarm, Some(Item::TickLate));
    assert_eq!(rig.step().alarm, None, "told once");
    rig.step_after(250_000);
    assert_ne!(rig.outputs.alarm, Some(Item::InputsStale));
    rig.step_after(250_001);
    rig.is_latched(Item::InputsStale);
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_silence_of_half_the_clock_is_not_taken_for_no_time_at_all() {
    // 40 and 70 minutes: more than half the clock, so that the instant seems to run backwards.
    for minutes in [1, 30, 40, 70] {
        let mut rig = Rig::sowing(&config(1), 2_000);
        rig.speed = 0;
        rig.step_after(minutes * 60_000_000);
        assert_eq!(rig.outputs.alarm, Some(Item::InputsStale), "{minutes} min");
        rig.is_latched(Item::InputsStale);
    }
}

#[test]
fn a_board_without_valid_settings_runs_nothing() {
    let mut controller = Controller::unconfigured();
    let out = controller.tick(&Inputs { master: true, hold: true, ..Inputs::default() });
    assert_eq!(out.alarm, Some(Item::SettingsInvalid));
    assert!(out.at_rest());
    let act = rate(11_000);
    assert!(controller.act(act, Inputs::default().now).is_err());
}
