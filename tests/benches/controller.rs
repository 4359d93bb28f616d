//! Cost of the controller on the host: `controller/tick` for one and four sides, `controller/demand`.

use controller::demand::Demand;
use controller::quantity::{
    Instant, MetresPerSecond, MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre,
    TurnsPerSecond,
};
use controller::seed::{MeterCurve, MeterPoint};
use controller::sense::Pulses;
use controller::{Controller, Inputs, Settings};
use criterion::{BenchmarkId, Criterion, criterion_group, criterion_main};
use std::hint::black_box;

/// A controller that is sowing at 2 m/s, and the inputs of its next tick.
fn sowing(sides: usize) -> (Controller, Inputs) {
    let scenario = tests::demo_scenario("ramp-0.5-pulses");
    let mut config = sim::bench::settings(&scenario);
    let side = config.sides[0].clone();
    while config.sides.len() < sides {
        config.sides.push(side.clone()).expect("four sides at most");
    }
    let mut controller = Controller::new(Settings::new(&config).expect("demo settings are right"));
    let mut inputs = Inputs::default();
    for tick in 0..500 {
        next(&mut inputs, tick);
        controller.tick(&inputs);
    }
    (controller, inputs)
}

/// Moves the inputs on by 10 ms at 2 m/s.
fn next(inputs: &mut Inputs, tick: u32) {
    let now = tick * 10_000;
    let pulses = |per_second: u32| {
        let count = u32::try_from(u64::from(now) * u64::from(per_second) / 1_000_000).unwrap_or(0);
        let edge_at = u64::from(count) * 1_000_000 / u64::from(per_second);
        Pulses { count, edge_at: Instant::from_micros(u32::try_from(edge_at).unwrap_or(0)) }
    };
    inputs.now = Instant::from_micros(now);
    inputs.ground = pulses(260);
    inputs.lift = true;
    inputs.master = tick > 2;
    for side in &mut inputs.sides {
        side.switch = true;
        side.shaft = pulses(132);
    }
}

fn tick(criterion: &mut Criterion) {
    let mut group = criterion.benchmark_group("controller/tick");
    for sides in [1, 4] {
        let (mut controller, mut inputs) = sowing(sides);
        let mut count = 500;
        group.bench_function(BenchmarkId::from_parameter(sides), |bencher| {
            bencher.iter(|| {
                next(&mut inputs, count % 400_000);
                count += 1;
                black_box(controller.tick(black_box(&inputs)))
            });
        });
    }
    group.finish();
}

fn demand(criterion: &mut Criterion) {
    let catch = |shaft: i32, grams: u64| MeterPoint {
        shaft: TurnsPerSecond::from_bits(shaft),
        mass: MicrogramsPerTurn::new(grams * 1_000_000),
    };
    let curve = MeterCurve::new(&[catch(1 << 20, 120), catch(2 << 20, 115), catch(3 << 20, 112)])
        .expect("a curve");
    let width = Micrometres::from_millimetres(4_000);
    let demand =
        Demand::new(width, MilligramsPerSquareMetre::from_whole(11_000), &curve).expect("in range");
    criterion.bench_function("controller/demand", |bencher| {
        bencher.iter(|| demand.shaft(black_box(MetresPerSecond::from_millimetres(2_345))));
    });
}

criterion_group!(benches, tick, demand);
criterion_main!(benches);
