//! The demo run sheet: its logs are the shop's, its as-built file is what `fit` makes of them, and a drill file that
//! names it is judged by the measured numbers.

use sim::bench::judge;
use sim::fit::as_built::Built;
use sim::fit::sheet::measure;
use sim::scenario::read;
use sim::verdict::Verdict;

fn built() -> Built {
    measure(&tests::demo("runs/demo-runs.toml")).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_demo_logs_are_remade_byte_for_byte() {
    let drill = read::drill(&tests::demo("drills/as-built.toml")).expect("the demo drill");
    for (name, want) in sim::shop::demo_logs(&drill) {
        let have = std::fs::read_to_string(tests::demo("runs").join(&name)).expect("a demo log");
        assert!(have == want, "{name} is not what the example writes");
    }
}

#[test]
fn the_demo_as_built_file_is_what_fit_writes() {
    let have = std::fs::read_to_string(tests::demo("runs/demo-as-built.toml")).expect("the file");
    assert_eq!(have, built().to_toml());
}

#[test]
fn the_demo_runs_find_the_demo_machine() {
    let drill = read::drill(&tests::demo("drills/as-built.toml")).expect("the demo drill");
    let built = built();
    assert!(built.is_sure(), "{built:?}");
    let near = |name: &str, have: f64, want: f64, within: f64| {
        assert!((have - want).abs() <= within, "{name} {have}, true {want}");
    };
    let spin = built.sides[0].spin.as_ref().expect("a spin run");
    let full = drill.truth.gain * 1.65;
    near("full speed", spin.fit.drive().full_turns_per_s(), full, 0.02 * full);
    near("opening", spin.fit.opening.value, 0.2, 0.01);
    near("lag", spin.fit.lag_s.value, 0.15, 0.15 * 0.15);
    near("dead time", spin.fit.dead_time_s.value, 0.05, 0.01);
    let delay = built.sides[0].delivery.as_ref().expect("a delivery run").delay_s.value;
    near("delivery delay", delay, 0.43, 0.05);
    let ground = built.ground.as_ref().expect("a ground run").pulses_per_m.value;
    near("ground pulses", ground, 131.4, 0.003 * 131.4);
    let flags = built.flags.as_ref().expect("a flag run");
    near("lowering", flags.lowering_m.value, 0.9, 0.1);
    near("lifting", flags.lifting_m.value, 0.6, 0.1);
}

#[test]
fn a_drill_file_that_names_an_as_built_file_is_told_its_numbers() {
    let drill = read::drill(&tests::demo("drills/as-built.toml")).expect("the demo drill");
    let built = built();
    assert!((drill.delivery_delay_s - 0.43).abs() < 0.05, "{}", drill.delivery_delay_s);
    assert!((drill.true_delivery_delay_s() - 0.43).abs() < 1e-9, "the machine stays");
    let told = drill.told_of(&drill.sides[0]);
    let spin = built.sides[0].spin.as_ref().expect("a spin run");
    assert_eq!(told.map.len(), spin.fit.drive().map.len());
    assert!((told.lag_s - spin.fit.lag_s.value).abs() < 1e-3);
    assert_eq!(drill.truth.drive.map, [(0.2, 0.0), (1.0, 1.65)], "the machine stays");
    assert!(drill.numbers().starts_with("measured 2026-04-02, 12 runs"), "{}", drill.numbers());
}

/// The verdict of a frozen profile on the measured drill.
fn on_the_measured_drill(name: &str) -> Verdict {
    let mut scenario = tests::demo_scenario(name);
    scenario.drill = read::drill(&tests::demo("drills/as-built.toml")).expect("the demo drill");
    judge(&scenario, &|_| {}).expect("the settings are right")
}

#[test]
fn the_measured_drill_reaches_the_figures_of_the_main_job() {
    let table = [
        ("ramp-0.3-pulses", [99.4, 100.0, 1.05]),
        ("ramp-0.5-pulses", [99.4, 100.0, 1.10]),
        ("ramp-1.0-pulses", [97.5, 99.4, 1.60]),
        ("staircase-pulses", [98.0, 100.0, 1.5]),
    ];
    for (name, [five, ten, rms]) in table {
        let verdict = on_the_measured_drill(name);
        let score = verdict.score;
        eprintln!(
            "{name}: within 5 % {:.2}, within 10 % {:.2}, rms {:.3}",
            score.within_5_pct, score.within_10_pct, score.rms_pct
        );
        assert!(verdict.numbers.starts_with("measured"), "{}", verdict.numbers);
        assert!(score.within_5_pct >= five, "{name}: within 5 % {}", score.within_5_pct);
        assert!(score.within_10_pct >= ten, "{name}: within 10 % {}", score.within_10_pct);
        assert!(score.rms_pct <= rms, "{name}: rms {}", score.rms_pct);
    }
}
