//! A case is the same however it is run: in any shard, on any thread, by itself, on the bench.

use super::{plan, ranges, rows};
use sim::bench;
use sim::sweep::{Case, Draws, FIGURES, PARAMETERS, Parameter, Plan, Row, merge, run_case, write};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::tempdir;
use tests::demo_scenario;

/// Ranges of several kinds.
const SEVERAL: &str = "gain = { from = 0.8, to = 1.2, spread = \"normal\", mean = 1, deviation = 0.1 }\n\
    encoder_pulses = { from = 60, to = 360, spread = \"log-uniform\" }\n\
    encoder_jitter = { from = 0, to = \"2 %\" }\n\
    meter_wander = { from = 0, to = \"2 %\" }\n\
    told_lag_factor = { from = 0.7, to = 1.4 }";

#[test]
fn any_shards_on_any_threads_merge_to_the_bytes_of_one_run() {
    let folder = tempdir().unwrap();
    for head in ["hypercube = true", ""] {
        let ranges = ranges(&folder, head, SEVERAL);
        let whole = rows(&ranges, plan(7), 1);
        let one = write(&ranges, plan(7), &whole);
        for threads in [2, 3] {
            assert_eq!(write(&ranges, plan(7), &rows(&ranges, plan(7), threads)), one);
        }
        let shard = |text: &&str| {
            let plan = Plan { shard: text.parse().expect("a shard"), ..plan(7) };
            let path = folder.path().join(format!("{}.csv", text.replace('/', "-")));
            fs::write(&path, write(&ranges, plan, &rows(&ranges, plan, 2))).unwrap();
            path
        };
        let files: Vec<PathBuf> = ["3/3", "1/3", "2/3"].iter().map(shard).collect();
        let (read, merged, rows) = merge(&files).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(merged, plan(7));
        assert_eq!(write(&read, merged, &rows), one);
    }
}

#[test]
fn a_case_that_is_repeated_has_the_same_figures_to_the_bit() {
    let folder = tempdir().unwrap();
    let ranges = ranges(&folder, "", SEVERAL);
    let whole = rows(&ranges, plan(4), 2);
    let draws = Draws::new(&ranges, 7, 4);
    let bits = |row: &Row| row.figures.iter().map(|it| it.to_bits()).collect::<Vec<_>>();
    for row in &whole {
        let again = run_case(&ranges, &draws, row.case).unwrap_or_else(|error| panic!("{error}"));
        assert_eq!(bits(&again[0]), bits(row), "case {}", row.case);
    }
    assert_ne!(bits(&whole[0]), bits(&whole[1]), "cases differ");
}

#[test]
fn a_case_with_nothing_varied_is_the_scenario_itself() {
    for name in ["ramp-0.5-pulses", "ramp-0.5-gnss", "small-seed-ramp", "headland-two-sides"] {
        let scenario = demo_scenario(name);
        let case = Case::new(&scenario, 1, []).run().expect("the settings are good");
        let bench = bench::run(&scenario, 1).expect("the settings are good").score;
        for &figure in FIGURES.iter() {
            let [have, want] = [&case, &bench].map(|it| it.figure(figure).map(f64::to_bits));
            assert_eq!(have, want, "{name}: {figure}");
        }
    }
}

#[test]
fn every_parameter_changes_the_case() {
    let scenario = demo_scenario("ramp-0.5-gnss");
    let mut scenario = sim::scenario::Scenario { name: "x".to_owned(), ..scenario };
    scenario.drill.truth.swing_rad_per_s = 0.0;
    let shown = |values: Vec<(&Parameter, f64)>| format!("{:?}", Case::new(&scenario, 1, values));
    let before = shown(Vec::new());
    for parameter in &PARAMETERS {
        let (low, high) = parameter.works;
        let value = low + (high - low) * 0.4;
        assert_ne!(shown(vec![(parameter, value)]), before, "{}", parameter.key);
    }
}

#[test]
fn what_is_told_follows_the_truth_and_then_the_error() {
    let scenario = demo_scenario("ramp-0.5-pulses");
    let key = |key| Parameter::of(key).expect("a parameter");
    let values = [
        (key("opening"), 0.3),
        (key("lag"), 0.3),
        (key("delivery_delay"), 0.5),
        (key("told_lag_factor"), 0.5),
        (key("told_opening_error"), -0.1),
        (key("told_delivery_delay_error"), 0.1),
    ];
    let case = Case::new(&scenario, 1, values);
    let (truth, told) = (&case.truth.drill, &case.told.drill);
    let near =
        |have: f64, want: f64| assert!((have - want).abs() < 1e-12, "have {have}, want {want}");
    near(truth.truth.drive.lag_s, 0.3);
    near(told.told.lag_s, 0.15);
    near(truth.truth.drive.opening(), 0.3);
    near(told.told.opening(), 0.2);
    near(told.told.map[1].0, 1.0);
    near(truth.delivery_delay_s, 0.5);
    near(told.delivery_delay_s, 0.6);
}

#[test]
fn a_results_file_that_is_not_one_is_refused() {
    let folder = tempdir().unwrap();
    let path = folder.path().join("x.csv");
    fs::write(&path, "t_s,speed_mps\n0,1\n").unwrap();
    let error = merge(&[path]).expect_err("it is a track").to_string();
    assert!(
        error.contains("x.csv:1:1") && error.contains("# meterwright sweep results"),
        "{error}"
    );
    let error = merge(&[Path::new("no-such.csv").to_owned()]).expect_err("nothing").to_string();
    assert!(error.contains("there is no such file"), "{error}");
}
