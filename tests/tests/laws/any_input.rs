//! Whatever comes in: nothing panics, nothing turns that should rest, and counts only grow.

use crate::rig::{Feed, Step, drills, sequence};
use controller::Outputs;
use controller::drive::ValveTurn;
use controller::quantity::Command;
use controller::section::SideState;
use controller::seed::Product;
use controller::tally::SideTally;
use proptest::prelude::*;

/// The opening and the full command of the maps.
const LIMITS: core::ops::RangeInclusive<u16> = 13_107..=65_535;

/// What must hold of every output.
fn holds(out: &Outputs) -> Result<(), TestCaseError> {
    for side in &out.sides {
        let turns = side.state.turns();
        if side.command != Command::ZERO {
            prop_assert!(turns, "driven in {:?}", side.state);
            // A spin looks for the opening command from below.
            let spins = side.state == SideState::Run;
            prop_assert!(spins || LIMITS.contains(&side.command.to_bits()), "{:?}", side.command);
            prop_assert!(out.supply, "driven without oil");
        }
        prop_assert!(turns || side.turn != ValveTurn::Open, "opened in {:?}", side.state);
        prop_assert!(turns || side.wanted.to_bits() == 0, "wanted in {:?}", side.state);
        prop_assert!(side.wanted.to_bits() >= 0, "backwards");
    }
    let resting = |state| matches!(state, SideState::Stopped | SideState::Off);
    if out.sides.iter().all(|side| resting(side.state)) {
        prop_assert!(out.at_rest(), "all are off and {out:?}");
    }
    Ok(())
}

/// The raw counts of a side that may only grow.
fn counts(tally: &SideTally) -> Vec<u64> {
    let turned = tally.turned.iter().flat_map(|turned| [turned.edges, turned.micros]);
    [tally.passed.pulses, tally.passed.beyond.unsigned_abs()].into_iter().chain(turned).collect()
}

/// How often each state was met, to show that the sequences reach them.
const fn state_index(state: SideState) -> usize {
    match state {
        SideState::Stopped => 0,
        SideState::Off => 1,
        SideState::Lifted | SideState::Outside => 2,
        SideState::Slow => 3,
        SideState::Lost => 4,
        SideState::Sowing => 5,
        SideState::Run => 6,
        SideState::ByHand => 7,
    }
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, ..ProptestConfig::default() }
}

proptest! {
    #![proptest_config(config(1_000))]

    #[test]
    fn a_side_rests_whenever_it_does_not_meter(settings in drills(), steps in sequence()) {
        let mut feed = Feed::new(settings, 0);
        for step in &steps {
            holds(&feed.step(step))?;
        }
    }

    #[test]
    fn raw_counts_only_grow(settings in drills(), steps in sequence()) {
        let sides = settings.sides();
        let mut feed = Feed::new(settings, 0);
        let mut before = vec![Vec::new(); sides];
        for step in &steps {
            feed.step(step);
            for (side, before) in before.iter_mut().enumerate() {
                let now = counts(feed.controller.tally(side).expect("a side"));
                for (before, now) in before.iter().zip(&now) {
                    prop_assert!(before <= now, "{before} fell to {now}");
                }
                *before = now;
            }
            let _left = feed.controller.hopper_left(Product::First);
        }
    }

    #[test]
    fn the_same_inputs_give_the_same_outputs(settings in drills(), steps in sequence()) {
        let mut one = Feed::new(settings.clone(), 7);
        let mut other = Feed::new(settings, 7);
        for step in &steps {
            prop_assert_eq!(one.step(step), other.step(step));
        }
        prop_assert_eq!(one.controller.account(), other.controller.account());
    }

    #[test]
    fn a_switch_that_is_off_stops_its_side_in_the_same_tick(
        settings in drills(),
        steps in sequence(),
        side in 0..4_usize,
        last in any::<prop::sample::Index>(),
    ) {
        let mut feed = Feed::new(settings, 0);
        let last = last.index(steps.len());
        for step in &steps[..last] {
            feed.step(step);
        }
        let mut switched = feed.clone();
        let mut step = Step { hold: false, ..steps[last].clone() };
        step.switches[side] = false;
        prop_assert_eq!(switched.step(&step).sides[side].command, Command::ZERO);
        let out = feed.step(&Step { master: false, hold: false, ..step });
        prop_assert!(out.at_rest(), "master and hold are off: {:?}", out);
    }
}

#[test]
fn the_sequences_reach_every_state() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let mut met = [0_u64; 8];
    for _ in 0..300 {
        let case = (drills(), sequence()).new_tree(&mut runner).expect("a case");
        let (settings, steps) = case.current();
        let mut feed = Feed::new(settings, 0);
        for step in &steps {
            met[state_index(feed.step(step).sides[0].state)] += 1;
        }
    }
    assert!(met.iter().all(|count| *count >= 20), "states are met {met:?} times");
}
