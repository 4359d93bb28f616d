//! Cost of the bench: an hour in the field, the same hour of the bare machine, the whole battery.
//!
//! `sim/field_hour` runs controller, machine, sensors and cells; `sim/bare_hour` steps the drive alone. Aims:
//! at most four times the bare hour, more than 8,000 × real time. Reported, not asserted.

use criterion::{Criterion, criterion_group, criterion_main};
use sim::machine::ReducedDrive;
use sim::profile::{Piece, Profile, Sample};
use sim::scenario::Scenario;
use std::hint::black_box;
use std::time::Duration;

/// An hour of passes: 60 s at 2 m/s, 10 s at 1 m/s.
fn hour() -> Scenario {
    let mut scenario = tests::demo_scenario("ramp-0.5-pulses");
    let sample = |t_s, speed_mps| Sample { t_s, speed_mps, in_work: None, heading_deg: None };
    let mut samples = vec![sample(0.0, 0.0)];
    for pass in 0..51 {
        let start = f64::from(pass) * 70.0;
        samples.push(sample(start + 4.0, 2.0));
        samples.push(sample(start + 60.0, 2.0));
        samples.push(sample(start + 62.0, 1.0));
        samples.push(sample(start + 70.0, 1.0));
    }
    samples.push(sample(3_600.0, 2.0));
    scenario.profile = Profile { pieces: vec![Piece { samples }] };
    scenario
}

fn field_hour(criterion: &mut Criterion) {
    let scenario = hour();
    let mut group = criterion.benchmark_group("sim");
    group.sample_size(10).measurement_time(Duration::from_secs(8));
    group.bench_function("field_hour", |bencher| {
        bencher.iter(|| sim::bench::run(black_box(&scenario), 1));
    });
    group.bench_function("bare_hour", |bencher| {
        bencher.iter(|| {
            let mut drive = ReducedDrive::new(&scenario.drill.truth, &[], 0.001);
            (0..3_600_000_u32).fold(0.0, |turns, step| {
                turns + drive.step(black_box(0.6), f64::from(step) * 0.001)
            })
        });
    });
    group.finish();
}

fn battery(criterion: &mut Criterion) {
    let names = [
        "ramp-0.3-pulses",
        "ramp-0.5-pulses",
        "ramp-1.0-pulses",
        "staircase-pulses",
        "headland-two-sides",
    ];
    let scenarios: Vec<Scenario> = names.into_iter().map(tests::demo_scenario).collect();
    let mut group = criterion.benchmark_group("sim");
    group.sample_size(10).measurement_time(Duration::from_secs(5));
    group.bench_function("battery", |bencher| {
        bencher.iter(|| {
            scenarios
                .iter()
                .filter_map(|scenario| sim::bench::judge(scenario, &|_| {}).ok())
                .count()
        });
    });
    group.finish();
}

criterion_group!(benches, field_hour, battery);
criterion_main!(benches);
