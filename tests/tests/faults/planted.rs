//! Invariants that cannot fail prove nothing: boards that break them are planted, and each turns red.

use controller::quantity::Command;
use controller::section::SideState;
use controller::tally::Account;
use controller::{Inputs, Outputs};
use sim::fault::board::{Board, Flashed};
use sim::fault::invariants::Rule;
use sim::fault::setup::Setup;
use sim::fault::sweep::{Plan, Sweep, sweep};

/// A board that does what is planted to what the controller gives.
#[derive(Clone)]
struct Planted {
    inside: Flashed,
    plant: fn(&mut Self, &Inputs, &mut Outputs),
    count: fn(&Self, Account) -> Account,
    ticks: u64,
}

impl Board for Planted {
    fn tick(&mut self, inputs: &Inputs) -> Outputs {
        self.ticks += 1;
        let mut outputs = self.inside.tick(inputs);
        (self.plant)(self, inputs, &mut outputs);
        outputs
    }

    fn account(&self) -> Account {
        (self.count)(self, self.inside.account())
    }

    fn power_up(&mut self) {
        self.inside.power_up();
    }
}

fn plant(
    only: &str,
    plant: fn(&mut Planted, &Inputs, &mut Outputs),
    count: fn(&Planted, Account) -> Account,
) -> Sweep {
    let make =
        |setup: Setup| Flashed::new(setup).map(|inside| Planted { inside, plant, count, ticks: 0 });
    let plan = Plan { step: 1_300, seed: 1, only: Some(only) };
    sweep(plan, make, &|_| {}).expect("the settings are valid")
}

fn rules(sweep: &Sweep) -> Vec<Rule> {
    let injected = sweep.rows.iter().filter_map(|row| row.broken().map(|(_, _, rule)| rule));
    injected.chain(sweep.healthy_broken.iter().map(|broken| broken.2)).collect()
}

const fn drive(outputs: &mut Outputs) {
    outputs.supply = true;
    outputs.sides[0].command = Command::from_bits(u16::MAX);
}

#[test]
fn nothing_planted_breaks_nothing() {
    let sweep = plant("brown-out", |_, _, _| {}, |_, account| account);
    assert_eq!(rules(&sweep), []);
}

#[test]
fn a_board_that_restarts_by_itself_turns_red() {
    let restart = |_: &mut Planted, inputs: &Inputs, outputs: &mut Outputs| {
        if inputs.master && inputs.lift && outputs.sides[0].state == SideState::Stopped {
            drive(outputs);
        }
    };
    let sweep = plant("encoder silent", restart, |_, account| account);
    assert!(rules(&sweep).contains(&Rule::Restart), "have {:?}", rules(&sweep));
}

#[test]
fn a_board_that_sows_on_while_lifted_turns_red() {
    let sow = |_: &mut Planted, inputs: &Inputs, outputs: &mut Outputs| {
        if !inputs.lift && inputs.master {
            drive(outputs);
        }
    };
    let sweep = plant("clock", sow, |_, account| account);
    assert!(rules(&sweep).contains(&Rule::Lifted), "have {:?}", rules(&sweep));
}

#[test]
fn a_board_that_sows_on_with_the_master_off_turns_red() {
    let sow = |board: &mut Planted, inputs: &Inputs, outputs: &mut Outputs| {
        if !inputs.master && board.ticks > 1_000 {
            drive(outputs);
        }
    };
    let sweep = plant("clock", sow, |_, account| account);
    assert!(rules(&sweep).contains(&Rule::StopWins), "have {:?}", rules(&sweep));
}

#[test]
fn a_board_that_sows_on_at_a_standstill_turns_red() {
    let sow = |_: &mut Planted, inputs: &Inputs, outputs: &mut Outputs| {
        if outputs.sides[0].state == SideState::Lifted && inputs.master {
            drive(outputs);
        }
    };
    // Stuck in work: the lift's own rule does not see it.
    let sweep = plant("lift stuck in work", sow, |_, account| account);
    let standing = |_: &mut Planted, _: &Inputs, outputs: &mut Outputs| {
        if outputs.sides[0].state == SideState::Slow {
            drive(outputs);
        }
    };
    let late = plant("lift stuck in work", standing, |_, account| account);
    assert!(rules(&late).contains(&Rule::NotMoving), "have {:?}", rules(&late));
    assert!(!rules(&sweep).contains(&Rule::NotMoving), "lifted is another rule's matter");
}

#[test]
fn a_board_that_loses_its_tally_turns_red() {
    let lose = |board: &Planted, account: Account| {
        if board.ticks > 3_500 { Account::default() } else { account }
    };
    let sweep = plant("clock", |_, _, _| {}, lose);
    assert!(rules(&sweep).contains(&Rule::TallyFell), "have {:?}", rules(&sweep));
}

#[test]
fn a_board_that_sows_on_with_a_side_off_turns_red() {
    let sow = |_: &mut Planted, inputs: &Inputs, outputs: &mut Outputs| {
        if !inputs.sides[1].switch && inputs.master {
            outputs.supply = true;
            outputs.sides[1].command = Command::from_bits(u16::MAX);
        }
    };
    let sweep = plant("clock", sow, |_, account| account);
    assert!(rules(&sweep).contains(&Rule::SideOff), "have {:?}", rules(&sweep));
}
