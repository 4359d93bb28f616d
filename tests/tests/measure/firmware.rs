//! The spin run played by the firmware itself: armed and held on the real controller, its commands on the machine.

use crate::machine::Machine;
use crate::read;
use crate::spin::{self, command, shop};
use controller::measure::{RunHead, RunKind, SpinConfig, SpinPlan};
use controller::quantity::{Command, Instant, Micros};
use controller::run::{Run, RunEnd, SpinRun};
use controller::sense::Pulses;
use controller::{Act, Controller, Inputs, Settings};
use sim::fit::{SpinFit, Wanted};
use sim::shop::{SpinTrouble, Spun};

/// The firmware of a machine, with the run armed by the first act and the button not yet pressed.
struct Board {
    controller: Controller,
    inputs: Inputs,
    end: Option<RunEnd>,
}

/// Time before the run starts.
const BEFORE: Micros = Micros::from_millis(1_000);

impl Board {
    fn armed(machine: &Machine) -> Self {
        let mut scenario = tests::demo_scenario("ramp-0.5-pulses");
        scenario.drill.sides[0].encoder_pulses_per_turn = machine.pulses_per_turn;
        scenario.drill.told.map[0].0 = machine.sheet_opening;
        let full = 1.2 * machine.truth.drive.full_turns_per_s();
        scenario.drill.told.map[1].1 = full;
        let settings = Settings::new(&sim::bench::settings(&scenario)).expect("settings");
        let mut board =
            Self { controller: Controller::new(settings), inputs: Inputs::default(), end: None };
        for tick in 0..100 {
            board.inputs.now = Instant::from_micros(tick * 10_000);
            board.controller.tick(&board.inputs);
            if tick == 60 {
                let opening = command(machine.sheet_opening);
                let plan = SpinPlan::new(SpinConfig::about(opening)).expect("a plan");
                let run = Act::ArmRun(Run::Spin(SpinRun { side: 0, plan, box_empty: false }));
                board.controller.act(run, board.inputs.now).expect("at rest");
            }
        }
        board.inputs.hold = true;
        board
    }

    /// A tick with what the machine's encoder gives; none once the run has been reported.
    fn tick(&mut self, spun: Spun) -> Option<Command> {
        let start = Instant::from_micros(0).plus(BEFORE);
        self.inputs.now = start.plus(spun.since);
        self.inputs.sides[0].shaft =
            Pulses { count: spun.edges, edge_at: start.plus(spun.edge_at) };
        let outputs = self.controller.tick(&self.inputs);
        if let Some(report) = self.controller.take_run_report() {
            self.end = Some(report.end);
        }
        if self.end.is_some() { None } else { Some(outputs.sides[0].command) }
    }
}

/// What the firmware's own run and log tell of a machine, and how the run ended.
fn played(machine: &Machine) -> (SpinFit, Option<RunEnd>) {
    let mut board = Board::armed(machine);
    let head =
        RunHead { kind: RunKind::Spin, side: 0, sides: 1, edges_per_turn: machine.pulses_per_turn };
    let shop = shop(machine, SpinTrouble::Nothing);
    let text = sim::shop::spin(&shop, head, &mut |spun| board.tick(spun));
    let fit = sim::fit::spin(&read(text), Wanted::default());
    (fit.unwrap_or_else(|error| panic!("machine {}: {error}", machine.seed)), board.end)
}

#[test]
fn the_firmware_plays_the_run_to_its_end_and_its_log_tells_the_same_drive() {
    for seed in [0, 1, 2, 3, 4] {
        let machine = Machine::drawn(seed);
        let (fit, end) = played(&machine);
        assert_eq!(end, Some(RunEnd::Done), "machine {seed}");
        let off = spin::errors(&machine, &fit);
        let bounds = spin::BOUNDS;
        for (name, (error, bound)) in spin::NAMES.iter().zip(off.iter().zip(bounds)) {
            assert!(error.abs() <= bound, "machine {seed}: {name} is {error} off");
        }
    }
}
