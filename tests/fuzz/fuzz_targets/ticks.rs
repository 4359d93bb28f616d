//! Arbitrary sequences of ticks and acts: nothing panics, a side that does not meter has its valve at rest, and
//! what was counted never falls.
#![no_main]

use arbitrary::Arbitrary;
use controller::quantity::{
    Course, Instant, MetresPerSecond, Micrometres, Micros, MilligramsPerSquareMetre, Position,
    RadiansPerSecond, TurnsPerSecond,
};
use controller::run::{CatchRun, Run};
use controller::seed::Product;
use controller::sense::{
    CourseSample, Direction, LineSample, PositionSample, SpeedReport, SpeedSample,
};
use controller::{Act, Controller, Inputs, Settings};
use libfuzzer_sys::fuzz_target;
use std::sync::LazyLock;

#[derive(Arbitrary, Debug)]
struct Case {
    scenario: u8,
    start: u32,
    steps: Vec<Step>,
}

#[derive(Arbitrary, Debug)]
struct Step {
    span: u32,
    usual: bool,
    switches: u8,
    edges: [u8; 5],
    ages: [u16; 5],
    report: Option<(u8, i32, u32)>,
    course: Option<(u32, i32)>,
    place: Option<(i32, i32)>,
    line: Option<(i32, bool, u32)>,
    yaw: Option<i32>,
    act: Option<Deed>,
}

#[derive(Arbitrary, Debug)]
enum Deed {
    Rate(u32),
    Catch(usize, i32, u32, u32),
    Filled(u64),
    ByHand(Option<i32>),
}

/// Settings of demo scenarios: one and two sides, pulses, samples, several sources, lines.
const SCENARIOS: [&str; 7] = [
    "ramp-0.5-pulses",
    "ramp-0.5-gnss",
    "headland-two-sides",
    "slip-corrected",
    "speed-by-hand",
    "opener-ways",
    "motorised-headland-pulses",
];

/// Their settings, read once.
static SETTINGS: LazyLock<Vec<Settings>> = LazyLock::new(|| SCENARIOS.map(settings).into());

fn settings(name: &str) -> Settings {
    let root = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo-data/scenarios/");
    let path = format!("{root}{name}.toml");
    let scenario = sim::scenario::read::scenario(path.as_ref()).expect("a demo scenario");
    Settings::new(&sim::bench::settings(&scenario)).expect("its settings are right")
}

fn report(kind: u8, speed: i32, at: Instant) -> SpeedReport {
    match kind % 4 {
        0 => SpeedReport::Speed(SpeedSample { speed: MetresPerSecond::from_bits(speed), at }),
        1 => SpeedReport::NotAvailable,
        2 => SpeedReport::Error,
        _ => SpeedReport::OutOfRange,
    }
}

fn act(deed: &Deed) -> Act {
    match *deed {
        Deed::Rate(bits) => {
            Act::Rate { product: Product::First, rate: MilligramsPerSquareMetre::from_bits(bits) }
        }
        Deed::Catch(side, shaft, edges, at_most) => Act::ArmRun(Run::Catch(CatchRun {
            side,
            shaft: TurnsPerSecond::from_bits(shaft),
            prime: 0,
            edges,
            at_most: Micros::new(at_most),
        })),
        Deed::Filled(micrograms) => Act::Filled { product: Product::First, micrograms },
        Deed::ByHand(speed) => Act::SpeedByHand(speed.map(MetresPerSecond::from_bits)),
    }
}

fn apply(inputs: &mut Inputs, step: &Step) {
    // Mostly ticks of 10 ms, or nothing would ever start.
    let span = if step.usual { 10_000 } else { step.span };
    inputs.now = inputs.now.plus(Micros::new(span));
    let on = |bit: u8| step.switches & (1 << bit) != 0;
    (inputs.lift, inputs.master, inputs.hold) = (on(0), on(1), on(2));
    inputs.direction = on(3).then_some(if on(4) { Direction::Reverse } else { Direction::Forward });
    inputs.hopper_empty = on(5).then_some(on(6));
    let channel = |pulses: &mut controller::sense::Pulses, index: usize| {
        pulses.count = pulses.count.wrapping_add(u32::from(step.edges[index]));
        if step.edges[index] > 0 {
            pulses.edge_at = inputs.now.minus(Micros::new(u32::from(step.ages[index])));
        }
    };
    channel(&mut inputs.ground, 0);
    for (index, side) in inputs.sides.iter_mut().enumerate() {
        channel(&mut side.shaft, index + 1);
        side.switch = !on(7);
        side.seed_seen = on(6).then_some(on(5));
    }
    let ago = |age: u32| inputs.now.minus(Micros::new(age));
    inputs.speeds.bus_ground =
        step.report.map(|(kind, speed, age)| report(kind / 4, speed, ago(age)));
    inputs.speeds.receiver = step.report.map(|(kind, speed, age)| report(kind, speed, ago(age)));
    inputs.course = step.course.map(|(bits, speed)| CourseSample {
        course: Course::from_bits(bits),
        speed: MetresPerSecond::from_bits(speed),
        at: inputs.now,
    });
    inputs.position = step
        .place
        .and_then(|(latitude, longitude)| Position::new(latitude, longitude))
        .map(|position| PositionSample { position, at: inputs.now });
    inputs.line = step.line.map(|(distance, sow_beyond, age)| LineSample {
        distance: Micrometres::new(distance),
        sow_beyond,
        at: ago(age),
    });
    inputs.yaw = step.yaw.map(RadiansPerSecond::from_bits);
}

fuzz_target!(|case: Case| {
    let settings = SETTINGS[usize::from(case.scenario) % SETTINGS.len()].clone();
    let mut controller = Controller::new(settings);
    let mut inputs = Inputs { now: Instant::from_micros(case.start), ..Inputs::default() };
    let mut before = controller.account();
    for step in &case.steps {
        apply(&mut inputs, step);
        if let Some(deed) = &step.act {
            let _refused = controller.act(act(deed), inputs.now);
        }
        let outputs = controller.tick(&inputs);
        for side in &outputs.sides {
            let turns = side.state.turns();
            assert!(turns || side.command.to_bits() == 0, "driven in {:?}", side.state);
            let opens = side.turn == controller::drive::ValveTurn::Open;
            assert!(turns || !opens, "opened in {:?}", side.state);
            assert!(outputs.supply || side.command.to_bits() == 0, "driven without oil");
        }
        if !inputs.master && !inputs.hold {
            assert!(outputs.at_rest(), "stop did not win: {outputs:?}");
        }
        let now = controller.account();
        // A curve may take from a side what it travelled on the inside, but mass never falls.
        assert!(now.mass_ug >= before.mass_ug, "mass fell from {before:?} to {now:?}");
        before = now;
        let _gap = controller.take_gap();
    }
});
