//! A sweep as a person reads it.
//!
//! ```text
//!  head      what was drawn, from which ranges
//!  scenario  a row a figure: distribution, worst case, bound; missed bounds; the worst case and how to repeat it;
//!            what drives the error
//!  sum       whether every bound was kept, and what to do next
//! ```

use super::columns::columns;
use super::view::{View, again, bound, name, number, unit, values};
use super::{Driver, FIGURES, FigureRow, Missed, Part, Spread, Varied};
use crate::ground::real;
use crate::unit::System;
use std::fmt::Write;

/// The figures whose drivers are shown, with the head of their column.
const DRIVEN: [(&str, &str); 8] = [
    ("within_5_pct", "within ±5 %"),
    ("rms_pct", "typical miss"),
    ("worst_pct", "worst miss"),
    ("mean_pct", "mean miss"),
    ("mass_pct", "seed laid"),
    ("start_error_m", "start skip"),
    ("stop_error_m", "overrun"),
    ("tally_mass_pct", "seed counted"),
];

/// The report of a whole sweep.
pub fn sweep_text(view: &View<'_>) -> String {
    let mut text = head(view);
    for part in &view.analysis.parts {
        text.push_str(&part_text(view, part));
    }
    text.push_str(&sum(view));
    text
}

/// The report of a shard: the rest is for the merge to say.
pub fn shard_text(view: &View<'_>) -> String {
    let (plan, analysis) = (view.plan, view.analysis);
    let mut text = format!(
        "Shard {} of {}: {} of {} cases, seed {}\n",
        plan.shard,
        view.ranges.file.display(),
        analysis.cases,
        plan.cases,
        plan.seed
    );
    for part in &analysis.parts {
        let lines = part.missed.iter().map(|missed| missed_line(view, part, missed));
        text.extend(lines);
    }
    text + "Next: put all shards together: meterwright sweep merge FILE...\n"
}

fn head(view: &View<'_>) -> String {
    let (ranges, plan) = (view.ranges, view.plan);
    let demo = if ranges.demo { " (demonstration data)" } else { "" };
    let cube = if ranges.hypercube { ", each range shared evenly among the cases" } else { "" };
    let mut rows = vec![["", "from", "to", "spread"].map(str::to_owned).to_vec()];
    rows.extend(ranges.varied.iter().map(|varied| range(varied, view.system)));
    format!(
        "Sweep: {}{demo}\n{}: {} cases, seed {}\n\nDrawn in each case{cube}\n{}",
        ranges.title,
        ranges.file.display(),
        plan.cases,
        plan.seed,
        columns(&rows, &[0, 3])
    )
}

fn range(varied: &Varied, system: System) -> Vec<String> {
    let show = |value| varied.parameter.show(value, system);
    let spread = match varied.spread {
        Spread::Uniform => "uniform".to_owned(),
        Spread::LogUniform => "log-uniform".to_owned(),
        Spread::Normal { mean, deviation } => {
            format!("normal, mean {}, deviation {}", show(mean), show(deviation))
        }
    };
    vec![varied.parameter.words.to_owned(), show(varied.from), show(varied.to), spread]
}

fn part_text(view: &View<'_>, part: &Part) -> String {
    let mut text = format!("\n{}: {}\n\n{}", part.scenario, part.title, figures(view, part));
    text.extend(part.missed.iter().map(|missed| missed_line(view, part, missed)));
    if let Some((case, have)) = part.figure("rms_pct").and_then(|row| row.worst) {
        let _ = writeln!(
            text,
            "\nWorst case by typical miss: case {case}, {} % rms\n{}  Repeat it: {}",
            number("rms_pct", have, view.system),
            values(view.ranges, view.plan, case, view.system),
            again(view.ranges, view.plan, case)
        );
    }
    text + &drivers(view, part)
}

/// A row a figure.
fn figures(view: &View<'_>, part: &Part) -> String {
    let heads = [
        "",
        "in",
        "min",
        "5 %",
        "median",
        "95 %",
        "99 %",
        "max",
        "mean",
        "worst case",
        "must hold",
    ];
    let mut rows = vec![heads.map(str::to_owned).to_vec()];
    // A smooth meter has no part of its own in the miss.
    let meter = part.figure("meter_rms_pct").and_then(|row| row.worst);
    let rough = meter.is_some_and(|(_, most)| most > 0.0);
    let told = |row: &&FigureRow| {
        let of_meter = row.figure.starts_with("control_") || row.figure == "meter_rms_pct";
        (rough || !of_meter) && row.figure != "running_cells"
    };
    rows.extend(part.figures.iter().filter(told).map(|row| figure(view, row)));
    columns(&rows, &[0, 1, 10])
}

fn figure(view: &View<'_>, row: &FigureRow) -> Vec<String> {
    let show = |value| number(row.figure, value, view.system);
    let mut cells = vec![name(row.figure), unit(row.figure, view.system).to_owned()];
    cells.extend(row.distribution.map_or_else(
        || vec!["–".to_owned(); 7],
        |it| [it.min, it.p5, it.median, it.p95, it.p99, it.max, it.mean].map(show).to_vec(),
    ));
    // Where all cases are the same none is worst.
    let differ = row.distribution.is_some_and(|it| it.min < it.max);
    let worst = row.worst.filter(|_| differ);
    cells.push(worst.map_or_else(|| "–".to_owned(), |(case, _)| case.to_string()));
    let bounds = row.bounds.iter().map(|&it| bound(it, &show));
    cells.push(bounds.collect::<Vec<_>>().join(", "));
    cells
}

fn missed_line(view: &View<'_>, part: &Part, missed: &Missed) -> String {
    let Missed { figure, bound: limit, cases, worst, have } = missed;
    format!(
        "MISSED in {}: {} ({figure}): wanted {}, missed in {cases} of {} cases, worst in case {worst}: \
         {}\n  Repeat it: {}\n",
        part.scenario,
        name(figure),
        bound(*limit, &|value| format!("{value}")),
        view.analysis.cases,
        number(figure, *have, System::Metric),
        again(view.ranges, view.plan, *worst)
    )
}

/// What drives the error.
fn drivers(view: &View<'_>, part: &Part) -> String {
    let chance = chance(view.analysis.cases);
    if chance >= 1.0 {
        let cases = view.analysis.cases;
        return format!(
            "\nWhat drives the error: {cases} cases are too few to tell; eleven are the least\n"
        );
    }
    let mut rows = vec![vec![String::new()]];
    rows[0].extend(DRIVEN.map(|(_, head)| head.to_owned()));
    let strong = |rho: f64| rho.abs() >= chance;
    let row = |driver: &Driver| -> Option<Vec<String>> {
        let rhos = DRIVEN.map(|(key, _)| rho(driver, key));
        let way = if driver.off { ", too much or too little" } else { "" };
        let mut cells = vec![format!("{}{way}", driver.parameter.words)];
        cells.extend(rhos.map(|rho| match rho {
            Some(rho) if strong(rho) => format!("{rho:+.2}"),
            Some(_) => "·".to_owned(),
            None => "–".to_owned(),
        }));
        rhos.into_iter().flatten().any(strong).then_some(cells)
    };
    rows.extend(part.drivers.iter().filter_map(row));
    format!(
        "\nWhat drives the error: rank correlation (-1 to +1), strongest on the typical miss first\n{}  · below \
         ±{chance:.2}, which chance alone gives; parameters with nothing above it are left out; – the \
         figure is the same in all cases\n",
        columns(&rows, &[0])
    )
}

fn rho(driver: &Driver, key: &str) -> Option<f64> {
    FIGURES.iter().position(|figure| *figure == key).and_then(|index| driver.rho[index])
}

/// Three standard deviations of a rank correlation without any connexion.
fn chance(cases: usize) -> f64 {
    3.0 / real(cases.saturating_sub(1).max(1)).sqrt()
}

fn sum(view: &View<'_>) -> String {
    let analysis = view.analysis;
    let missed: usize = analysis.parts.iter().map(|part| part.missed.len()).sum();
    let set = |part: &Part| part.figures.iter().any(|it| !it.bounds.is_empty());
    let verdict = if missed > 0 {
        "MISSED: at least one case left its bounds (above).\nNext: repeat the case named there.\n"
    } else if analysis.parts.iter().any(set) {
        "Pass: every bound was kept in every case.\nNext: put your own drill and ranges in a file, and \
         sweep it.\n"
    } else {
        "No bounds were set.\nNext: give each [[scenario]] a tolerance that must hold in every case.\n"
    };
    format!("\n{verdict}")
}
