//! Planted faults: every wrong build of the control path must turn `verify` red.

use sim::bench::judge_build;
use sim::fault::WRONG_BUILDS;
use sim::scenario::{Scenario, Source};

/// Demo scenarios that between them use every input; one noise seed is enough to see red.
fn scenarios() -> Vec<Scenario> {
    let names = [
        "ramp-0.5-pulses",
        "ramp-0.5-gnss",
        "demo-field-gnss",
        "circles-left",
        "headland-two-sides",
        "rate-steps",
        "sides-off-and-on",
        "start-stop-restart-pulses",
        "outlets-shut",
        "two-products",
    ];
    let mut scenarios: Vec<Scenario> = names.into_iter().map(tests::demo_scenario).collect();
    for scenario in &mut scenarios {
        if let Source::Gnss(gnss) = &mut scenario.source {
            gnss.seeds.truncate(1);
        }
    }
    scenarios
}

#[test]
fn the_right_build_passes_where_the_wrong_ones_are_tried() {
    for scenario in scenarios() {
        let verdict = judge_build(&scenario, None, &|_| {}).expect("demo settings are right");
        assert!(verdict.pass, "{} missed {:?}", scenario.name, verdict.misses);
    }
}

#[test]
fn every_wrong_build_turns_the_verdict_red() {
    let scenarios = scenarios();
    assert!(WRONG_BUILDS.len() >= 12, "at least twelve are planted");
    let mut passed = Vec::new();
    for wrong in &WRONG_BUILDS {
        let red =
            scenarios.iter().find(|scenario| match judge_build(scenario, Some(wrong), &|_| {}) {
                Ok(verdict) => !verdict.pass,
                // A wrong build that the settings refuse is red as well.
                Err(_) => true,
            });
        match red {
            Some(scenario) => println!("{}: red in {}", wrong.name, scenario.name),
            None => passed.push(wrong.name),
        }
    }
    assert!(passed.is_empty(), "passed although wrong: {passed:?}");
}
