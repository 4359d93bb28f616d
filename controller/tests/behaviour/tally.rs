//! Tally and hopper as read through the controller.

use crate::rig::{PER_TURN, Rig, Shaft, config, filled, sampled, turns};
use controller::quantity::{MicrogramsPerTurn, Micrometres};
use controller::seed::{MeterPoint, Product};

#[test]
fn area_mass_and_distance_are_those_of_the_counts() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let before = rig.controller.account();
    let edges = rig.edges(0);
    let pulses = rig.inputs.ground.count;
    rig.run(10_000);
    let after = rig.controller.account();
    let pulses = u64::from(rig.inputs.ground.count - pulses);
    let edges = u64::from(rig.edges(0) - edges);
    let distance = after.distance_um - before.distance_um;
    assert!(distance.abs_diff(pulses * 1_000_000 / 130) <= 1, "distance {distance}");
    assert!(distance.abs_diff(200_000_000) < 10_000, "200 m, have {distance} µm");
    assert!((after.area_mm2 - before.area_mm2).abs_diff(distance * 4) <= 4);
    let mass = after.mass_ug - before.mass_ug;
    assert!(mass.abs_diff(edges * 120_000_000 / PER_TURN) <= 1);
    let rate = mass * 1_000 / (after.area_mm2 - before.area_mm2);
    assert!(rate.abs_diff(11_000) < 20, "running rate {rate} mg/m²");
}

#[test]
fn distance_by_samples_is_the_integral_of_speed() {
    let mut rig = Rig::of(&sampled());
    for round in 0..40 {
        rig.inputs.master = round > 0;
        rig.run(9);
        rig.sample(2_000, 100_000);
    }
    let before = rig.controller.account().distance_um;
    for _ in 0..1_000 {
        rig.run(9);
        rig.sample(2_000, 100_000);
    }
    let distance = rig.controller.account().distance_um - before;
    assert!(distance.abs_diff(200_000_000) < 20_000, "200 m, have {distance} µm");
}

#[test]
fn mass_between_two_catches_is_exact_at_a_steady_speed() {
    // Flow between 1 turn/s of 120 g and 2 turns/s of 100 g: 160 g/s at 1.5 turns/s.
    let mut config = config(1);
    config.sides[0].meter = [(500, 125_000_000), (1_000, 120_000_000), (2_000, 100_000_000)]
        .map(|(shaft, mass)| MeterPoint { shaft: turns(shaft), mass: MicrogramsPerTurn::new(mass) })
        .into_iter()
        .collect();
    for (millihertz, grams_per_second) in
        [(250, 31_250), (750, 91_250), (1_500, 160_000), (2_500, 250_000)]
    {
        let mut rig = Rig::sowing(&config, 2_000);
        rig.shafts[0] = Shaft::Turns(millihertz * PER_TURN);
        rig.run(200);
        let before = rig.controller.account().mass_ug;
        rig.run(10_000);
        let mass = (rig.controller.account().mass_ug - before) / 1_000;
        let want = grams_per_second * 100;
        // An edge more or less in the time, 100 ppm of it.
        assert!(mass.abs_diff(want) <= want / 10_000 + 800, "{millihertz}: {mass} mg, want {want}");
    }
}

#[test]
fn the_hopper_counts_down_from_a_fill() {
    let mut rig = Rig::sowing(&config(2), 2_000);
    let metered = rig.controller.account().mass_ug;
    assert!(metered > 0);
    rig.controller.act(filled(500_000_000_000), rig.inputs.now).expect("filled");
    assert_eq!(rig.controller.hopper_left(Product::First), 500_000_000_000);
    rig.run(1_000);
    let used = rig.controller.account().mass_ug - metered;
    assert_eq!(rig.controller.hopper_left(Product::First), 500_000_000_000 - used);
    rig.controller.act(filled(1), rig.inputs.now).expect("filled");
    rig.run(1_000);
    assert_eq!(rig.controller.hopper_left(Product::First), 0, "and no further");
}

#[test]
fn lifted_ground_is_not_counted_and_seed_that_runs_out_is() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.lift = false;
    rig.run(10);
    let before = rig.controller.account();
    rig.shafts[0] = Shaft::Turns(100_000);
    rig.run(10);
    rig.shafts[0] = Shaft::Turns(0);
    rig.run(500);
    let after = rig.controller.account();
    assert_eq!(after.area_mm2, before.area_mm2);
    assert_eq!((after.mass_ug - before.mass_ug) / 1_000_000, 10 * 120 / 180, "10 edges of 180");
}

#[test]
fn a_counter_that_starts_afresh_adds_nothing() {
    // The capture is reset while the controller runs: the count falls back to nothing.
    let mut rig = Rig::sowing(&config(1), 2_000);
    let before = rig.controller.account();
    let mut inputs = rig.inputs;
    inputs.now = inputs.now.plus(controller::quantity::Micros::from_millis(10));
    inputs.ground.count = 0;
    inputs.sides[0].shaft.count = 0;
    rig.controller.tick(&inputs);
    let after = rig.controller.account();
    assert!(after.mass_ug - before.mass_ug < 10_000_000, "mass grew to {} µg", after.mass_ug);
    assert!(after.distance_um - before.distance_um < 100_000, "to {} µm", after.distance_um);
}

#[test]
fn each_side_counts_its_own_travel_on_a_curve() {
    let mut config = config(2);
    config.sides[0].offset = Micrometres::from_millimetres(2_000);
    config.sides[1].offset = Micrometres::from_millimetres(-2_000);
    let mut rig = Rig::of(&config);
    // 0.1 rad/s anticlockwise: the left side goes at 1.8 m/s, the right at 2.2 m/s.
    rig.inputs.yaw = Some(controller::quantity::RadiansPerSecond::from_bits(1_677_722));
    rig.speed = 2_000;
    rig.run(10);
    rig.inputs.master = true;
    rig.run(100);
    let before = [0, 1].map(|side| rig.controller.side_account(side).distance_um);
    rig.run(10_000);
    let after = [0, 1].map(|side| rig.controller.side_account(side).distance_um);
    for (side, want) in [(0, 180_000_000_u64), (1, 220_000_000)] {
        let distance = after[side] - before[side];
        assert!(distance.abs_diff(want) < 20_000, "side {side}: {distance} µm, want {want}");
    }
}
