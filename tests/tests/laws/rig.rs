//! Settings and sequences of inputs, plausible and not.

use controller::drive::{MapPoint, MotorisedConfig, ValveKind};
use controller::measure::{SpinConfig, SpinPlan};
use controller::quantity::{
    Command, Instant, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros,
    MilligramsPerSquareMetre, PulsesPerMetre, RadiansPerSecond, TurnsPerSecond,
};
use controller::run::{CatchRun, FillRun, Run, SpinRun};
use controller::seed::{MeterPoint, Product};
use controller::sense::{Pulses, Sampled, SpeedReport, SpeedSample, SpeedSource};
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};
use controller::{Controller, Inputs, Outputs, Settings, SideInputs};
use proptest::prelude::*;

/// Most of what a sequence does in a tick.
#[expect(clippy::struct_excessive_bools, reason = "each is a switch of its own")]
#[derive(Clone, Debug)]
pub(crate) struct Step {
    /// Time since the tick before, µs; wraps, so that a large one runs backwards.
    pub(crate) span: u32,
    pub(crate) master: bool,
    pub(crate) lift: bool,
    pub(crate) hold: bool,
    pub(crate) switches: [bool; 4],
    /// Edges since the tick before: of the ground and of the shafts.
    pub(crate) edges: [u32; 5],
    /// Age of the last edges, µs.
    pub(crate) ages: [u32; 5],
    /// A sample: speed, raw, and age, µs.
    pub(crate) sample: Option<(i32, u32)>,
    pub(crate) yaw: Option<i32>,
    /// The hard-wired stop reads pressed.
    pub(crate) stop: bool,
    pub(crate) act: Option<Deed>,
}

/// An act of the operator.
#[derive(Clone, Debug)]
pub(crate) enum Deed {
    Rate(u32),
    Arm { side: usize, shaft: i32, edges: u32, at_most: u32 },
    Fill { side: usize, shaft: i32, at_most: u32 },
    Spin(usize),
    ByMap(usize),
    Forget,
    Filled(u64),
}

/// A motorised valve.
const MOTORISED: ValveKind = ValveKind::Motorised(MotorisedConfig {
    stroke: Micros::from_millis(3_000),
    play: Micros::from_millis(20),
});

/// Settings of so many sides; the source by samples or pulses, the meter with a curve or without.
pub(crate) fn settings(sides: usize, samples: bool, curve: bool) -> Settings {
    Settings::new(&config(sides, samples, curve)).expect("the settings are valid")
}

/// The same as a person wrote them.
pub(crate) fn config(sides: usize, samples: bool, curve: bool) -> SettingsConfig {
    let shaft = |thousandths: i32| TurnsPerSecond::from_bits(thousandths * 2_097);
    let catch = |n, grams| MeterPoint { shaft: shaft(n), mass: MicrogramsPerTurn::new(grams) };
    let catches = [catch(300, 124_000_000), catch(700, 120_000_000), catch(1_300, 112_000_000)];
    let map = [(13_107, 0), (40_000, 900), (65_535, 1_650)];
    let source = if samples {
        SpeedSource::Samples { from: Sampled::Receiver, limit: Micros::from_millis(500) }
    } else {
        SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(130 << 16) }
    };
    let side = |index: i32| SideConfig {
        product: Product::First,
        outlets: 24,
        width: Micrometres::from_millimetres(3_000 + 500 * index),
        offset: Micrometres::from_millimetres(4_000 - 2_500 * index),
        edges_per_turn: 180,
        // The right one of two knows which way its shaft turns.
        two_channel: index == 1,
        meter: catches.into_iter().take(if curve { 3 } else { 1 }).collect(),
        map: map
            .map(|(command, n)| MapPoint { command: Command::from_bits(command), shaft: shaft(n) })
            .into_iter()
            .collect(),
        lag: Micros::from_millis(150),
        dead_time: Micros::from_millis(50),
        // Two of the sides of a drill with a meter curve have a motorised valve.
        valve: if curve && index % 2 == 1 { MOTORISED } else { ValveKind::Proportional },
    };
    SettingsConfig {
        sides: (0..4).map(side).take(sides).collect(),
        sources: core::iter::once(source).collect(),
        correct_slip: false,
        places: PlacesConfig::default(),
        least_gap: Micrometres::from_millimetres(500),
        limits: LimitsConfig {
            start_speed: MetresPerSecond::from_millimetres(500),
            ..LimitsConfig::default()
        },
        rate: MilligramsPerSquareMetre::from_whole(11_000),
        second_rate: None,
        lowest_speed: MetresPerSecond::from_millimetres(150),
        top_speed: MetresPerSecond::from_millimetres(15_000),
        delivery_delay: Micros::from_millis(350),
        lift: LiftConfig {
            from: LiftSource::Switch,
            lowered_level: true,
            debounce: Micros::from_millis(20),
        },
        capture_rate: 100_000,
    }
}

/// Turns steps into inputs and keeps the counts.
#[derive(Clone, Debug)]
pub(crate) struct Feed {
    pub(crate) controller: Controller,
    pub(crate) inputs: Inputs,
    /// The act of the last step was accepted.
    pub(crate) accepted: bool,
}

impl Feed {
    /// A controller whose clock stands at `origin`.
    pub(crate) fn new(settings: Settings, origin: u32) -> Self {
        let at = Instant::from_micros(origin);
        let side =
            SideInputs { shaft: Pulses { count: 0, edge_at: at }, switch: false, seed_seen: None };
        let ground = Pulses { count: 0, edge_at: at };
        let inputs = Inputs { now: at, ground, sides: [side; 4], ..Inputs::default() };
        Self { controller: Controller::new(settings), inputs, accepted: false }
    }

    /// Takes a step; returns what the controller gave.
    pub(crate) fn step(&mut self, step: &Step) -> Outputs {
        self.accepted = self.act(step);
        let now = self.inputs.now.plus(Micros::new(step.span));
        let inputs = &mut self.inputs;
        inputs.now = now;
        (inputs.master, inputs.lift, inputs.hold) = (step.master, step.lift, step.hold);
        inputs.stop = Some(step.stop);
        let ground = (&mut inputs.ground, step.edges[0], step.ages[0]);
        let shafts = inputs.sides.iter_mut().map(|side| &mut side.shaft);
        let shafts = shafts.zip(&step.edges[1..]).zip(&step.ages[1..]);
        let shafts = shafts.map(|((pulses, edges), age)| (pulses, *edges, *age));
        for (pulses, edges, age) in core::iter::once(ground).chain(shafts) {
            if edges > 0 {
                pulses.count = pulses.count.wrapping_add(edges);
                pulses.edge_at = now.minus(Micros::new(age));
            }
        }
        for (side, switch) in inputs.sides.iter_mut().zip(step.switches) {
            side.switch = switch;
        }
        inputs.speeds.receiver = step.sample.map(|(speed, age)| {
            SpeedReport::Speed(SpeedSample {
                speed: MetresPerSecond::from_bits(speed),
                at: now.minus(Micros::new(age)),
            })
        });
        inputs.yaw = step.yaw.map(RadiansPerSecond::from_bits);
        self.controller.tick(inputs)
    }

    fn act(&mut self, step: &Step) -> bool {
        use controller::Act;
        let act = match step.act {
            None => return false,
            Some(Deed::Rate(bits)) => Act::Rate {
                product: Product::First,
                rate: MilligramsPerSquareMetre::from_bits(bits),
            },
            Some(Deed::Filled(micrograms)) => Act::Filled { product: Product::First, micrograms },
            Some(Deed::ByMap(side)) => Act::ByMap(side),
            Some(Deed::Forget) => Act::ForgetCorrections,
            Some(Deed::Fill { side, shaft, at_most }) => Act::ArmRun(Run::Fill(FillRun {
                side,
                shaft: TurnsPerSecond::from_bits(shaft),
                at_most: Micros::new(at_most),
            })),
            Some(Deed::Spin(side)) => {
                let about = SpinConfig::about(Command::from_bits(13_107));
                let plan = SpinPlan::new(about).expect("a plan");
                Act::ArmRun(Run::Spin(SpinRun { side, plan, box_empty: true }))
            }
            Some(Deed::Arm { side, shaft, edges, at_most }) => Act::ArmRun(Run::Catch(CatchRun {
                side,
                shaft: TurnsPerSecond::from_bits(shaft),
                prime: 0,
                edges,
                at_most: Micros::new(at_most),
            })),
        };
        self.controller.act(act, self.inputs.now).is_ok()
    }
}

/// Switches that mostly keep a drill at work, so that the sequences reach every state.
fn often(on: u32, off: u32) -> impl Strategy<Value = bool> {
    prop_oneof![on => Just(true), off => Just(false)]
}

/// A step of a drill at work: ticks on time, plausible edges, now and then a switch.
fn plausible() -> impl Strategy<Value = Step> {
    let edges = (2..5_u32, 0..4_u32, 0..4_u32, 0..4_u32, 0..4_u32).prop_map(<[u32; 5]>::from);
    let act = prop_oneof![200 => Just(None), 2 => deed().prop_map(Some)];
    let switches = (prop::array::uniform4(often(60, 1)), often(1, 500));
    let hands = (often(60, 1), often(60, 1), often(1, 3), switches);
    let sample = prop::option::weighted(0.1, (0..4 << 20, 50_000..150_000_u32));
    let ages = prop::array::uniform5(0..9_999_u32);
    (9_900..10_100_u32, hands, edges, ages, sample, act).prop_map(
        |(span, (master, lift, hold, (switches, stop)), edges, ages, sample, act)| Step {
            span,
            master,
            lift,
            hold,
            switches,
            edges,
            ages,
            sample,
            yaw: None,
            stop,
            act,
        },
    )
}

fn deed() -> impl Strategy<Value = Deed> {
    prop_oneof![
        any::<u32>().prop_map(Deed::Rate),
        (50 << 16..50_000_u32 << 16).prop_map(Deed::Rate),
        any::<u64>().prop_map(Deed::Filled),
        (0..5_usize, any::<i32>(), any::<u32>(), any::<u32>())
            .prop_map(|(side, shaft, edges, at_most)| Deed::Arm { side, shaft, edges, at_most }),
        (0..4_usize, 1..3_000_000, 1..100_u32, 1..2_000_000_u32)
            .prop_map(|(side, shaft, edges, at_most)| Deed::Arm { side, shaft, edges, at_most }),
        (0..5_usize, any::<i32>(), any::<u32>()).prop_map(|(side, shaft, at_most)| Deed::Fill {
            side,
            shaft,
            at_most
        }),
        (0..5_usize).prop_map(Deed::Spin),
        (0..5_usize).prop_map(Deed::ByMap),
        Just(Deed::Forget),
    ]
}

/// A number that is small, at an end, or anything.
fn wild() -> impl Strategy<Value = u32> {
    prop_oneof![
        4 => 0..20_000_u32,
        1 => Just(0),
        1 => Just(u32::MAX),
        1 => u32::MAX / 2 - 2..u32::MAX / 2 + 2,
        1 => any::<u32>(),
    ]
}

/// A step in which anything may be anything.
fn garbage() -> impl Strategy<Value = Step> {
    let hands = (any::<bool>(), any::<bool>(), any::<bool>(), any::<([bool; 4], bool)>());
    let sample = prop::option::of((any::<i32>(), wild()));
    let act = prop::option::weighted(0.2, deed());
    let counts = (prop::array::uniform5(wild()), prop::array::uniform5(wild()));
    (wild(), hands, counts, sample, prop::option::of(any::<i32>()), act).prop_map(
        |(span, (master, lift, hold, (switches, stop)), (edges, ages), sample, yaw, act)| Step {
            span,
            master,
            lift,
            hold,
            switches,
            edges,
            ages,
            sample,
            yaw,
            stop,
            act,
        },
    )
}

/// Ticks in which the hands stay where they are.
fn stretch(ticks: core::ops::Range<usize>) -> impl Strategy<Value = Vec<Step>> {
    prop::collection::vec(plausible(), ticks)
}

fn held(mut steps: Vec<Step>, master: bool, hold: bool) -> Vec<Step> {
    for step in &mut steps {
        (step.master, step.hold) = (master, hold);
    }
    steps
}

/// The master off for a while and on for a while.
fn shift() -> impl Strategy<Value = Vec<Step>> {
    (stretch(1..8), stretch(1..60)).prop_map(|(off, on)| {
        let mut steps = held(off, false, false);
        steps.extend(held(on, true, false));
        steps
    })
}

/// Ticks with the implement lifted.
fn lifted() -> impl Strategy<Value = Vec<Step>> {
    stretch(1..20).prop_map(|mut steps| {
        for step in &mut steps {
            (step.lift, step.master) = (false, true);
        }
        steps
    })
}

/// Slows down, stands, is armed, lets the button go and presses it; in some cases one of these is left out.
fn catch() -> impl Strategy<Value = Vec<Step>> {
    let act = (0..4_usize, 1..3_000_000, 1..100_u32, 1..2_000_000_u32);
    let act = act.prop_flat_map(|(side, shaft, edges, at_most)| {
        prop_oneof![
            2 => Just(Deed::Arm { side, shaft, edges, at_most }),
            1 => Just(Deed::Fill { side, shaft, at_most }),
            1 => Just(Deed::Spin(side)),
        ]
    });
    let parts = (stretch(70..80), stretch(2..6), stretch(2..6), stretch(5..60));
    (parts, act, prop::array::uniform4(often(8, 1))).prop_map(
        |((slow, armed, released, pressed), act, [a, b, c, d])| {
            let mut steps = held(slow, !a, false);
            for (index, step) in steps.iter_mut().enumerate() {
                step.edges = [u32::from(index < 30 && index % 3 == 0), 0, 0, 0, 0];
                step.sample = (index % 10 == 0).then_some((0, 50_000));
            }
            let mut armed = held(armed, !a, !b);
            armed[0].act = c.then_some(act);
            steps.extend(armed);
            steps.extend(held(released, !a, !b));
            steps.extend(held(pressed, !a, true));
            for step in &mut steps[70..] {
                step.edges[0] = if d { 0 } else { step.edges[0] };
                step.sample = step.sample.map(|(_, age)| (0, age));
            }
            steps
        },
    )
}

/// Creeps with the drill down and the master on, lets the button go and presses it.
fn by_hand() -> impl Strategy<Value = Vec<Step>> {
    (stretch(2..6), stretch(70..80), stretch(2..6), stretch(5..60)).prop_map(
        |(off, slow, released, pressed)| {
            let mut steps = held(off, false, false);
            steps.extend(held(slow, true, false));
            steps.extend(held(released, true, false));
            steps.extend(held(pressed, true, true));
            for step in &mut steps {
                step.edges[0] = 0;
                step.sample = step.sample.map(|(_, age)| (0, age));
            }
            steps
        },
    )
}

/// Sequences in which a drill works, is lifted, stands, is armed for catches and meets garbage.
pub(crate) fn sequence() -> impl Strategy<Value = Vec<Step>> {
    let part = prop_oneof![
        6 => shift(),
        2 => lifted(),
        3 => catch(),
        1 => by_hand(),
        1 => prop::collection::vec(garbage(), 1..5),
        1 => stretch(1..10),
    ];
    prop::collection::vec(part, 1..12).prop_map(|parts| parts.into_iter().flatten().collect())
}

/// Number of sides, samples or pulses, curve or not.
pub(crate) fn drills() -> impl Strategy<Value = Settings> {
    (1..=4_usize, any::<bool>(), any::<bool>())
        .prop_map(|(sides, samples, curve)| settings(sides, samples, curve))
}
