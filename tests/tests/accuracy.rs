//! Accuracy on the frozen profiles: rivals as the f64 trial before this project found them, and what a wrongly told drive leaves.

use sim::bench::{Run, judge, run};
use sim::profile::{Piece, Profile, Sample};
use sim::scenario::{Scenario, Source};
use sim::score::Score;
use sim::verdict::Verdict;

fn verdict(name: &str) -> Verdict {
    judge(&tests::demo_scenario(name), &|_| {}).expect("demo settings are right")
}

/// Within 5 % of the figure of the f64 trial, or 0.1 point.
fn reproduces(name: &str, have: f64, trial: f64) {
    let off = (have - trial).abs();
    assert!(off <= (trial * 0.05).max(0.1), "{name}: {have} where the trial found {trial}");
}

#[test]
fn rivals_on_frozen_profiles_are_those_of_the_trial() {
    // The trial: `plain` and `limit` rms per profile; `chain` between 3.4 and 4.9 on ramps, 4.2 on the staircase.
    let trial = [
        ("ramp-0.3-pulses", 3.60, 0.01, 3.4),
        ("ramp-0.5-pulses", 4.35, 0.01, 3.9),
        ("ramp-1.0-pulses", 5.60, 0.02, 4.9),
        ("staircase-pulses", 4.16, 0.01, 4.2),
    ];
    for (name, plain, limit, chain) in trial {
        let rivals = verdict(name).rivals;
        reproduces(name, rivals.plain.rms_pct, plain);
        reproduces(name, rivals.limit.rms_pct, limit);
        reproduces(name, rivals.chain.rms_pct, chain);
    }
    for (name, plain) in [("ramp-0.3-gnss", 4.75), ("ramp-0.5-gnss", 5.70), ("ramp-1.0-gnss", 7.27)]
    {
        reproduces(name, verdict(name).rivals.plain.rms_pct, plain);
    }
}

#[test]
fn rivals_on_tracks_are_those_of_the_trial_where_it_is_reproduced() {
    // Of field-b the trial's 2.45 and 0.14 are not reproduced: see docs/known-limits.md.
    for (track, plain, limit) in [("field-a", 1.76, 0.02), ("field-rows", 2.26, 0.17)] {
        let Some(scenario) = tests::track_scenario(track, Source::Pulses) else { return };
        let rivals = judge(&scenario, &|_| {}).expect("settings are right").rivals;
        reproduces(track, rivals.plain.rms_pct, plain);
        reproduces(track, rivals.limit.rms_pct, limit);
        let chain = rivals.chain.rms_pct;
        assert!((2.0..=2.7).contains(&chain), "{track}: chain {chain}, the trial found 2.1 to 2.6");
    }
}

#[test]
fn gnss_on_ramps_stays_below_six_tenths_of_the_plain_law() {
    for name in ["ramp-0.3-gnss", "ramp-0.5-gnss", "ramp-1.0-gnss"] {
        let verdict = verdict(name);
        let bar = 0.6 * verdict.rivals.plain.rms_pct;
        assert!(verdict.score.rms_pct <= bar, "{name}: {} above {bar}", verdict.score.rms_pct);
    }
}

/// The reference drill held at 1.5 m/s for a minute.
fn steady() -> Scenario {
    let mut scenario = tests::demo_scenario("ramp-0.5-pulses");
    let sample = |t_s, speed_mps| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
    let samples = vec![sample(0.0, 0.0), sample(3.0, 1.5), sample(60.0, 1.5)];
    scenario.profile = Profile { pieces: vec![Piece { samples }] };
    scenario
}

/// Peak to peak of the rate error over the last ten seconds.
fn swing(run: &Run) -> f64 {
    let last = run.cells.iter().filter(|cell| cell.running && cell.entered_s > 50.0);
    let (low, high) = last.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), cell| {
        (low.min(cell.error_pct), high.max(cell.error_pct))
    });
    assert!(high > low, "there are cells in the last ten seconds");
    high - low
}

#[test]
fn a_drive_told_wrong_does_not_swing_more_than_one_point_above_the_right_one() {
    let right = swing(&run(&steady(), 1).expect("settings are right"));
    for case in tests::wrongly_told() {
        let mut scenario = steady();
        (case.tell)(&mut scenario);
        let wrong = swing(&run(&scenario, 1).expect("settings are right"));
        println!("{}: {wrong:.2} where the right one has {right:.2}", case.name);
        assert!(wrong <= right + 1.0, "{}: swings {wrong}, the right one {right}", case.name);
    }
}

#[test]
fn a_run_is_the_same_every_time() {
    let scenario = tests::demo_scenario("start-stop-restart-gnss");
    let score = |seed| -> Score { run(&scenario, seed).expect("settings are right").score };
    assert_eq!(format!("{:?}", score(7)), format!("{:?}", score(7)), "the same seed twice");
    assert_ne!(format!("{:?}", score(7)), format!("{:?}", score(8)), "another seed is another run");
}
