//! Watch of the ground speed: how soon a lost or implausible source is told.

use crate::rig::{Rig, TICK, config, sown_by_samples, told};
use controller::quantity::Command;
use controller::section::SideState;
use controller::watch::Item;

#[test]
fn a_lost_pulse_source_pauses_after_a_tenth_of_a_second_and_latches_after_two() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.speed = 0;
    let last = rig.inputs.ground.edge_at;
    rig.until(20, told(Item::SpeedLost));
    let waited = rig.inputs.now.since(last).get();
    assert!((100_000..=100_000 + TICK).contains(&waited), "told after {waited} µs of silence");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    assert_eq!(rig.outputs.sides[0].state, SideState::Lost);
    assert!(rig.outputs.supply, "a pause keeps the shut-off on");
    let ticks = rig.until(300, |out| out.sides[0].state == SideState::Stopped);
    assert!((199..=201).contains(&ticks), "latched after {ticks} ticks");
    rig.speed = 2_000;
    rig.step();
    rig.is_latched(Item::SpeedLost);
    rig.fresh_master();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_source_that_comes_back_within_two_seconds_resumes_by_itself() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.speed = 0;
    rig.run(150);
    assert_eq!(rig.outputs.sides[0].state, SideState::Lost);
    rig.speed = 2_000;
    let ticks = rig.until(10, |out| out.sides[0].state == SideState::Sowing);
    assert!(ticks <= 4, "resumed after {ticks} ticks");
    assert_eq!(rig.outputs.alarm, Some(Item::Gap), "the ground left bare is told");
    rig.run(600);
    assert_eq!(rig.outputs.alarm, None, "for five seconds");
}

#[test]
fn a_source_lost_while_lifted_is_told_and_latches_only_two_seconds_after_lowering() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(20);
    rig.speed = 0;
    let out = rig.run(1_000);
    assert_eq!(out.alarm, Some(Item::SpeedLost));
    assert_eq!(out.sides[0].state, SideState::Lifted, "no latch while nothing is asked for");
    rig.inputs.lift = true;
    rig.until(4, |out| out.sides[0].state == SideState::Lost);
    let ticks = rig.until(300, |out| out.sides[0].state == SideState::Stopped);
    assert!((198..=201).contains(&ticks), "latched after {ticks} ticks");
}

#[test]
fn samples_are_lost_at_their_limit() {
    let mut rig = sown_by_samples();
    let ticks = rig.until(100, told(Item::SpeedLost));
    // The last sample was 0.1 s old when it came; the limit is 0.5 s.
    assert!((40..=42).contains(&ticks), "told {ticks} ticks after the last sample");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    assert_eq!(rig.outputs.sides[0].state, SideState::Lost);
}

#[test]
fn a_jump_of_the_speed_is_told_in_its_tick_and_believed_after_three_doubts() {
    let mut rig = sown_by_samples();
    for doubt in 0..3 {
        rig.run(9);
        let out = rig.sample(4_000, 100_000);
        assert_eq!(out.alarm, Some(Item::SpeedImplausible), "doubt {doubt}");
        assert!(out.speed.to_bits() < 5 << 19, "believed at once: {:?}", out.speed);
    }
    rig.run(9);
    let out = rig.sample(4_000, 100_000);
    assert_eq!(out.alarm, None);
    assert!(out.speed.to_bits() > 7 << 19, "never believed: {:?}", out.speed);
}
