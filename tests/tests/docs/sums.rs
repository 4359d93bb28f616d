//! Sums and tables that are worked out on the pages.

use super::{holds, page};
use sim::bench::CAPTURE_RATE;
use sim::desk::motor;
use std::f64::consts::PI;
use std::fmt::Write as _;

#[test]
fn input_filters_are_quicker_than_their_sensors() {
    let mut table = String::from(
        "| sensor | edges a second | shortest level | time constant at most | C | time constant |\n\
         |---|---:|---:|---:|---:|---:|\n",
    );
    let declared = f64::from(CAPTURE_RATE);
    for (sensor, per_s, farads, c) in [
        ("encoder, 180 a turn at 1.65 turns/s", 180.0 * 1.65, 47e-9, "47 nF"),
        ("encoder, 1024 a turn at 1.65 turns/s", 1024.0 * 1.65, 10e-9, "10 nF"),
        ("ground pulses, 130 /m at 15 m/s", 130.0 * 15.0, 10e-9, "10 nF"),
        ("ground pulses, 2000 /m at 15 m/s", 2000.0 * 15.0, 680e-12, "680 pF"),
        ("encoder, 4096 a turn at 10 turns/s", 4096.0 * 10.0, 470e-12, "470 pF"),
        ("the capture rate that the bench declares", declared, 220e-12, "220 pF"),
    ] {
        let (level_us, has_us) = (0.5e6 / per_s, 4300.0 * farads * 1e6);
        let most_us = level_us / 5.0;
        assert!(has_us <= most_us, "{sensor}: {has_us} µs above {most_us} µs");
        let digits = usize::from(has_us < 10.0);
        writeln!(
            table,
            "| {sensor} | {per_s:.0} | {level_us:.digits$} µs | {most_us:.digits$} µs | {c} | {has_us:.digits$} µs |"
        )
        .expect("a string");
    }
    holds("wiring", "filters", &table);
}

/// Share of Student's t with `freedom` degrees within ±`t`: Simpson's rule over the density.
fn within(t: f64, freedom: u32) -> f64 {
    let nu = f64::from(freedom);
    // Γ((ν+1)/2) / Γ(ν/2), from ν = 1 up.
    let ratio = (1..freedom).fold(PI.sqrt().recip(), |ratio, nu| f64::from(nu) / 2.0 / ratio);
    let density = |x: f64| ratio / (nu * PI).sqrt() * (1.0 + x * x / nu).powf(-0.5 * (nu + 1.0));
    let step = t / 2000.0;
    let weight = |i: u32| [2.0, 4.0][usize::from(i % 2 == 1)];
    let inner: f64 = (1..2000).map(|i| weight(i) * density(f64::from(i) * step)).sum();
    2.0 * step / 3.0 * (density(0.0) + inner + density(t))
}

#[test]
fn so_many_catches_make_it_so_sure() {
    let mut table = String::from("| catches | t | sure to |\n|---:|---:|---:|\n");
    let quantiles =
        [(2, 12.706), (3, 4.303), (4, 3.182), (5, 2.776), (6, 2.571), (8, 2.365), (10, 2.262)];
    for (catches, t) in quantiles {
        let share = within(t, catches - 1);
        assert!((share - 0.95).abs() < 1e-4, "{catches} catches: {share} within ±{t}");
        let sure = t / f64::from(catches).sqrt();
        writeln!(table, "| {catches} | {t:.3} | ±{sure:.2} % |").expect("a string");
    }
    holds("desk", "catches", &table);
}

#[test]
fn the_first_acre_is_that_of_the_reference_drill() {
    let drill = sim::scenario::read::drill(&tests::demo("drills/reference.toml")).expect("a drill");
    let lot = sim::scenario::read::seed_lot(&tests::demo("seeds/demo-110.toml")).expect("a lot");
    let width = drill.sides[0].width_m;
    let mut table =
        String::from("| ground | way | pulses | turns | seed |\n|---|---:|---:|---:|---:|\n");
    for (ground, m2) in
        [("100 m", 100.0 * width), ("1 acre", 4_046.856_422_4), ("1 hectare", 10_000.0)]
    {
        let (way, kg) = (m2 / width, m2 * lot.rate_kg_per_ha / 10_000.0);
        let (pulses, turns) = (way * drill.ground_pulses_per_m, kg / lot.kg_per_turn(0.5));
        writeln!(table, "| {ground} | {way:.1} m | {pulses:.0} | {turns:.1} | {kg:.2} kg |")
            .expect("a string");
    }
    holds("field-check", "ground", &table);
}

#[test]
fn the_sums_of_the_oil_are_right() {
    let text = page("hydraulics").split_whitespace().collect::<Vec<_>>().join(" ");
    let litres = |n: f64| motor::fed_m3_per_s(50e-6, n, 0.9) * 60e3;
    let torque = |bar: f64| motor::torque_nm(50e-6, bar * 1e5);
    for sum in [
        format!("{:.2} L/min (0.65 gpm)", litres(2.0 * 110e-4 * 4.0 / 0.12)),
        format!("{:.1} L/min (1.45 gpm)", litres(1.65)),
        format!("{:.0} N·m at 1:1", torque(180.0)),
        format!("{:.1} N·m", torque(40.0)),
    ] {
        assert!(text.contains(&sum), "docs/hydraulics.md must say {sum}");
    }
}
