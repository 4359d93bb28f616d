//! The fault bench: two sides, the headland cycle, a board and a fault, in lock step.
//!
//! Physics at 1 ms by the bench's own machine, ticks every 10 ms. A clone goes on by itself: a healthy run is made
//! once, and every injection begins from its snapshot.

use super::board::Board;
use super::clock::Beat;
use super::cycle::Cycle;
use super::inject::TICKS_PER_S;
use super::power::Power;
use super::setup::{BUS_LATE, PULSES_PER_M, RECEIVER_LATE, Setup, truth};
use super::side::{Side, Wheel};
use super::words;
use super::wrapper::{Sensors, Wrapper};
use crate::bench::STEP_S;
use crate::scenario::Truth;
use controller::sense::{SpeedReport, SpeedSample};
use controller::{Inputs, Outputs};
use std::sync::Arc;

/// Sides of the drill on the fault bench.
pub const SIDES: usize = 2;

/// Ticks in which the second side is switched off: two seconds of the first work.
const SIDE_OFF: core::ops::Range<u32> = 1_200..1_400;

/// Steps of the physics in a tick.
const STEPS: u32 = 10;

/// The board's own watchdog holds it in reset after so many ticks that did not come.
pub const WATCHDOG: u32 = 50;

/// A tube sensor sees seed that passed within so many ticks.
const SEEN_FOR: u32 = 5;

/// The receiver begins to send at this tick.
pub const RECEIVER_FROM: u32 = 20;

/// The clock wraps 20 s into a run, where nothing else is said.
pub const CLOCK: u32 = u32::MAX - 20_000_000;

/// What the bench alone knows after a tick.
#[derive(Clone, Debug)]
pub struct Look {
    /// The tick.
    pub tick: u32,
    /// True ground speed, m/s.
    pub speed_mps: f64,
    /// What stood at the board's pins.
    pub inputs: Inputs,
    /// The board's tick came.
    pub ticked: bool,
    /// The board's supply.
    pub power: Power,
    /// What the board drives.
    pub outputs: Outputs,
    /// True shaft speeds, turns/s.
    pub shafts: [f64; SIDES],
    /// Mass on the soil so far, both sides, kg.
    pub laid_kg: f64,
    /// The fault is there.
    pub active: bool,
}

/// The fault bench in the middle of a run.
#[derive(Clone, Debug)]
pub struct Rig<B> {
    setup: Setup,
    cycle: Arc<Cycle>,
    board: B,
    clock: u32,
    tick: u32,
    sides: [Side; SIDES],
    wheel: Wheel,
    outputs: Outputs,
    laid_kg: f64,
    missed: u32,
    receiver_from: u32,
}

impl<B: Board> Rig<B> {
    /// At the beginning of the cycle, the clock at `clock` µs.
    pub fn new(setup: Setup, cycle: Arc<Cycle>, board: B, clock: u32) -> Self {
        Self {
            setup,
            cycle,
            board,
            clock,
            tick: 0,
            sides: [Side::new(&truth(), 1), Side::new(&truth(), 11)],
            wheel: Wheel::new(PULSES_PER_M, 0.0, 1),
            outputs: Outputs::default(),
            laid_kg: 0.0,
            missed: 0,
            receiver_from: RECEIVER_FROM,
        }
    }

    /// The same with another clock; at the beginning of the cycle alone.
    #[must_use]
    pub fn with_clock(self, clock: u32) -> Self {
        Self { clock, ..self }
    }

    /// The same with another machine on the first side; at the beginning of the cycle alone.
    #[must_use]
    pub fn with_first_side(mut self, truth: &Truth) -> Self {
        self.sides[0] = Side::new(truth, 1);
        self
    }

    /// The same with a receiver that begins to send at a tick.
    #[must_use]
    pub fn with_receiver_from(self, tick: u32) -> Self {
        Self { receiver_from: tick, ..self }
    }

    /// The tick that comes next.
    pub const fn tick_number(&self) -> u32 {
        self.tick
    }

    /// The board.
    pub const fn board(&self) -> &B {
        &self.board
    }

    /// One tick of the board and the ten steps of the machine after it.
    pub fn tick(&mut self, fault: &mut Wrapper) -> Look {
        let tick = self.tick;
        let mut inputs = self.inputs();
        fault.inputs(&mut inputs, self.sensors(), tick);
        let (power, beat) = fault.board(&mut inputs, tick);
        let power = self.watchdog(power, beat);
        let ticked = self.run_board(&inputs, power, beat);
        for step in 0..STEPS {
            self.step(tick * STEPS + step, fault);
        }
        self.tick += 1;
        Look {
            tick,
            speed_mps: at(&self.cycle.speed_mps, tick * STEPS),
            inputs,
            ticked,
            power,
            outputs: self.outputs,
            shafts: [self.sides[0].shown, self.sides[1].shown],
            laid_kg: self.laid_kg,
            active: fault.is_active(tick),
        }
    }

    /// A board whose ticks do not come is held in reset and starts anew with the next.
    fn watchdog(&mut self, power: Power, beat: Beat) -> Power {
        let barked = self.missed >= WATCHDOG;
        self.missed = if beat == Beat::Never { self.missed + 1 } else { 0 };
        match (beat, power) {
            (Beat::Never, Power::On) if self.missed >= WATCHDOG => Power::Off,
            (_, Power::On) if barked => Power::Back,
            _ => power,
        }
    }

    fn run_board(&mut self, inputs: &Inputs, power: Power, beat: Beat) -> bool {
        match power {
            Power::Off => self.outputs = Outputs::default(),
            Power::Back => self.board.power_up(),
            Power::On => {}
        }
        let ticks = match (power, beat) {
            (Power::Off, _) | (_, Beat::Never) => 0,
            (_, Beat::Once) => 1,
            (_, Beat::Twice) => 2,
        };
        for _ in 0..ticks {
            self.outputs = self.board.tick(inputs);
        }
        ticks > 0
    }

    fn sensors(&self) -> Sensors {
        Sensors {
            ground: self.wheel.shown(self.clock),
            shaft: self.sides[0].encoder.shown(self.clock),
        }
    }

    /// What a healthy machine shows.
    fn inputs(&self) -> Inputs {
        let (tick, setup) = (self.tick, self.setup);
        let index = usize::try_from(tick).unwrap_or(0);
        let pulses = matches!(setup, Setup::Pulses | Setup::All);
        let mut inputs = Inputs {
            now: self.instant(tick),
            yaw: Some(words::yaw(at(&self.cycle.yaw_rad_per_s, tick * STEPS))),
            lift: self.cycle.in_work.get(index).copied().unwrap_or(true),
            master: self.cycle.master.get(index).copied().unwrap_or(true),
            hopper_empty: setup.is_full().then_some(false),
            ..Inputs::default()
        };
        if pulses {
            inputs.ground = self.wheel.shown(self.clock)[0];
        }
        if matches!(setup, Setup::Receiver | Setup::All)
            && tick >= self.receiver_from
            && tick.is_multiple_of(10)
        {
            // A receiver's text has steps of 0.01 kn.
            inputs.speeds.receiver = self.sample(RECEIVER_LATE, 0.005_144);
        }
        if matches!(setup, Setup::Bus | Setup::All) && tick % 10 == 5 {
            inputs.speeds.bus_ground = self.sample(BUS_LATE, 0.001);
        }
        for ((number, read), side) in (1..).zip(&mut inputs.sides).zip(&self.sides) {
            read.switch = number == 1 || !SIDE_OFF.contains(&tick);
            read.shaft = side.encoder.shown(self.clock)[0];
            let seen = side.passed.is_some_and(|at| tick - at <= SEEN_FOR);
            read.seed_seen = setup.is_full().then_some(seen);
        }
        inputs
    }

    fn instant(&self, tick: u32) -> controller::quantity::Instant {
        words::instant(f64::from(tick) / f64::from(TICKS_PER_S), self.clock)
    }

    fn sample(&self, late: u32, step_mps: f64) -> Option<SpeedReport> {
        let then = self.tick.checked_sub(late)?;
        let speed = words::speed(at(&self.cycle.speed_mps, then * STEPS), step_mps);
        Some(SpeedReport::Speed(SpeedSample { speed, at: self.instant(then) }))
    }

    fn step(&mut self, step: u32, fault: &mut Wrapper) {
        let (from, to) = (at(&self.cycle.travel_m, step), at(&self.cycle.travel_m, step + 1));
        let t = f64::from(step + 1) * STEP_S;
        self.wheel.step(from, to, t);
        let mut plant = fault.plant(self.tick);
        for index in 0..SIDES {
            let given = words::command(self.outputs.sides[index].command);
            let oil = self.outputs.supply;
            let (spool, stalls, empty, blocked) = match plant.as_deref_mut() {
                Some(plant) => (
                    plant.spool(index, given, oil),
                    plant.stalls(index),
                    plant.is_empty(index),
                    plant.blocks(index),
                ),
                None => (if oil { given } else { 0.0 }, false, false, false),
            };
            let side = &mut self.sides[index];
            let before = side.drive.turns_per_s();
            let after = side.drive.step(spool, t);
            let turned = if stalls { 0.0 } else { f64::midpoint(before, after) * STEP_S };
            side.shown = if stalls { 0.0 } else { after };
            let turns = side.turns + turned;
            side.encoder.step(side.turns, turns, t);
            let metered = side.meter.step(side.turns, turns, after);
            side.turns = turns;
            let passing = if empty || blocked { 0.0 } else { metered };
            let landed = side.delivery.step(passing);
            if landed > 0.0 {
                side.passed = Some(self.tick);
            }
            self.laid_kg += landed;
        }
    }
}

/// The value of a step, zero beyond the run.
fn at(values: &[f64], step: u32) -> f64 {
    values.get(usize::try_from(step).unwrap_or(usize::MAX)).copied().unwrap_or(0.0)
}
