//! Fusion: pulses for the dynamics, the receiver for the scale.

use crate::{driven, receiver, watch};
use sim::bench::run;
use sim::scenario::{Slip, Source};

/// The slip believed at the end of each tick from `from_s` on, against the true one: the largest error.
fn worst_scale(points: Vec<(f64, f64)>, seed: u64, from_s: f64) -> f64 {
    let end_s = points.last().map_or(0.0, |point| point.0) + 180.0;
    let mut scenario = driven(&[(0.0, 0.0), (4.0, 1.8), (end_s, 1.8)]);
    scenario.fitted.also = vec![receiver()];
    scenario.fitted.slip = Slip { corrected: true, points };
    let mut worst = 0.0_f64;
    watch(&scenario, seed, &mut |seen| {
        let t = seen.senses.t_s;
        // What is believed over what is true: pulses alone would show 1 − slip.
        let scale = seen.shown[0].believed_mps / seen.speed_mps;
        if t > from_s && seen.speed_mps > 1.0 {
            worst = worst.max((scale - 1.0).abs());
        }
    });
    worst
}

#[test]
fn any_slip_up_to_15_per_cent_is_corrected_to_half_a_per_cent_within_a_minute() {
    let mut worst = 0.0_f64;
    for slip in [0.0, 0.03, 0.08, 0.15, -0.08] {
        for seed in 1..=5 {
            // It comes of a sudden at 120 s, long after the start has been learnt.
            let steps = vec![(0.0, 0.0), (119.9, 0.0), (120.0, slip)];
            let off = 100.0 * worst_scale(steps, seed, 180.0);
            assert!(off <= 0.5, "slip {slip}, seed {seed}: {off:.2} % off after 60 s");
            worst = worst.max(off);
        }
    }
    println!("largest scale error 60 s after a step of slip: {worst:.2} %");
}

#[test]
fn slip_that_changes_slowly_is_followed_to_half_a_per_cent() {
    // From nothing to 15 % in twenty minutes: 0.75 % a minute. The receiver's noise alone makes 0.35 % at worst.
    for seed in 1..=5 {
        let points = vec![(0.0, 0.0), (60.0, 0.0), (1_260.0, 0.15)];
        let off = 100.0 * worst_scale(points, seed, 20.0);
        assert!(off <= 0.5, "seed {seed}: {off:.2} %");
        println!("slip 0 to 15 % in twenty minutes, seed {seed}: {off:.2} % off at the worst");
    }
}

#[test]
fn field_a_with_8_per_cent_slip_and_both_sources_keeps_its_rate_and_its_mass() {
    let Some(mut scenario) = tests::track_scenario("field-a", Source::Pulses) else { return };
    scenario.fitted.also = vec![receiver()];
    scenario.fitted.slip = Slip { corrected: true, points: vec![(0.0, 0.08)] };
    let mut worst = [100.0_f64, 0.0, 0.0];
    for seed in 1..=20 {
        let score = run(&scenario, seed).expect("the settings are right").score;
        worst[0] = worst[0].min(score.within_5_pct);
        worst[1] = worst[1].max(score.mass_pct.abs());
        worst[2] = worst[2].max(score.tally_area_pct.abs());
    }
    let [within_5, mass, area] = worst;
    println!(
        "field-a, 8 % slip, worst of 20 seeds: within 5 {within_5:.2} %, mass {mass:.2} %, area {area:.2} %"
    );
    assert!(within_5 >= 98.5, "within 5 % {within_5}");
    assert!(mass <= 0.5, "mass off by {mass} %");
    assert!(area <= 0.5, "area off by {area} %");
}

#[test]
fn without_correction_the_slip_is_all_in_the_mass() {
    let mut scenario = driven(&[(0.0, 0.0), (4.0, 1.8), (100.0, 1.8)]);
    scenario.fitted.slip = Slip { corrected: false, points: vec![(0.0, 0.08)] };
    let score = run(&scenario, 1).expect("the settings are right").score;
    assert!((score.mass_pct + 8.0).abs() < 0.5, "8 % of the pulses missing: {}", score.mass_pct);
}

#[test]
fn the_response_with_both_sources_is_that_of_pulses() {
    let ramp = tests::demo_scenario("ramp-0.5-pulses");
    let alone = run(&ramp, 1).expect("the settings are right").score.rms_pct;
    let mut both = ramp.clone();
    both.fitted.also = vec![receiver()];
    both.fitted.slip = Slip { corrected: true, points: Vec::new() };
    let mut by_receiver = ramp;
    by_receiver.source = receiver();
    let late = run(&by_receiver, 1).expect("the settings are right").score.rms_pct;
    for seed in 1..=20 {
        let rms = run(&both, seed).expect("the settings are right").score.rms_pct;
        assert!(rms <= alone * 1.25, "seed {seed}: rms {rms}, pulses alone {alone}");
    }
    assert!(late > 2.0 * alone, "a receiver alone is slower, or the bench is wrong: {late}");
}
