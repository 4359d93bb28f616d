//! Ground speed where the inputs break their contract: it must go stale, never stand still at a value.

use crate::rig::{Rig, sampled, sown_by_samples};
use controller::quantity::{Command, Instant, Micros};
use controller::section::SideState;
use controller::sense::{GroundStatus, SpeedReport, SpeedSample};

#[test]
fn samples_that_come_but_are_all_too_old_are_a_lost_source() {
    let mut rig = sown_by_samples();
    for _ in 0..100 {
        rig.sample(2_000, 600_000);
    }
    assert_eq!(rig.outputs.ground, GroundStatus::Lost, "old samples kept the source alive");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
}

#[test]
fn one_sample_repeated_for_ever_is_a_lost_source() {
    let mut rig = sown_by_samples();
    let at = rig.inputs.now.minus(Micros::from_millis(100));
    let speed = rig.outputs.speed;
    for _ in 0..100 {
        rig.inputs.speeds.receiver = Some(SpeedReport::Speed(SpeedSample { speed, at }));
        rig.step();
    }
    assert_eq!(rig.outputs.ground, GroundStatus::Lost, "a repeated sample kept the source alive");
}

#[test]
fn a_sample_from_the_future_does_not_hold_the_speed() {
    let mut rig = sown_by_samples();
    rig.sample(2_000, -600_000_000);
    rig.run(100);
    assert_eq!(rig.outputs.ground, GroundStatus::Lost, "the speed was held for ten minutes");
}

#[test]
fn an_edge_from_the_future_does_not_hold_the_speed() {
    let mut rig = Rig::sowing(&crate::rig::config(1), 2_000);
    rig.speed = 0;
    rig.step();
    let mut inputs = rig.inputs;
    inputs.ground.count += 1;
    inputs.ground.edge_at = inputs.now.plus(Micros::from_millis(600_000));
    for _ in 0..400 {
        inputs.now = inputs.now.plus(Micros::from_millis(10));
        rig.outputs = rig.controller.tick(&inputs);
    }
    assert_ne!(rig.outputs.ground, GroundStatus::Moving, "held for ten minutes");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
}

#[test]
fn a_count_without_its_instants_does_not_hold_the_speed() {
    // The capture's clock hangs: the count goes on, the instant does not.
    let mut rig = Rig::sowing(&crate::rig::config(1), 2_000);
    let mut inputs = rig.inputs;
    for _ in 0..1_000 {
        inputs.ground.count += 3;
        inputs.now = inputs.now.plus(Micros::from_millis(10));
        rig.outputs = rig.controller.tick(&inputs);
        if rig.outputs.ground != GroundStatus::Moving {
            return;
        }
    }
    panic!("believed for ten seconds: {:?}", rig.outputs.speed);
}

#[test]
fn samples_that_never_come_are_a_lost_source_not_a_standstill() {
    let mut rig = Rig::of(&sampled());
    let out = rig.run(100);
    assert_eq!(out.ground, GroundStatus::Lost, "a dead receiver was taken for standing still");
}

#[test]
fn a_source_once_lost_stays_lost_however_long_it_is_silent() {
    let mut rig = sown_by_samples();
    rig.run(100);
    assert_eq!(rig.outputs.ground, GroundStatus::Lost);
    // Two wraps of the clock, a tick every 0.2 s.
    for _ in 0..45_000 {
        let out = rig.step_after(200_000);
        assert_eq!(out.ground, GroundStatus::Lost, "woke up by itself");
    }
    let mut rig = Rig::sowing(&crate::rig::config(1), 2_000);
    rig.speed = 0;
    rig.run(100);
    for _ in 0..45_000 {
        let out = rig.step_after(200_000);
        assert_eq!(out.ground, GroundStatus::Lost, "woke up by itself");
        assert_eq!(out.speed.to_bits(), 0);
    }
}

#[test]
fn a_tractor_that_slows_and_stops_is_standing_not_lost() {
    let mut rig = Rig::sowing(&crate::rig::config(1), 2_000);
    while rig.speed > 0 {
        rig.speed -= 10;
        rig.step();
    }
    let out = rig.run(60);
    assert_eq!(out.ground, GroundStatus::Standing);
    assert_eq!(out.speed.to_bits(), 0);
    assert_eq!(out.sides[0].state, SideState::Slow);
    assert_eq!(out.alarm, None);
    rig.speed = 1_000;
    let ticks = rig.until(50, |out| out.sides[0].state == SideState::Sowing);
    assert!(ticks <= 5, "starts again after {ticks} ticks");
}

#[test]
fn pulses_of_a_metre_each_do_not_tear_the_speed() {
    // One pulse per metre at 2 m/s: half a second between edges is no silence.
    let mut config = crate::rig::config(1);
    config.sources[0] = controller::sense::SpeedSource::Pulses {
        per_metre: controller::quantity::PulsesPerMetre::from_bits(1 << 16),
    };
    let mut rig = Rig::of(&config);
    // The rig gives 130 edges per metre: 2 m/s of one edge per metre are 15.38 mm/s of the rig.
    rig.speed = 15;
    rig.run(200);
    rig.inputs.master = true;
    rig.run(100);
    for _ in 0..1_000 {
        let out = rig.step();
        assert_eq!(out.ground, GroundStatus::Moving);
        let speed = out.speed.to_bits();
        // 15 · 130 / 1000 = 1.95 m/s.
        assert!((speed - 2_044_723).abs() < 40_000, "speed {speed}");
    }
}

#[test]
fn the_first_reading_of_a_counter_is_no_travel() {
    let mut rig = Rig::new();
    rig.inputs.now = Instant::from_micros(77);
    let mut inputs = rig.inputs;
    inputs.ground.count = 4_000_000_000;
    inputs.sides[0].shaft.count = 3_000_000_000;
    rig.controller.tick(&inputs);
    assert_eq!(rig.controller.account().mass_ug, 0);
    assert_eq!(rig.controller.account().distance_um, 0);
}
