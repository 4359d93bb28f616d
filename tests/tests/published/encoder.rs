//! Counting against timing (B3-7, B3-8), M/T, and what an integer integral cannot see (B4-1, B4-2).

use crate::near;
use sim::desk::encoder::{
    count_step, edges_in_window, edges_over_time_turns_per_s, equal_edge_rate_hz, floor_bias,
    integral_dead_zone, period_step,
};

/// Exercise at <https://tutorsglobe.com/question/an-incremental-encoder-with-500-windows-in-its-track-is-52189914.aspx>:
/// 500 pulses a turn, a 10 Hz window, a 10 MHz clock.
#[test]
fn counting_is_coarse_when_slow_and_timing_when_fast() {
    for (turns_per_s, counted, timed) in [(1.0, 2.0, 0.005), (100.0, 0.02, 0.5)] {
        near("counted, %", 100.0 * count_step(500, turns_per_s, 0.1), counted, 1e-9);
        near("timed, %", 100.0 * period_step(500, turns_per_s, 1e7), timed, 1e-9);
    }
    near("equal at, Hz", equal_edge_rate_hz(1e7, 0.1), 10_000.0, 1e-6);
}

/// <https://industrialmonitordirect.com/blogs/knowledgebase/rotary-speed-measurement-method-1-vs-method-2-accuracy-calculation>
/// prints 0.003125 % for 50 Hz at 16 MHz, ten times too much.
#[test]
fn fifty_hertz_by_sixteen_megahertz_is_a_tenth_of_the_printed_step() {
    near("%", 100.0 * period_step(1, 50.0, 16e6), 0.000_312_5, 1e-12);
}

/// A meter shaft of 27 turns/min; computed figures.
#[test]
fn a_slow_shaft_has_too_few_edges_to_count() {
    near("edges in 50 ms", edges_in_window(360, 0.45, 0.05), 8.1, 1e-9);
    near("step, %", 100.0 * count_step(360, 0.45, 0.05), 12.3, 0.05);
    near("timed, %", 100.0 * period_step(360, 0.45, 1e6), 0.016, 0.0005);
    near("edges in 100 ms", edges_in_window(60, 0.45, 0.1), 2.7, 1e-9);
    near("step, %", 100.0 * count_step(60, 0.45, 0.1), 37.0, 0.05);
}

/// M/T: whole edges over the clock's count between them, <https://www.scribd.com/document/490565910/3629-pdf>.
/// One count more or less moves the speed by 1 / m2, however fast the shaft.
#[test]
fn edges_over_time_err_by_one_count_of_the_clock() {
    for (edges, turns_per_s) in [(8_u32, 0.45), (90, 5.0)] {
        let ticks = (f64::from(edges) * 1e6 / (360.0 * turns_per_s)).round();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some 50 000")]
        let counted = ticks as u32;
        let have = edges_over_time_turns_per_s(edges, counted, 360, 1e6);
        near("turns/s", have, turns_per_s, turns_per_s / ticks);
        let more = edges_over_time_turns_per_s(edges, counted + 1, 360, 1e6);
        near("step of one count", 1.0 - more / have, 1.0 / f64::from(counted + 1), 1e-12);
    }
}

/// An integral in whole steps, Ki = 5 1/s at 10 ms, run on a constant error for a minute.
fn integral_after_a_minute(error: i64, extra_bits: u32) -> i64 {
    let mut integral = 0;
    for _ in 0..6000 {
        // Ki Ts = 1/20; the quotient is cut as an integer's is.
        integral += (error << extra_bits) / 20;
    }
    integral
}

#[test]
fn a_coarse_integral_never_sees_a_small_error() {
    let blind = integral_dead_zone(1.0, 5.0, 0.01);
    near("dead zone, steps", blind, 20.0, 1e-9);
    assert_eq!(integral_after_a_minute(19, 0), 0, "19 steps of error are never integrated");
    assert_eq!(integral_after_a_minute(20, 0), 6000, "20 steps of error are");
    let rpm = integral_dead_zone(0.1, 5.0, 0.01);
    near("uncorrected, turns/min", rpm, 2.0, 1e-9);
    near("of 27 turns/min, %", 100.0 * rpm / 27.0, 7.4, 0.05);
    let fine = integral_dead_zone(0.1 / 65_536.0, 5.0, 0.01);
    near("with 16 bits more, %", 100.0 * fine / 27.0, 0.0001, 5e-5);
    assert!(integral_after_a_minute(1, 16) > 0, "with 16 bits more a single step is integrated");
}

#[test]
fn rounding_down_is_worth_half_the_dead_zone() {
    // Mean of what `>>` cuts off over every residue of an even spread of errors.
    let shift = 12;
    let cut: f64 = (0..1_i32 << shift)
        .map(|word| f64::from(word >> shift) - f64::from(word) / f64::from(1 << shift))
        .sum::<f64>()
        / f64::from(1 << shift);
    near("bias of a step, steps", cut, -0.5, 1.0 / f64::from(1 << shift));
    near("as a constant error", floor_bias(1.0, 5.0, 0.01), cut / (5.0 * 0.01), 0.01);
}
