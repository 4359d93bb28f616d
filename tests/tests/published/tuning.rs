//! SIMC gains and margins (B2-1 to B2-4), floors (B2-6, B2-7), curve geometry.

use crate::near;
use sim::desk::margins::margins;
use sim::desk::speed::{curve_rate, onset_floor, onset_latency_s};
use sim::desk::tuning::Plant;

const PLANT: Plant = Plant { gain: 1.0, lag_s: 0.5, dead_time_s: 0.1 };

/// Skogestad, "Simple analytic rules for model reduction and PID controller tuning", 2003:
/// <https://folk.ntnu.no/skoge/publications/2003/tuningPID/smooth_tunings/README.txt>
#[test]
fn simc_gives_the_worked_gains() {
    let tight = PLANT.simc_tight();
    near("Kc", tight.kc, 2.5, 1e-12);
    near("τI", tight.integral_s, 0.5, 1e-12);
    near("Ki", tight.kc / tight.integral_s, 5.0, 1e-12);
    near("Kc at τc = 3 θ", PLANT.simc(0.3).kc, 1.25, 1e-12);
    near("Kc at k = 2", Plant { gain: 2.0, ..PLANT }.simc_tight().kc, 1.25, 1e-12);
}

/// Margins of the tight rule for any such plant with τI = τ1; computed on a fine grid.
#[test]
fn the_tight_rule_has_its_known_margins() {
    for (lag_s, dead_time_s) in [(0.5, 0.1), (0.15, 0.05), (0.3, 0.2)] {
        let plant = Plant { gain: 0.7, lag_s, dead_time_s };
        let found = margins(&plant, &plant.simc_tight());
        near("gain margin", found.gain, std::f64::consts::PI, 5e-4);
        near("phase margin, °", found.phase_deg, 61.35, 0.005);
        near("Ms", found.sensitivity, 1.590, 5e-4);
        near("Mt", found.complementary, 1.000, 5e-4);
        near("ωc θ", found.crossover_rad_per_s * dead_time_s, 0.5, 5e-4);
        near("delay margin / θ", found.delay_s / dead_time_s, 2.142, 5e-4);
    }
}

#[test]
fn a_slower_rule_has_wider_margins() {
    let found = margins(&PLANT, &PLANT.simc(0.3));
    near("gain margin", found.gain, std::f64::consts::TAU, 0.005);
    near("phase margin, °", found.phase_deg, 75.7, 0.05);
    near("Ms", found.sensitivity, 1.25, 0.005);
}

/// Skogestad 2003, example E1: 1 / ((s + 1)(0.2 s + 1)); margins computed on the reduced plant.
#[test]
fn the_half_rule_gives_the_example() {
    let plant = Plant::by_half_rule(1.0, 1.0, 0.2, 0.0);
    near("θ", plant.dead_time_s, 0.1, 1e-12);
    near("τ1", plant.lag_s, 1.1, 1e-12);
    let gains = plant.simc_tight();
    near("Kc", gains.kc, 5.5, 1e-12);
    near("τI", gains.integral_s, 0.8, 1e-12);
    let found = margins(&plant, &gains);
    near("Ms", found.sensitivity, 1.62, 0.005);
    near("phase margin, °", found.phase_deg, 57.3, 0.05);
    near("gain margin", found.gain, 3.09, 0.005);
}

/// Floor on the rate error at the onset of acceleration; first principles.
#[test]
fn the_floor_at_the_onset_is_that_of_the_latency() {
    for (accel, latency, percent) in [(0.5, 0.1, 4.8), (0.5, 0.2, 9.1), (1.0, 0.1, 9.1)] {
        near("floor, %", 100.0 * onset_floor(accel, 1.0, latency), percent, 0.05);
    }
    near("latency for 5 % at 1 m/s", onset_latency_s(0.5, 1.0, 0.05), 0.105, 0.0005);
    near("latency for 5 % at 2 m/s", onset_latency_s(0.5, 2.0, 0.05), 0.21, 0.005);
}

#[test]
fn a_ramp_without_feed_forward_is_followed_late() {
    let lag = PLANT.ramp_lag(PLANT.simc_tight(), 0.5);
    near("behind, m/s", lag, 0.1, 1e-12);
    near("a (τc + θ)", lag, 0.5 * (0.1 + 0.1), 1e-12);
}

/// First principles: one drive on a curve lays R / (R + y).
#[test]
fn a_curve_leaves_its_width_over_its_radius() {
    let table = [(30.0, 3.0, -9.09), (30.0, -3.0, 11.11), (10.0, 1.5, -13.04), (10.0, -1.5, 17.65)];
    for (radius, offset, percent) in table {
        near("rate error, %", 100.0 * (curve_rate(radius, offset) - 1.0), percent, 0.005);
    }
}
