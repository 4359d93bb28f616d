//! The fault bench as the controller hears it.

use crate::trace::Trace;
use controller::tally::Account;
use controller::watch::Item;
use controller::{Act, Controller, Inputs, Outputs, Settings};
use sim::bench::Heard;
use sim::fault::board::Board;
use sim::fault::cycle::Cycle;
use sim::fault::inject::Injection;
use sim::fault::kind::CATALOGUE;
use sim::fault::rig::{CLOCK, Rig};
use sim::fault::setup::Setup;
use sim::fault::wrapper::Wrapper;
use std::sync::Arc;

/// Every fault is there from this tick on: the drill sows at 2.2 m/s since half a second.
const AT: u32 = 450;
/// Ticks of a run.
const LONG: u32 = 850;
/// Ticks of a run for the cost: start, work, lift, a third of the turn.
const CYCLE: u32 = 1_800;

/// Ticks of a ramp: up to its top.
const RAMP: u32 = 2_000;

/// The controller with an ear. A power-up empties the ear: what is heard is one run of the controller.
#[derive(Clone)]
struct Listening {
    settings: Settings,
    controller: Controller,
    alarm: Option<Item>,
    by_map: bool,
    heard: Vec<Heard>,
    /// Where a power-up came.
    begins: Vec<usize>,
}

impl Board for Listening {
    fn tick(&mut self, inputs: &Inputs) -> Outputs {
        if self.alarm == Some(Item::ShaftSilent) && !inputs.master && self.by_map {
            let act = Act::ByMap(0);
            self.heard.push(Heard::Act(act, inputs.now));
            // Refused where the encoder is well.
            let _refused = self.controller.act(act, inputs.now);
        }
        self.heard.push(Heard::Tick(*inputs));
        let outputs = self.controller.tick(inputs);
        self.alarm = outputs.alarm;
        outputs
    }

    fn account(&self) -> Account {
        self.controller.account()
    }

    fn power_up(&mut self) {
        self.begins.push(self.heard.len());
        self.controller = Controller::new(self.settings.clone());
        self.alarm = None;
    }
}

/// Runs a cycle with a fault.
fn run_on(
    setup: Setup,
    cycle: Cycle,
    fault: &mut Wrapper,
    ticks: u32,
) -> Result<Listening, String> {
    let settings = Settings::new(&setup.settings()).map_err(|error| error.to_string())?;
    let controller = Controller::new(settings.clone());
    let (heard, begins, by_map) = (Vec::new(), vec![0], setup.is_full());
    let board = Listening { settings, controller, alarm: None, by_map, heard, begins };
    let mut rig = Rig::new(setup, Arc::new(cycle), board, CLOCK);
    for _ in 0..ticks {
        rig.tick(fault);
    }
    Ok(rig.board().clone())
}

/// Runs the headland cycle with a fault.
fn run(setup: Setup, fault: &mut Wrapper, ticks: u32) -> Result<Listening, String> {
    run_on(setup, Cycle::headland(), fault, ticks)
}

/// Every fault once, on the last of its set-ups, latched and for a while in turns.
pub(crate) fn record(trace: &mut Trace) -> Result<(), String> {
    for (index, fault) in CATALOGUE.iter().enumerate() {
        let setup = fault.setups.last().copied().unwrap_or(Setup::All);
        let lastings = fault.lastings();
        let lasting = lastings[index % lastings.len()];
        let mut wrapper = Wrapper::new(fault.part, Injection { at: AT, lasting }, 1);
        let board = run(setup, &mut wrapper, LONG)?;
        for (place, heard) in board.heard.iter().enumerate() {
            if board.begins.contains(&place) {
                trace.begin(&setup.settings())?;
            }
            trace.heard(core::slice::from_ref(heard))?;
        }
    }
    Ok(())
}

/// The healthy cycle on every set-up, with so many sides.
pub(crate) fn cost(sides: usize) -> Result<Trace, String> {
    let mut trace = Trace::default();
    for setup in Setup::EVERY {
        let mut config = setup.settings();
        let two = config.sides.clone();
        config.sides = two.iter().cycle().take(sides).cloned().collect();
        trace.begin(&config)?;
        for heard in &run(setup, &mut Wrapper::nothing(), CYCLE)?.heard {
            let Heard::Tick(inputs) = heard else { continue };
            let mut inputs = *inputs;
            (inputs.sides[2], inputs.sides[3]) = (inputs.sides[0], inputs.sides[1]);
            trace.tick(&inputs)?;
        }
    }
    Ok(trace)
}

/// Straight on over a ramp, always in work.
pub(crate) fn ramp(setup: Setup) -> Result<Trace, String> {
    let mut cycle = Cycle::of(&[
        (0.0, 0.0),
        (3.0, 1.0),
        (13.0, 1.0),
        (17.0, 3.0),
        (33.0, 3.0),
        (37.0, 1.0),
        (51.0, 1.0),
    ]);
    cycle.in_work.fill(true);
    cycle.yaw_rad_per_s.fill(0.0);
    let mut trace = Trace::default();
    trace.begin(&setup.settings())?;
    trace.heard(&run_on(setup, cycle, &mut Wrapper::nothing(), RAMP)?.heard)?;
    Ok(trace)
}

/// What the controller hears of a healthy machine with every sensor.
pub(crate) fn healthy(ticks: u32) -> Result<Vec<Heard>, String> {
    Ok(run(Setup::All, &mut Wrapper::nothing(), ticks)?.heard)
}
