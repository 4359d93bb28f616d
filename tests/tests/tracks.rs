//! Recorded tracks on the reference drill: the figures that the project promises, seeds 1 to 20.
//!
//! The tracks are read in place through `METERWRIGHT_TRACKS`; without it each test says that it is
//! skipped.

use sim::bench::{judge, run};
use sim::scenario::{Gnss, Source};
use sim::score::Score;
use sim::verdict::Verdict;

fn gnss(interval_s: f64, latency_s: f64) -> Source {
    Source::Gnss(Gnss { interval_s, latency_s, noise_mps: 0.02, seeds: (1..=20).collect() })
}

fn verdict(track: &str, source: Source) -> Option<Verdict> {
    let scenario = tests::track_scenario(track, source)?;
    let verdict = judge(&scenario, &|_| {}).expect("the reference drill's settings are right");
    println!("{track}: {:?}", verdict.score);
    Some(verdict)
}

/// Asserts each bound and says which was missed, by how much.
fn hold(name: &str, score: &Score, bounds: &[(&str, f64, f64)]) {
    for &(figure, low, high) in bounds {
        let have = score.figure(figure).expect("a figure of the score");
        assert!(have >= low && have <= high, "{name}: {figure} is {have}, wanted {low} to {high}");
    }
}

fn pulses(track: &str, rms: f64) {
    let Some(verdict) = verdict(track, Source::Pulses) else { return };
    let bounds = [
        ("within_3_pct", 98.9, 100.0),
        ("within_5_pct", 99.5, 100.0),
        ("within_10_pct", 99.9, 100.0),
        ("rms_pct", 0.0, rms),
        ("mass_pct", -0.2, 0.2),
        ("tally_area_pct", -0.1, 0.1),
        ("tally_mass_pct", -0.1, 0.1),
        ("start_excess_m", f64::NEG_INFINITY, 0.0),
        ("stop_excess_m", f64::NEG_INFINITY, 0.0),
        ("floor_ratio", 1.0, f64::INFINITY),
    ];
    hold(track, &verdict.score, &bounds);
}

fn ten_hertz(track: &str) {
    let Some(verdict) = verdict(track, gnss(0.1, 0.1)) else { return };
    let bounds = [
        ("within_3_pct", 93.7, 100.0),
        ("within_5_pct", 97.8, 100.0),
        ("within_10_pct", 99.4, 100.0),
        ("rms_pct", 0.0, 1.95),
        ("tally_area_pct", -0.3, 0.3),
        ("tally_mass_pct", -0.3, 0.3),
        ("floor_ratio", 1.0, f64::INFINITY),
    ];
    hold(track, &verdict.score, &bounds);
}

fn five_hertz(track: &str) {
    let Some(verdict) = verdict(track, gnss(0.2, 0.2)) else { return };
    let bounds = [
        ("within_5_pct", 95.6, 100.0),
        ("within_10_pct", 98.9, 100.0),
        ("rms_pct", 0.0, 2.7),
        ("tally_area_pct", -0.3, 0.3),
        ("tally_mass_pct", -0.3, 0.3),
    ];
    hold(track, &verdict.score, &bounds);
    // No within or rms column more than 0.7 points worse than the plain law.
    let plain = &verdict.rivals.plain;
    for figure in ["within_3_pct", "within_5_pct", "within_10_pct"] {
        let (have, rival) = (verdict.score.figure(figure), plain.figure(figure));
        let behind = rival.expect("a figure") - have.expect("a figure");
        assert!(behind <= 0.7, "{track}: {figure} is {behind} points behind the plain law");
    }
    assert!(verdict.score.rms_pct <= plain.rms_pct + 0.7, "{track}: rms behind the plain law");
}

#[test]
fn field_a_with_pulses_keeps_its_figures() {
    pulses("field-a", 0.85);
}

#[test]
fn field_b_with_pulses_keeps_its_figures() {
    pulses("field-b", 0.85);
}

#[test]
fn field_rows_with_pulses_keeps_its_figures() {
    pulses("field-rows", 0.95);
}

#[test]
fn field_a_with_gnss_at_10_hz_keeps_its_figures_with_every_seed() {
    ten_hertz("field-a");
}

#[test]
fn field_b_with_gnss_at_10_hz_keeps_its_figures_with_every_seed() {
    ten_hertz("field-b");
}

#[test]
fn field_rows_with_gnss_at_10_hz_keeps_its_figures_with_every_seed() {
    ten_hertz("field-rows");
}

#[test]
fn field_a_with_gnss_at_5_hz_keeps_its_figures_with_every_seed() {
    five_hertz("field-a");
}

#[test]
fn field_b_with_gnss_at_5_hz_keeps_its_figures_with_every_seed() {
    five_hertz("field-b");
}

#[test]
fn field_rows_with_gnss_at_5_hz_keeps_its_figures_with_every_seed() {
    five_hertz("field-rows");
}

#[test]
fn a_drive_told_wrong_still_holds_the_rate_on_field_a() {
    let Some(right) = tests::track_scenario("field-a", Source::Pulses) else { return };
    for case in tests::wrongly_told() {
        let mut scenario = right.clone();
        (case.tell)(&mut scenario);
        let run = run(&scenario, 1).expect("the settings are right");
        println!("{}: {:?}", case.name, run.score);
        let bounds = [("within_5_pct", 99.3, 100.0), ("within_10_pct", 99.9, 100.0)];
        hold(case.name, &run.score, &bounds);
    }
}
