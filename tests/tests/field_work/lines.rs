//! Lines ahead: sowing begins and ends at them, early by delivery and drive.

use crate::{driven, receiver};
use sim::bench::{judge, run};
use sim::scenario::{Line, LineInput, Lines, Scenario};

fn crossing(points: &[(f64, f64)], at_m: [f64; 2]) -> Scenario {
    let mut scenario = driven(points);
    scenario.drill.antenna_to_opener_m = 3.0;
    scenario.fitted.lines = Lines {
        input: Some(LineInput { interval_s: 0.1, latency_s: 0.1, noise_m: 0.02 }),
        lines: vec![
            Line { at_m: at_m[0], sow_beyond: true },
            Line { at_m: at_m[1], sow_beyond: false },
        ],
    };
    scenario
}

/// Worst start and stop error over the noise seeds.
fn errors(scenario: &Scenario) -> [f64; 2] {
    let mut worst = [0.0_f64; 2];
    for seed in 1..=20 {
        let score = run(scenario, seed).expect("the settings are right").score;
        worst[0] = worst[0].max(score.start_error_m.abs());
        worst[1] = worst[1].max(score.stop_error_m.abs());
    }
    worst
}

#[test]
fn at_a_steady_speed_a_line_is_met_within_a_quarter_of_a_metre() {
    for speed in [1.0, 1.5, 2.0, 2.5, 3.0] {
        let scenario = crossing(&[(0.0, 0.0), (4.0, speed), (100.0, speed)], [30.0, 80.0]);
        let [start, stop] = errors(&scenario);
        println!("{speed} m/s: start {start:.1} m, stop {stop:.1} m");
        assert!(start <= 0.25 && stop <= 0.25, "{speed} m/s: start {start} m, stop {stop} m");
    }
}

#[test]
fn while_slowing_a_line_is_met_within_four_tenths_of_a_metre() {
    let slow = [(0.0, 0.0), (6.0, 3.0), (14.0, 3.0), (17.0, 1.5), (30.0, 1.5), (33.0, 3.0)];
    let rest = [(40.0, 3.0), (43.0, 1.5), (60.0, 1.5)];
    for shift in [0.0, 0.5, 1.0, 1.5, 2.0] {
        let points: Vec<_> = slow.into_iter().chain(rest).collect();
        // Both lines lie where 0.5 m/s² are being lost.
        let scenario = crossing(&points, [35.0 + shift, 90.0 + shift]);
        let [start, stop] = errors(&scenario);
        println!(
            "slowing, lines at {} m and {} m: start {start:.1} m, stop {stop:.1} m",
            35.0 + shift,
            90.0 + shift
        );
        assert!(start <= 0.4 && stop <= 0.4, "shift {shift}: start {start} m, stop {stop} m");
    }
}

#[test]
fn a_line_is_met_by_a_receivers_speed_too() {
    let mut scenario = crossing(&[(0.0, 0.0), (4.0, 2.0), (100.0, 2.0)], [30.0, 80.0]);
    scenario.source = receiver();
    let [start, stop] = errors(&scenario);
    println!("2 m/s by receiver: start {start:.1} m, stop {stop:.1} m");
    assert!(start <= 0.25 && stop <= 0.25, "start {start} m, stop {stop} m");
}

#[test]
fn without_the_input_the_lift_decides_and_the_limit_is_printed() {
    let mut scenario = crossing(&[(0.0, 0.0), (4.0, 2.0), (60.0, 2.0)], [30.0, 80.0]);
    scenario.fitted.lines.input = None;
    let verdict = judge(&scenario, &|_| {}).expect("the settings are right");
    // 20 ms of debounce, 0.35 s of delivery, 0.05 s of dead time, 0.15 s · ln 2 of lag.
    assert!(
        verdict.notes.iter().any(|note| note.contains("0.52 s after the lift")),
        "{:?}",
        verdict.notes
    );
    assert!(verdict.score.mass_pct > 50.0, "sown beyond the lines: {}", verdict.score.mass_pct);
}

#[test]
fn openers_follow_the_switch_after_their_ways() {
    let scenario = tests::demo_scenario("opener-ways");
    let score = run(&scenario, 1).expect("the settings are right").score;
    assert!(score.start_error_m.abs() <= 0.25, "start {}", score.start_error_m);
    let mut wrong = scenario;
    let right = wrong.drill.lowering_m;
    // The machine needs 1.2 m; a controller that is told of none sows too soon.
    wrong.drill.lowering_m = 0.0;
    let told_none = run(&wrong, 1).expect("the settings are right").score;
    assert!(right > 1.0 && told_none.start_error_m >= 0.8, "start {}", told_none.start_error_m);
}
