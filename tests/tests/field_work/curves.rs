//! Circle work: each side by its own ground speed, left-hand and right-hand circles apart.

use sim::bench::{Run, run};
use sim::scenario::{Scenario, YawFrom};

/// Cells of a side that were entered within a window of time and count as running.
fn errors(run: &Run, side: usize, window: [f64; 2]) -> Vec<f64> {
    let cells = run.cells.iter().filter(|cell| cell.side == side && cell.running);
    let inside = cells.filter(|cell| cell.entered_s >= window[0] && cell.left_s <= window[1]);
    inside.map(|cell| cell.error_pct).collect()
}

#[expect(clippy::cast_precision_loss, reason = "a count of cells")]
fn mean(errors: &[f64]) -> f64 {
    errors.iter().sum::<f64>() / errors.len() as f64
}

#[expect(clippy::cast_precision_loss, reason = "a count of cells")]
fn share_within_3(errors: &[f64]) -> f64 {
    100.0 * errors.iter().filter(|error| error.abs() <= 3.0).count() as f64 / errors.len() as f64
}

fn circles(hand: &str, yaw: YawFrom) -> Scenario {
    let name = match yaw {
        YawFrom::Course => format!("circles-{hand}-course"),
        YawFrom::Gyro | YawFrom::None => format!("circles-{hand}"),
    };
    let mut scenario = tests::demo_scenario(&name);
    scenario.fitted.yaw = yaw;
    scenario
}

fn keeps_its_rate(yaw: YawFrom, seeds: core::ops::RangeInclusive<u64>) {
    for hand in ["left", "right"] {
        let scenario = circles(hand, yaw);
        for seed in seeds.clone() {
            let run = run(&scenario, seed).expect("the settings are right");
            for side in 0..2 {
                let errors = errors(&run, side, [10.0, 95.0]);
                let (mean, share) = (mean(&errors), share_within_3(&errors));
                println!(
                    "{hand}-hand circles, {yaw:?}, seed {seed}, side {side}: mean {mean:+.2} %, {share:.1} % within 3"
                );
                assert!(errors.len() > 300, "{} cells", errors.len());
                assert!(mean.abs() <= 1.0, "{hand}, side {side}, seed {seed}: mean {mean}");
                assert!(share >= 95.0, "{hand}, side {side}, seed {seed}: {share} % within 3");
            }
        }
    }
}

#[test]
fn with_a_gyro_each_side_keeps_its_rate_on_circles_of_either_hand() {
    keeps_its_rate(YawFrom::Gyro, 1..=1);
}

#[test]
fn with_the_course_of_a_receiver_each_side_keeps_its_rate_on_circles_of_either_hand() {
    keeps_its_rate(YawFrom::Course, 1..=20);
}

#[test]
fn without_compensation_the_error_is_that_of_the_formula() {
    // Radius 15 m, offset 1.5 m: 1 / (1 ∓ 1.5 / 15) − 1 is +11.1 % inside, −9.1 % outside.
    let offset_over_radius: f64 = 1.5 / 15.0;
    let formula = [1.0 / (1.0 - offset_over_radius) - 1.0, 1.0 / (1.0 + offset_over_radius) - 1.0];
    assert!((100.0 * formula[0] - 11.1).abs() < 0.05 && (100.0 * formula[1] + 9.1).abs() < 0.05);
    for (hand, inner) in [("left", 0), ("right", 1)] {
        let run = run(&circles(hand, YawFrom::None), 1).expect("the settings are right");
        for (side, want) in [(inner, formula[0]), (1 - inner, formula[1])] {
            // The radius is 15 m from 70 to 85 s; the wheel is turned by 72 s.
            let mean = mean(&errors(&run, side, [73.0, 84.5]));
            println!("{hand}-hand circle of 15 m, uncompensated, side {side}: {mean:+.2} %");
            assert!(
                (mean - 100.0 * want).abs() < 0.3,
                "{hand}, side {side}: {mean}, wanted {want}"
            );
        }
    }
}
