//! The sweep: ranges that are wrong are refused, cases are the same however they are run, and what is said of
//! them is what they are.

use sim::bench;
use sim::score::Score;
use sim::sweep::{
    Analysis, Bad, Case, Distribution, Draws, FIGURES, PARAMETERS, Plan, Ranges, Row, Shard, merge,
    read, run, run_case, spearman, worst_of, write,
};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::{TempDir, tempdir};
use tests::{demo, demo_scenario};

/// A ranges file over a ramp with `vary` as its ranges; gives its path.
fn file(folder: &TempDir, head: &str, vary: &str) -> PathBuf {
    let path = folder.path().join("ranges.toml");
    let scenario = demo("scenarios/ramp-1.0-pulses.toml").canonicalize().expect("it is there");
    let text = format!(
        "title = \"x\"\n{head}\n[[scenario]]\nfile = '{}'\n\n[vary]\n{vary}\n",
        scenario.display()
    );
    fs::write(&path, text).expect("the folder can be written");
    path
}

/// Ranges that are right.
fn ranges(folder: &TempDir, head: &str, vary: &str) -> Ranges {
    read(&file(folder, head, vary)).unwrap_or_else(|error| panic!("{error}"))
}

const fn plan(cases: u32) -> Plan {
    Plan { seed: 7, cases, shard: Shard::WHOLE }
}

fn rows(ranges: &Ranges, plan: Plan, threads: usize) -> Vec<Row> {
    run(ranges, plan, threads, &|| {}).unwrap_or_else(|error| panic!("{error}"))
}

/// A figure of every case.
fn column(rows: &[Row], figure: &str) -> Vec<f64> {
    let index = FIGURES.iter().position(|key| *key == figure).expect("a figure");
    rows.iter().map(|row| row.figures[index]).collect()
}

#[test]
fn wrong_ranges_are_refused_with_their_place_and_what_would_be_right() {
    let folder = tempdir().unwrap();
    // Ranges begin in line 7.
    let cases = [
        ("lag = { from = \"0.1 s\" }", "7:1", "[lag] has no to; add a line to = ..."),
        (
            "lag = { from = \"0.1 m\", to = \"0.2 s\" }",
            "7:16",
            "\"0.1 m\" is a length; from wants a time",
        ),
        ("lag = { from = 0.1, to = \"0.2 s\" }", "7:16", "\"0.1\" has no unit"),
        ("lag = { from = \"0.1 s\", to = \"9 s\" }", "7:30", "to works from 0.01 s to 2 s"),
        ("lag = { from = \"0.2 s\", to = \"0.1 s\" }", "7:30", "is not above from"),
        ("leg = { from = 1, to = 2 }", "7:1", "did you mean lag?"),
        ("gain = { from = 0.8, to = 1.2, spred = \"x\" }", "7:32", "did you mean spread?"),
        (
            "gain = { from = 0.8, to = 1.2, spread = \"log\" }",
            "7:41",
            "spread wants \"uniform\" or",
        ),
        (
            "gain = { from = 0.8, to = 1.2, mean = 1 }",
            "7:39",
            "mean means nothing with this spread",
        ),
        ("gain = { from = 0.8, to = 1.2, spread = \"normal\" }", "7:1", "[gain] has no mean"),
        ("swing = { from = 0, to = 0.1, spread = \"log-uniform\" }", "7:18", "has no logarithm"),
        ("encoder_pulses = { from = 60.5, to = 360 }", "7:27", "a whole number, 1 to 4096"),
        (
            "gnss_noise = { from = \"0 m/s\", to = \"0.1 m/s\" }",
            "7:1",
            "changes nothing without a scenario with GNSS",
        ),
        ("meter_pulsation = { from = 0, to = 0.1 }", "7:1", "without flutes of the meter"),
        ("dip_every = { from = \"5 s\", to = \"9 s\" }", "7:1", "without dip_depth"),
        ("", "6:2", "names no parameter; vary one, such as gain"),
    ];
    for (vary, place, why) in cases {
        let error = read(&file(&folder, "", vary)).expect_err(vary).to_string();
        assert!(
            error.contains(&format!(".toml:{place}: ")) && error.contains(why),
            "{vary}: {error}"
        );
    }
    let good = "lag = { from = \"0.1 s\", to = \"0.2 s\" }";
    for (head, why) in [("cases = 0", "a whole number, 1 to"), ("case = 3", "did you mean cases?")]
    {
        let error = read(&file(&folder, head, good)).expect_err(head).to_string();
        assert!(error.contains(".toml:2:") && error.contains(why), "{head}: {error}");
    }
}

#[test]
fn a_bound_on_a_figure_that_no_sweep_has_is_refused() {
    let folder = tempdir().unwrap();
    let path = file(&folder, "", "gain = { from = 0.8, to = 1.2 }");
    let text = fs::read_to_string(&path).unwrap();
    let bound = "\n\n[scenario.tolerance]\nfloor_ratio = { at_least = 1 }\n\n[vary]";
    fs::write(&path, text.replace("\n\n[vary]", bound)).unwrap();
    let error = read(&path).expect_err("no limit law runs").to_string();
    assert!(error.contains("floor_ratio is no figure of a sweep"), "{error}");
}

#[test]
fn the_demo_ranges_are_read_and_have_bounds_on_every_scenario() {
    for entry in fs::read_dir(demo("sweeps")).expect("the folder is there") {
        let path = entry.expect("an entry").path();
        if path.extension().is_some_and(|it| it == "toml") {
            let ranges = read(&path).unwrap_or_else(|error| panic!("{error}"));
            assert!(ranges.demo, "{}", path.display());
            let bound = |it: &sim::scenario::Scenario| !it.tolerances.is_empty();
            assert!(ranges.scenarios.iter().all(bound), "{} can only pass", path.display());
        }
    }
}

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
        for figure in FIGURES {
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
    let shown = |values: Vec<(&sim::sweep::Parameter, f64)>| {
        format!("{:?}", Case::new(&scenario, 1, values))
    };
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
    let key = |key| sim::sweep::Parameter::of(key).expect("a parameter");
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

/// Share of a spread below a value.
type Below = fn(f64) -> f64;

/// The normal distribution below −1, −0.5, 0, 0.5, 1, 1.5 and 2 deviations, as every table has it.
const PHI: [f64; 7] = [0.158_66, 0.308_54, 0.5, 0.691_46, 0.841_34, 0.933_19, 0.977_25];

#[test]
fn draws_follow_their_spread_whether_shared_or_not() {
    let folder = tempdir().unwrap();
    let vary = "gain = { from = 1, to = 4, spread = \"normal\", mean = 2, deviation = 1 }\n\
        lag = { from = \"0.02 s\", to = \"2 s\", spread = \"log-uniform\" }\n\
        dead_time = { from = \"0.1 s\", to = \"0.3 s\" }";
    let below: [Below; 2] = [|x| (x / 0.02).log10() / 2.0, |x| (x - 0.1) / 0.2];
    let count = 2000_u32;
    let step = |place: usize| f64::from(u32::try_from(place).unwrap()) / f64::from(count);
    // Kolmogorov's distance: 1.95/√n is passed by chance once in a thousand times.
    for (head, most) in [("", 1.95 / f64::from(count).sqrt()), ("hypercube = true", step(1))] {
        let ranges = ranges(&folder, head, vary);
        let draws = Draws::new(&ranges, 7, count);
        let cases: Vec<Vec<f64>> = (1..=count).map(|case| draws.values(case)).collect();
        for (index, below) in below.iter().enumerate() {
            let mut shares: Vec<f64> =
                cases.iter().map(|values| below(values[index + 1])).collect();
            shares.sort_by(f64::total_cmp);
            let far = shares.iter().enumerate().map(|(place, share)| {
                (share - step(place)).abs().max((share - step(place + 1)).abs())
            });
            let far = far.fold(0.0, f64::max);
            assert!(far <= most + 1e-9, "{head:?}, parameter {index}: {far} off, at most {most}");
        }
        for (half, phi) in PHI.iter().enumerate() {
            let x = 1.0 + step(half) * f64::from(count) / 2.0;
            let have = step(cases.iter().filter(|values| values[0] <= x).count());
            let want = (phi - PHI[0]) / (PHI[6] - PHI[0]);
            assert!((have - want).abs() <= most + 1e-4, "{head:?}: {have} below {x}, want {want}");
        }
    }
}

#[test]
fn whole_numbers_are_drawn_alike_and_a_new_parameter_leaves_the_others() {
    let folder = tempdir().unwrap();
    let alone = "encoder_pulses = { from = 1, to = 4 }";
    let ranges = ranges(&folder, "", alone);
    let draws = Draws::new(&ranges, 7, 4000);
    let drawn: Vec<f64> = (1..=4000).map(|case| draws.values(case)[0]).collect();
    for number in [1.0, 2.0, 3.0, 4.0_f64] {
        let count = drawn.iter().filter(|it| it.to_bits() == number.to_bits()).count();
        // Five standard deviations of a quarter of 4000.
        assert!((863..=1137).contains(&count), "{number} came {count} times");
    }
    let more =
        read(&file(&folder, "", &format!("{alone}\ngain = {{ from = 1, to = 2 }}"))).unwrap();
    let more = Draws::new(&more, 7, 4000);
    let again: Vec<f64> = (1..=4000).map(|case| more.values(case)[1]).collect();
    assert_eq!(again, drawn);
}

/// IQ against hours of television, the worked example of Wikipedia's "Spearman's rank correlation
/// coefficient" (from memory); by hand: Σ d² = 194, ρ = 1 − 6 · 194 / (10 · 99) = −29/165.
#[test]
fn rank_correlation_is_that_of_the_worked_examples() {
    let iq = [106.0, 100.0, 86.0, 101.0, 99.0, 103.0, 97.0, 113.0, 112.0, 110.0];
    let hours = [7.0, 27.0, 2.0, 50.0, 28.0, 29.0, 20.0, 12.0, 6.0, 17.0];
    let near = |have: Option<f64>, want: f64| {
        assert!(have.is_some_and(|have| (have - want).abs() < 1e-12), "have {have:?}, want {want}");
    };
    near(spearman(&iq, &hours), -29.0 / 165.0);
    // Ties by hand: ranks 1, 2.5, 2.5, 4 and 1, 2, 3, 4; sums 4.5, 4.5 and 5; ρ = 4.5 / √22.5.
    near(spearman(&[1.0, 5.0, 5.0, 9.0], &[2.0, 3.0, 4.0, 8.0]), 4.5 / 22.5_f64.sqrt());
    near(spearman(&[1.0, 2.0, 3.0], &[1.0, 10.0, 1000.0]), 1.0);
    near(spearman(&[1.0, 2.0, 3.0], &[0.0, -1.0, -9.0]), -1.0);
    // A pair of which one does not exist is left out.
    near(spearman(&[1.0, 2.0, 3.0, 0.0], &[1.0, 2.0, 3.0, f64::NAN]), 1.0);
    assert_eq!(spearman(&[1.0, 2.0], &[3.0, 3.0]), None);
}

#[test]
fn a_planted_driver_is_ranked_first() {
    let folder = tempdir().unwrap();
    let weak = "encoder_jitter = { from = 0, to = \"0.1 %\" }\nhysteresis = { from = 0, to = \"0.1 %\" }\n";
    let slip = weak.to_owned() + "wheel_slip = { from = 0, to = \"8 %\" }";
    // Too much and too little mass told are both wrong: the distance from 1 drives the miss.
    let mass = weak.to_owned() + "told_mass_per_turn_factor = { from = 0.9, to = 1.1 }";
    for (vary, key, off) in [(slip, "wheel_slip", false), (mass, "told_mass_per_turn_factor", true)]
    {
        let ranges = ranges(&folder, "hypercube = true", &vary);
        let rows = rows(&ranges, plan(24), 2);
        let analysis = Analysis::of(&ranges, plan(24), &rows);
        let first = &analysis.parts[0].drivers[0];
        assert_eq!((first.parameter.key, first.off), (key, off));
        let rms = FIGURES.iter().position(|it| *it == "rms_pct").expect("a figure");
        assert!(first.rho[rms].is_some_and(|rho| rho > 0.9), "{:?}", first.rho[rms]);
    }
}

/// The smallest value that at least `percent` of the values do not pass, by counting.
fn counted(values: &[f64], percent: usize) -> f64 {
    let at_most = |x: f64| values.iter().filter(|&&value| value <= x).count();
    let fit = values.iter().copied().filter(|&x| at_most(x) * 100 >= percent * values.len());
    fit.fold(f64::INFINITY, f64::min)
}

#[test]
fn the_distribution_is_that_of_counting_in_any_order() {
    let folder = tempdir().unwrap();
    let ranges = ranges(&folder, "", "gain = { from = 0.5, to = 2 }");
    for count in [1, 2, 3, 19, 20, 21, 99, 100, 101, 500] {
        let draws = Draws::new(&ranges, 7, count);
        // Some come more than once.
        let values: Vec<f64> =
            (1..=count).map(|case| (draws.values(case)[0] * 50.0).round()).collect();
        let have = Distribution::of(values.iter().copied()).expect("there are values");
        let quantiles = [have.min, have.p5, have.median, have.p95, have.p99, have.max];
        let smallest = values.iter().copied().fold(f64::INFINITY, f64::min);
        let want = [5, 50, 95, 99, 100].map(|percent| counted(&values, percent));
        assert_eq!(quantiles, [smallest, want[0], want[1], want[2], want[3], want[4]], "{count}");
        let mean = values.iter().sum::<f64>() / f64::from(count);
        assert!((have.mean - mean).abs() < 1e-9, "{count}: {} for {mean}", have.mean);
        let backwards = Distribution::of(values.iter().rev().copied()).expect("the same");
        assert_eq!(have.mean.to_bits(), backwards.mean.to_bits());
    }
}

#[test]
fn the_worst_case_of_each_figure_is_found() {
    let folder = tempdir().unwrap();
    let ranges = ranges(&folder, "", "wheel_slip = { from = \"-3 %\", to = \"3 %\" }");
    let rows = rows(&ranges, plan(8), 2);
    let analysis = Analysis::of(&ranges, plan(8), &rows);
    for figure in ["within_5_pct", "rms_pct", "mass_pct"] {
        let have = analysis.parts[0].figure(figure).and_then(|row| row.worst).expect("a case").0;
        let badness = column(&rows, figure).into_iter().map(|value| match worst_of(figure) {
            Bad::Low => -value,
            Bad::High => value,
            Bad::Far => value.abs(),
        });
        let badness: Vec<f64> = badness.collect();
        let most = badness.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let want = badness.iter().position(|&it| it >= most).expect("a case") + 1;
        assert_eq!(have as usize, want, "{figure}");
    }
}

/// A score of which every figure of a sweep is `value`.
fn all(value: f64) -> Score {
    Score {
        within_3_pct: value,
        within_5_pct: value,
        within_10_pct: value,
        rms_pct: value,
        mean_pct: value,
        worst_pct: value,
        all_within_10_pct: value,
        mass_pct: value,
        missed_pct: value,
        doubled_pct: value,
        start_error_m: value,
        stop_error_m: value,
        start_excess_m: value,
        stop_excess_m: value,
        tally_area_pct: value,
        tally_mass_pct: value,
        control_within_5_pct: value,
        control_rms_pct: value,
        meter_rms_pct: value,
        ..Score::default()
    }
}

#[test]
fn a_figure_is_worst_where_the_score_says_it_is_worse() {
    let (far, near) = (all(1.0).worse(&all(-2.0)), all(1.0).worse(&all(-0.5)));
    for figure in FIGURES.into_iter().filter(|it| *it != "running_cells") {
        let [far, near] = [&far, &near].map(|it| it.figure(figure).expect("a figure"));
        let want = match (far > 0.0, near > 0.0) {
            (false, false) => Bad::Low,
            (true, true) => Bad::High,
            (false, true) => Bad::Far,
            (true, false) => panic!("{figure} follows no rule"),
        };
        assert_eq!(worst_of(figure), want, "{figure}");
    }
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
