//! The motorised valve: its table of figures is that of the bench, it beats the plain law, and wrong builds show.

use sim::bench::{judge, judge_build};
use sim::fault::{RIGHT, WrongBuild};
use sim::scenario::Source;
use sim::verdict::Verdict;

use controller::drive::{MotorisedConfig, ValveKind, ValveTurn};
use controller::quantity::Micros;

/// Demo scenarios with a motorised valve, by the end of their names.
fn names() -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(tests::demo("scenarios"))
        .expect("the demo scenarios")
        .filter_map(|entry| entry.expect("an entry").file_name().into_string().ok())
        .filter_map(|name| Some(name.strip_prefix("motorised-")?.strip_suffix(".toml")?.to_owned()))
        .collect();
    names.sort();
    names
}

fn verdict(name: &str) -> Verdict {
    judge(&tests::demo_scenario(&format!("motorised-{name}")), &|_| {}).expect("settings are right")
}

/// The numbers of a row of the document.
fn row(text: &str, name: &str) -> Vec<f64> {
    let start = format!("| `{name}` |");
    let line = text.lines().find(|line| line.starts_with(&start));
    let line = line.unwrap_or_else(|| panic!("docs/motorised-valve.md has no row for {name}"));
    let cells = line[start.len()..].split(['|', '/']).map(str::trim).filter(|it| !it.is_empty());
    cells.map(|cell| cell.parse().unwrap_or_else(|_| panic!("{name}: {cell:?}"))).collect()
}

#[test]
fn every_row_of_the_table_is_what_the_bench_finds() {
    let file = tests::project().join("docs/motorised-valve.md");
    let text = std::fs::read_to_string(file).expect("docs/motorised-valve.md");
    let names = names();
    assert!(names.len() >= 23, "a scenario for every profile, have {}", names.len());
    for name in names {
        let verdict = verdict(&name);
        let score = &verdict.score;
        let have = [
            score.within_3_pct,
            score.within_5_pct,
            score.within_10_pct,
            score.rms_pct,
            score.worst_pct,
            score.mass_pct,
            score.start_error_m,
            score.stop_error_m,
            verdict.rivals.plain.rms_pct,
            verdict.rivals.limit.rms_pct,
        ];
        let told = row(&text, &name);
        assert_eq!(told.len(), have.len(), "{name}: columns");
        for (column, (told, have)) in told.iter().zip(have).enumerate() {
            // Worst and starts are shown to a tenth, the rest finer.
            let step = if column == 4 || column == 6 { 0.051 } else { 0.0051 };
            assert!((told - have).abs() <= step, "{name}, column {column}: {told}, found {have}");
        }
        assert!(verdict.pass, "{name}: {:?}", verdict.misses);
    }
}

#[test]
fn on_ramps_it_leaves_a_quarter_of_what_the_plain_law_leaves() {
    for name in ["ramp-0.3-pulses", "ramp-0.5-pulses", "ramp-1.0-pulses", "staircase-pulses"] {
        let verdict = verdict(name);
        let (ours, plain) = (verdict.score.rms_pct, verdict.rivals.plain.rms_pct);
        assert!(ours * 4.0 <= plain, "{name}: {ours} against {plain}");
    }
}

#[test]
fn recorded_tracks_are_sown_better_than_by_the_plain_law() {
    for track in ["field-a", "field-b", "field-rows"] {
        let Some(mut scenario) = tests::track_scenario(track, Source::Pulses) else { return };
        scenario.drill = tests::demo_scenario("motorised-ramp-0.5-pulses").drill;
        let verdict = judge(&scenario, &|_| {}).expect("settings are right");
        let (ours, plain) = (verdict.score.rms_pct, verdict.rivals.plain.rms_pct);
        let within = verdict.score.within_5_pct;
        println!("{track}: {within:.2} % within 5, rms {ours:.2} %, plain {plain:.2} %");
        // Starts at speed, which wait for the valve, are most of the rms of both.
        assert!(ours < plain, "{track}: {ours} against {plain}");
        assert!(within >= 97.0, "{track}: {within} % within 5");
    }
}

/// The verdict on a wrong build over the ramp.
fn built(wrong: &'static WrongBuild) -> Verdict {
    let scenario = tests::demo_scenario("motorised-ramp-0.5-pulses");
    judge_build(&scenario, Some(wrong), &|_| {}).expect("settings are right")
}

static HALF_STROKE: WrongBuild = WrongBuild {
    name: "stroke told half as long",
    settings: |settings| {
        for side in &mut settings.sides {
            let motor = MotorisedConfig { stroke: Micros::from_millis(1_500), play: Micros::ZERO };
            side.valve = ValveKind::Motorised(motor);
        }
    },
    ..RIGHT
};

static SWAPPED: WrongBuild = WrongBuild {
    name: "open and close swapped",
    outputs: |outputs| {
        for side in &mut outputs.sides {
            side.turn = match side.turn {
                ValveTurn::Hold => ValveTurn::Hold,
                ValveTurn::Open => ValveTurn::Close,
                ValveTurn::Close => ValveTurn::Open,
            };
        }
    },
    ..RIGHT
};

#[test]
fn wrong_builds_turn_the_verdict_red() {
    for wrong in [&HALF_STROKE, &SWAPPED] {
        let verdict = built(wrong);
        println!("{}: rms {:.2} %", wrong.name, verdict.score.rms_pct);
        assert!(!verdict.pass, "{} passed with rms {}", wrong.name, verdict.score.rms_pct);
    }
}
