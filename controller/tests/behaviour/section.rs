//! Sections: who may start what, and who stops it.

use crate::rig::{Rig, Shaft, config, rate};
use controller::Controller;
use controller::quantity::{Command, Micrometres, RadiansPerSecond};
use controller::section::SideState;
use controller::watch::Item;

#[test]
fn a_stop_and_a_lost_switch_act_in_the_tick_that_reads_them() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.master = false;
    assert!(rig.step().at_rest(), "the master");
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.sides[0].switch = false;
    assert!(rig.step().at_rest(), "the only side's switch");
}

#[test]
fn a_master_found_on_at_power_up_starts_nothing() {
    let mut rig = Rig::new();
    rig.inputs.master = true;
    rig.speed = 2_000;
    for _ in 0..500 {
        assert!(rig.step().at_rest(), "started by itself");
        assert_eq!(rig.outputs.sides[0].state, SideState::Stopped);
    }
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn on_a_left_hand_curve_the_left_side_turns_slower_and_an_inner_side_that_goes_back_rests() {
    let mut config = config(2);
    config.sides[0].offset = Micrometres::from_millimetres(2_000);
    config.sides[1].offset = Micrometres::from_millimetres(-2_000);
    let mut rig = Rig::sowing(&config, 2_000);
    // 0.1 rad/s anticlockwise: 1.8 and 2.2 m/s, 0.66 and 0.8067 turns/s.
    rig.inputs.yaw = Some(RadiansPerSecond::from_bits(1_677_722));
    let out = rig.run(200);
    for (side, want) in [(0, 1_384_120), (1, 1_691_703)] {
        let have = out.sides[side].wanted.to_bits();
        assert!((have - want).abs() < 1_000, "side {side}: {have}, want {want}");
    }
    // 1.05 rad/s: the inner side goes back at 0.1 m/s.
    rig.inputs.yaw = Some(RadiansPerSecond::from_bits(17_616_077));
    let out = rig.step();
    assert_eq!(out.sides[0].command, Command::ZERO);
    assert_eq!(out.sides[0].state, SideState::Slow);
    assert_eq!(out.sides[1].state, SideState::Sowing);
}

#[test]
fn a_side_that_is_switched_off_rests_while_the_others_sow() {
    let mut rig = Rig::sowing(&config(3), 2_000);
    rig.inputs.sides[1].switch = false;
    let out = rig.step();
    assert_eq!(out.sides[1].command, Command::ZERO);
    assert_eq!(out.sides[1].state, SideState::Off);
    assert!(out.supply, "the others need oil");
    assert!(out.sides[0].command > Command::ZERO && out.sides[2].command > Command::ZERO);
    rig.inputs.sides[1].switch = true;
    assert!(rig.step().sides[1].command > Command::ZERO, "its switch brings it back");
}

#[test]
fn a_fault_of_one_side_stops_all() {
    let mut rig = Rig::sowing(&config(4), 2_000);
    rig.shafts[2] = Shaft::Turns(0);
    rig.until(100, |out| out.alarm == Some(Item::ShaftSilent));
    assert!(rig.outputs.at_rest());
    assert!(rig.outputs.sides.iter().all(|side| side.state == SideState::Stopped));
}

#[test]
fn the_lift_pauses_after_its_debounce_and_resumes_by_itself() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    let ticks = rig.until(10, |out| out.sides[0].state == SideState::Lifted);
    assert_eq!(ticks, 3, "20 ms of debounce");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    rig.inputs.lift = true;
    let ticks = rig.until(10, |out| out.sides[0].state == SideState::Sowing);
    assert_eq!(ticks, 3, "and the same back");
}

#[test]
fn a_flicker_of_the_master_does_not_leave_a_latched_fault() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Turns(0);
    rig.until(100, |out| out.alarm == Some(Item::ShaftSilent));
    rig.shafts[0] = Shaft::Follows(1_000);
    rig.inputs.master = false;
    rig.step();
    rig.inputs.master = true;
    for _ in 0..100 {
        assert!(rig.step().at_rest(), "a shaken contact restarted the drill");
    }
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_drill_that_works_for_three_hours_works_on_across_the_clock_wraps() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    for tick in 0..1_080_000 {
        let out = rig.step();
        assert_eq!(out.sides[0].state, SideState::Sowing, "fell out after {tick} ticks");
    }
    rig.inputs.master = false;
    for _ in 0..450_000 {
        assert!(rig.step().at_rest(), "started by itself");
    }
}

#[test]
fn a_new_rate_while_sowing_turns_the_shaft_at_once_and_keeps_the_state() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let before = rig.outputs.sides[0].wanted.to_bits();
    let now = rig.inputs.now;
    rig.controller.act(rate(22_000), now).expect("fits");
    let out = rig.step();
    let after = out.sides[0].wanted.to_bits();
    // An instant of 1 µs is 50 ppm of a window of two ticks.
    assert!((after - 2 * before).abs() <= 400, "{before} became {after}");
    assert_eq!(out.sides[0].state, SideState::Sowing);
    let refused = rig.controller.act(rate(49), now);
    assert!(refused.is_err(), "0.49 kg/ha");
    let kept = rig.step().sides[0].wanted.to_bits();
    // An instant of 1 µs is 50 ppm of a window of two ticks.
    assert!((kept - after).abs() <= 400, "a refused rate changed {after} to {kept}");
}

#[test]
fn oil_is_cut_off_when_a_pause_lasts_longer_than_a_turn() {
    // Design: at rest when lifted, the shut-off may stay on for the length of a turn.
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(5_900);
    assert!(rig.outputs.supply, "59 s may be a turn");
    rig.run(200);
    assert!(!rig.outputs.supply, "61 s are not");
    rig.inputs.lift = true;
    rig.run(5);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "a pause resumes by itself");
    assert!(rig.outputs.supply);
}

#[test]
fn a_lift_switch_that_chatters_is_a_pause_that_is_told_and_resumes() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    for tick in 0..12_u32 {
        rig.inputs.lift = tick % 2 == 0;
        rig.step();
    }
    assert_eq!(rig.outputs.alarm, Some(Item::LiftUnknown));
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    rig.inputs.lift = true;
    let ticks = rig.until(200, |out| out.sides[0].state == SideState::Sowing);
    assert!(ticks < 200, "resumed after {ticks} ticks of quiet");
}

#[test]
fn outputs_are_written_over_whatever_stood_there() {
    let sowing = Rig::sowing(&config(4), 2_000);
    let full = sowing.outputs;
    assert!(full.supply && full.sides.iter().all(|side| side.command > Command::ZERO));
    let one = Rig::sowing(&config(1), 2_000);
    for controller in [one.controller, Controller::unconfigured()] {
        let want = controller.clone().tick(&one.inputs);
        let mut outputs = full;
        controller.clone().tick_into(&one.inputs, &mut outputs);
        assert_eq!(outputs, want, "something of another tick is left");
    }
}
