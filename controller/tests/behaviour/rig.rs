//! A drill of exact pulse trains: every edge has its own microsecond.
//!
//! ```text
//!  phase += rate (1/1000 edges/s) · Δt (µs)      an edge falls whenever 10^9 are full
//! ```

use controller::drive::{MapPoint, ValveKind};
use controller::quantity::{
    Command, Instant, MetresPerSecond, MicrogramsPerTurn, Micrometres, Micros,
    MilligramsPerSquareMetre, PulsesPerMetre, TurnsPerSecond,
};
use controller::section::SideState;
use controller::seed::{MeterPoint, Product};
use controller::sense::{Pulses, Sampled, SpeedReport, SpeedSample, SpeedSource};
use controller::settings::{
    LiftConfig, LiftSource, LimitsConfig, PlacesConfig, SettingsConfig, SideConfig,
};
use controller::watch::Item;
use controller::{Act, Controller, Inputs, Outputs, Settings};

/// A tick, µs.
pub(crate) const TICK: u32 = 10_000;

/// Ground pulses per metre of the rig.
pub(crate) const PER_METRE: u64 = 130;

/// Encoder edges per turn of the rig.
pub(crate) const PER_TURN: u64 = 180;

/// What turns a shaft of the rig.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Shaft {
    /// It turns at so many thousandths of the speed that is wanted whenever its valve is driven.
    Follows(u64),
    /// It gives so many thousandths of an edge per second, whatever the valve does.
    Turns(u64),
    /// It turns backwards and takes away so many thousandths of an edge per second: an encoder of two channels.
    Backwards(u64),
}

/// An exact train of edges.
#[derive(Clone, Copy, Debug, Default)]
struct Train {
    phase: u64,
    pulses: Pulses,
}

impl Train {
    fn advance(&mut self, rate: u64, from: u32, span: u32) {
        let mut left = u64::from(span);
        let mut at = from;
        while rate > 0 && self.phase + rate * left >= 1_000_000_000 {
            let wait = (1_000_000_000 - self.phase).div_ceil(rate);
            at = at.wrapping_add(u32::try_from(wait).expect("within a tick"));
            left -= wait;
            self.phase = self.phase + rate * wait - 1_000_000_000;
            self.pulses.count = self.pulses.count.wrapping_add(1);
            self.pulses.edge_at = Instant::from_micros(at);
        }
        self.phase += rate * left;
    }
}

impl Train {
    /// The same backwards: the count falls, the instants go on.
    fn retreat(&mut self, rate: u64, from: u32, span: u32) {
        let count = self.pulses.count;
        self.advance(rate, from, span);
        self.pulses.count = count.wrapping_sub(self.pulses.count.wrapping_sub(count));
    }
}

/// A controller and what it is wired to.
#[derive(Debug)]
pub(crate) struct Rig {
    pub(crate) controller: Controller,
    pub(crate) inputs: Inputs,
    pub(crate) outputs: Outputs,
    /// Ground speed that the pulses show, mm/s.
    pub(crate) speed: u64,
    pub(crate) shafts: [Shaft; 4],
    ground: Train,
    trains: [Train; 4],
}

impl Rig {
    /// A rig of the reference drill at power-up, lowered, switches on, standing.
    pub(crate) fn new() -> Self {
        Self::of(&config(1))
    }

    /// A rig of any settings.
    pub(crate) fn of(config: &SettingsConfig) -> Self {
        let settings = Settings::new(config).expect("the settings are valid");
        let mut inputs = Inputs { lift: true, ..Inputs::default() };
        for side in &mut inputs.sides {
            side.switch = true;
        }
        Self {
            controller: Controller::new(settings),
            inputs,
            outputs: Outputs::default(),
            speed: 0,
            shafts: [Shaft::Follows(1_000); 4],
            ground: Train::default(),
            trains: [Train::default(); 4],
        }
    }

    /// A rig that sows at so many mm/s and has settled.
    pub(crate) fn sowing(config: &SettingsConfig, speed: u64) -> Self {
        let mut rig = Self::of(config);
        rig.speed = speed;
        rig.run(10);
        rig.inputs.master = true;
        rig.run(300);
        rig
    }

    /// One tick of 10 ms.
    pub(crate) fn step(&mut self) -> Outputs {
        self.step_after(TICK)
    }

    /// One tick after so many microseconds.
    pub(crate) fn step_after(&mut self, span: u32) -> Outputs {
        let from = self.inputs.now.micros();
        self.ground.advance(self.speed * PER_METRE, from, span);
        for (index, train) in self.trains.iter_mut().enumerate() {
            let side = self.outputs.sides[index];
            let rate = match self.shafts[index] {
                Shaft::Turns(rate) => rate,
                Shaft::Backwards(rate) => {
                    train.retreat(rate, from, span);
                    0
                }
                Shaft::Follows(_) if side.command == Command::ZERO => 0,
                Shaft::Follows(share) => {
                    let wanted = u64::try_from(side.wanted.to_bits()).expect("forwards");
                    (wanted * PER_TURN * share) >> 21
                }
            };
            train.advance(rate, from, span);
            self.inputs.sides[index].shaft = train.pulses;
        }
        self.inputs.ground = self.ground.pulses;
        self.inputs.now = Instant::from_micros(from.wrapping_add(span));
        self.outputs = self.controller.tick(&self.inputs);
        self.outputs
    }

    /// So many ticks; the outputs of the last.
    pub(crate) fn run(&mut self, ticks: u32) -> Outputs {
        for _ in 0..ticks {
            self.step();
        }
        self.outputs
    }

    /// One tick with a speed sample of so many mm/s, true so many µs ago (negative: ahead).
    pub(crate) fn sample(&mut self, speed: i32, age: i32) -> Outputs {
        let now = self.inputs.now.plus(Micros::new(TICK));
        let at = Instant::from_micros(now.micros().wrapping_sub(age.cast_unsigned()));
        let bits = i64::from(speed) * (1 << 20) / 1_000;
        let bits = i32::try_from(bits).expect("a speed");
        let sample = SpeedSample { speed: MetresPerSecond::from_bits(bits), at };
        self.inputs.speeds.receiver = Some(SpeedReport::Speed(sample));
        let outputs = self.step();
        self.inputs.speeds.receiver = None;
        outputs
    }

    /// Ticks until `seen` holds, at most `most`; their number.
    pub(crate) fn until(&mut self, most: u32, seen: impl Fn(&Outputs) -> bool) -> u32 {
        for tick in 1..=most {
            if seen(&self.step()) {
                return tick;
            }
        }
        panic!("not within {most} ticks, last {:?}", self.outputs)
    }

    /// The operator switches the master off and on again, slowly.
    pub(crate) fn fresh_master(&mut self) {
        self.inputs.master = false;
        self.run(5);
        self.inputs.master = true;
        self.run(5);
    }

    /// Checks that a latch took everything away and that nothing comes back by itself.
    pub(crate) fn is_latched(&mut self, item: Item) {
        assert_eq!(self.outputs.alarm, Some(item));
        assert!(self.outputs.at_rest(), "{item:?} leaves {:?}", self.outputs);
        assert_eq!(self.outputs.sides[0].state, SideState::Stopped);
        for tick in 0..500 {
            let out = self.step();
            assert!(out.at_rest(), "restarts by itself {tick} ticks after {item:?}");
        }
        assert_eq!(self.outputs.alarm, Some(item), "the alarm stays until the operator answers");
    }

    /// Edges that a shaft has given.
    pub(crate) const fn edges(&self, side: usize) -> u32 {
        self.inputs.sides[side].shaft.count
    }
}

/// Shaft speed in thousandths of a turn per second.
pub(crate) fn turns(thousandths: i64) -> TurnsPerSecond {
    let bits = i32::try_from((thousandths << 21) / 1_000).expect("a shaft speed");
    TurnsPerSecond::from_bits(bits)
}

/// A side of the reference drill.
fn side() -> SideConfig {
    let map = [(13_107, 0), (65_535, 1_650)];
    SideConfig {
        product: Product::First,
        outlets: 24,
        width: Micrometres::from_millimetres(4_000),
        offset: Micrometres::default(),
        edges_per_turn: 180,
        two_channel: false,
        meter: [MeterPoint { shaft: turns(1_000), mass: MicrogramsPerTurn::new(120_000_000) }]
            .into_iter()
            .collect(),
        map: map
            .map(|(command, shaft)| MapPoint {
                command: Command::from_bits(command),
                shaft: turns(shaft),
            })
            .into_iter()
            .collect(),
        lag: Micros::from_millis(150),
        dead_time: Micros::from_millis(50),
        valve: ValveKind::Proportional,
    }
}

/// The reference drill with so many sides, ground speed from pulses.
pub(crate) fn config(sides: usize) -> SettingsConfig {
    SettingsConfig {
        sides: core::iter::repeat_n(side(), sides).collect(),
        sources: one(SpeedSource::Pulses { per_metre: PulsesPerMetre::from_bits(130 << 16) }),
        correct_slip: false,
        places: PlacesConfig::default(),
        least_gap: Micrometres::from_millimetres(500),
        limits: LimitsConfig::default(),
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

/// The same with speed samples that are stale after half a second.
pub(crate) fn sampled() -> SettingsConfig {
    let source = SpeedSource::Samples { from: Sampled::Receiver, limit: Micros::from_millis(500) };
    SettingsConfig { sources: one(source), ..config(1) }
}

/// Whether an item is the alarm.
pub(crate) fn told(item: Item) -> impl Fn(&Outputs) -> bool {
    move |out| out.alarm == Some(item)
}

/// A rig that sows at 2 m/s by a sample every 0.1 s that comes 0.1 s late.
pub(crate) fn sown_by_samples() -> Rig {
    let mut rig = Rig::of(&sampled());
    for round in 0..30 {
        rig.inputs.master = round > 0;
        rig.run(9);
        rig.sample(2_000, 100_000);
    }
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
    rig
}

/// A single source.
pub(crate) fn one<T: FromIterator<SpeedSource>>(source: SpeedSource) -> T {
    core::iter::once(source).collect()
}

/// The act that sets a rate of the first product, mg/m².
pub(crate) const fn rate(milligrams: u16) -> Act {
    Act::Rate { product: Product::First, rate: MilligramsPerSquareMetre::from_whole(milligrams) }
}

/// The act that fills the first box, µg.
pub(crate) const fn filled(micrograms: u64) -> Act {
    Act::Filled { product: Product::First, micrograms }
}
