//! Distribution, worst case and rank correlation are what counting and worked examples say.

use super::{plan, ranges, rows};
use sim::score::Score;
use sim::sweep::{Analysis, Bad, Distribution, Draws, FIGURES, Row, spearman, worst_of};
use tempfile::tempdir;

/// A figure of every case.
fn column(rows: &[Row], figure: &str) -> Vec<f64> {
    let index = FIGURES.iter().position(|key| *key == figure).expect("a figure");
    rows.iter().map(|row| row.figures[index]).collect()
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
        let want = [smallest, want[0], want[1], want[2], want[3], want[4]];
        assert_eq!(quantiles.map(f64::to_bits), want.map(f64::to_bits), "{count}: {quantiles:?}");
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
        control_within_10_pct: value,
        control_rms_pct: value,
        meter_rms_pct: value,
        ..Score::default()
    }
}

#[test]
fn a_figure_is_worst_where_the_score_says_it_is_worse() {
    let (far, near) = (all(1.0).worse(&all(-2.0)), all(1.0).worse(&all(-0.5)));
    for figure in FIGURES.iter().copied().filter(|it| *it != "running_cells") {
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
