//! The drive in its physical form and in the reduced form fitted to it give the same verdict.

use sim::bench::run;
use sim::fit::reduce;
use sim::machine::PhysicalConfig;
use sim::profile::synthetic;
use sim::scenario::Scenario;

/// A ramp on the drill whose drive is physical, told what its own step log says.
fn physical(acceleration: f64) -> Scenario {
    let mut scenario = tests::demo_scenario("ramp-0.5-physical");
    scenario.profile = synthetic::ramp(acceleration);
    scenario
}

#[test]
fn both_forms_agree_within_two_tenths_of_a_point_on_every_ramp() {
    for acceleration in [0.3, 0.5, 1.0] {
        let physical = physical(acceleration);
        let mut reduced = physical.clone();
        reduced.drill.truth.physical = false;
        let rms = |scenario: &Scenario| run(scenario, 1).expect("settings are right").score.rms_pct;
        let (physical, reduced) = (rms(&physical), rms(&reduced));
        println!("ramp {acceleration} m/s²: physical {physical:.3} % rms, reduced {reduced:.3} %");
        assert!((physical - reduced).abs() <= 0.2, "{acceleration}: {physical} and {reduced}");
    }
}

#[test]
fn the_demo_drill_is_told_what_the_fit_finds() {
    let fit = reduce(&PhysicalConfig::REFERENCE).expect("the reference drive turns");
    println!("{fit}");
    let told = tests::demo_scenario("ramp-0.5-physical").drill.told;
    assert!((told.lag_s - fit.lag_s.value).abs() < 0.002, "lag {}", fit.lag_s.value);
    assert!(
        (told.dead_time_s - fit.dead_time_s.value).abs() < 0.002,
        "dead time {}",
        fit.dead_time_s.value
    );
    assert!((told.opening() - fit.opening.value).abs() < 0.002, "opening {}", fit.opening.value);
    for (command, shaft) in told.map.iter().skip(1) {
        let found = fit.map.iter().find(|point| (point.command - command).abs() < 1e-6);
        let found = found.expect("a point of the fit at each told command").turns_per_s.value;
        assert!((shaft - found).abs() < 0.002, "at {command}: told {shaft}, found {found}");
    }
}
