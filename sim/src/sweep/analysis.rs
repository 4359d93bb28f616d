//! What the cases of a sweep say: distribution of each figure, worst case, missed bounds, what drives the error.

use super::{Distribution, Draws, FIGURES, Parameter, Plan, Ranges, Ranked, Row};
use crate::scenario::{Bound, Scenario, Tolerance};
use serde::Serialize;

/// A sweep, scenario by scenario.
#[derive(Clone, Debug)]
pub struct Analysis {
    /// Number of cases that were run.
    pub cases: usize,
    /// A part a scenario.
    pub parts: Vec<Part>,
}

/// All cases of one scenario.
#[derive(Clone, Debug)]
pub struct Part {
    /// Name of the scenario.
    pub scenario: String,
    /// What it tries.
    pub title: String,
    /// Every figure, in the order of the score.
    pub figures: Vec<FigureRow>,
    /// Bounds that were missed.
    pub missed: Vec<Missed>,
    /// Every parameter, the one that goes most with the typical miss first.
    pub drivers: Vec<Driver>,
}

/// A figure over all cases.
#[derive(Clone, Debug)]
pub struct FigureRow {
    /// Key of the figure.
    pub figure: &'static str,
    /// Its distribution; none where it exists in no case.
    pub distribution: Option<Distribution>,
    /// The case that is worst in it, and how bad it is there.
    pub worst: Option<(u32, f64)>,
    /// Bounds that were set.
    pub bounds: Vec<Bound>,
}

/// A bound that was missed.
#[derive(Clone, Debug)]
pub struct Missed {
    /// Key of the figure.
    pub figure: String,
    /// The bound.
    pub bound: Bound,
    /// Number of cases that missed it.
    pub cases: usize,
    /// The case that missed it by most.
    pub worst: u32,
    /// The figure there; NaN where it does not exist.
    pub have: f64,
}

/// A parameter, and how the figures go with it.
#[derive(Clone, Debug)]
pub struct Driver {
    /// The parameter.
    pub parameter: &'static Parameter,
    /// Its distance from where nothing is wrong is meant, not its value: too much and too little alike.
    pub off: bool,
    /// Rank correlation with each figure; none where a figure is the same in all cases.
    pub rho: Vec<Option<f64>>,
}

/// On which side a figure is bad.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Bad {
    /// The lower the worse.
    Low,
    /// The higher the worse.
    High,
    /// The further from zero the worse.
    Far,
}

/// On which side a figure is bad, as [`crate::score::Score::worse`] has it.
pub fn worst_of(figure: &str) -> Bad {
    match figure {
        "within_3_pct"
        | "within_5_pct"
        | "within_10_pct"
        | "all_within_10_pct"
        | "control_within_5_pct"
        | "control_within_10_pct"
        | "running_cells" => Bad::Low,
        "mean_pct" | "worst_pct" | "mass_pct" | "start_error_m" | "stop_error_m"
        | "tally_area_pct" | "tally_mass_pct" => Bad::Far,
        _ => Bad::High,
    }
}

impl Bad {
    /// How bad a value is; NaN is no value.
    fn badness(self, value: f64) -> f64 {
        match self {
            Self::Low => -value,
            Self::High => value,
            Self::Far => value.abs(),
        }
    }
}

impl Analysis {
    /// Of the rows of a whole sweep or of a shard.
    pub fn of(ranges: &Ranges, plan: Plan, rows: &[Row]) -> Self {
        let draws = Draws::new(ranges, plan.seed, plan.cases);
        let rows_of = |index| rows.iter().filter(move |row: &&Row| row.scenario == index);
        let parts = ranges.scenarios.iter().enumerate().map(|(index, scenario)| {
            let rows: Vec<&Row> = rows_of(index).collect();
            Part {
                scenario: scenario.name.clone(),
                title: scenario.title.clone(),
                figures: figures(scenario, &rows),
                missed: missed(scenario, &rows),
                drivers: drivers(ranges, &draws, &rows),
            }
        });
        Self { cases: rows_of(0).count(), parts: parts.collect() }
    }

    /// Every bound was kept in every case.
    pub fn pass(&self) -> bool {
        self.parts.iter().all(|part| part.missed.is_empty())
    }
}

impl Part {
    /// The figure of a key.
    pub fn figure(&self, key: &str) -> Option<&FigureRow> {
        self.figures.iter().find(|row| row.figure == key)
    }
}

/// Every figure over the cases.
fn figures(scenario: &Scenario, rows: &[&Row]) -> Vec<FigureRow> {
    let bounds = || scenario.tolerances.iter();
    let row = |(index, &figure): (usize, &&'static str)| FigureRow {
        figure,
        distribution: Distribution::of(rows.iter().map(|row| row.figures[index])),
        worst: worst(rows, index, worst_of(figure)),
        bounds: bounds().filter(|it| it.figure == *figure).map(|it| it.bound).collect(),
    };
    FIGURES.iter().enumerate().map(row).collect()
}

/// The case that is worst in a figure; the first of equals.
fn worst(rows: &[&Row], index: usize, bad: Bad) -> Option<(u32, f64)> {
    let there = rows.iter().filter(|row| row.figures[index].is_finite());
    let badness = |row: &Row| bad.badness(row.figures[index]);
    let worst =
        there.reduce(|worst, row| if badness(row) > badness(worst) { row } else { worst })?;
    Some((worst.case, worst.figures[index]))
}

/// The bounds that were missed.
fn missed(scenario: &Scenario, rows: &[&Row]) -> Vec<Missed> {
    let one = |Tolerance { figure, bound }: &Tolerance| {
        let index = FIGURES.iter().position(|key| key == figure)?;
        let misses = |row: &&&Row| !bound.holds(row.figures[index]);
        let those: Vec<&Row> = rows.iter().filter(misses).copied().collect();
        let first = those.first()?;
        let bad = match bound {
            Bound::AtLeast(_) => Bad::Low,
            Bound::AtMost(_) => Bad::High,
            Bound::Within(_) => Bad::Far,
        };
        let (worst, have) = worst(&those, index, bad).unwrap_or((first.case, f64::NAN));
        Some(Missed { figure: figure.clone(), bound: *bound, cases: those.len(), worst, have })
    };
    scenario.tolerances.iter().filter_map(one).collect()
}

/// Every parameter's rank correlations, the strongest on the typical miss first.
fn drivers(ranges: &Ranges, draws: &Draws<'_>, rows: &[&Row]) -> Vec<Driver> {
    let values: Vec<Vec<f64>> = rows.iter().map(|row| draws.values(row.case)).collect();
    let of_figure = |index: usize| Ranked::new(rows.iter().map(|row| row.figures[index]).collect());
    let figures: Vec<Ranked> = (0..FIGURES.len()).map(of_figure).collect();
    let mut drivers = Vec::new();
    for (index, varied) in ranges.varied.iter().enumerate() {
        let parameter = varied.parameter;
        let driver = |off: bool, measure: &dyn Fn(f64) -> f64| {
            let column = Ranked::new(values.iter().map(|values| measure(values[index])).collect());
            let rho = figures.iter().map(|figure| column.correlation(figure)).collect();
            Driver { parameter, off, rho }
        };
        drivers.push(driver(false, &|value| value));
        if let Some(right) = parameter.right.filter(|&it| varied.from < it && it < varied.to) {
            drivers.push(driver(true, &|value| distance(value, right)));
        }
    }
    drivers.sort_by(|a, b| strength(b).total_cmp(&strength(a)));
    drivers
}

/// How far a value is from the right one: as a factor where that is one.
fn distance(value: f64, right: f64) -> f64 {
    if right == 0.0 { value.abs() } else { libm::log(value / right).abs() }
}

/// How strongly a driver goes with the typical miss.
fn strength(driver: &Driver) -> f64 {
    let rms = FIGURES.iter().position(|key| *key == "rms_pct");
    rms.and_then(|index| driver.rho[index]).map_or(0.0, f64::abs)
}
