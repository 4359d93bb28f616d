//! A sweep as a program reads it: JSON, keys as in `docs/schema.md`, numbers with every digit.

use super::view::{View, again, bound};
use super::{
    Analysis, Draws, FIGURES, FigureRow, Missed, Part, Plan, Ranges, Row, Spread, Varied, worst_of,
};
use crate::report::SCHEMA_VERSION;
use crate::unit::Unit;
use serde_json::{Value, json};

/// The document of a sweep or of a shard.
pub fn sweep_document(view: &View<'_>) -> String {
    let analysis = view.analysis;
    let parts: Vec<Value> = analysis.parts.iter().map(|part| part_value(view, part)).collect();
    let ranges = view.ranges;
    pretty(&json!({
        "schema_version": SCHEMA_VERSION,
        "command": "sweep",
        "exit_code": u8::from(!analysis.pass()),
        "ranges": ranges.file,
        "title": ranges.title,
        "demo": ranges.demo,
        "hypercube": ranges.hypercube,
        "seed": view.plan.seed,
        "cases": view.plan.cases,
        "shard": view.plan.shard.to_string(),
        "cases_run": analysis.cases,
        "parameters": ranges.varied.iter().map(varied).collect::<Vec<_>>(),
        "scenarios": parts,
    }))
}

/// The document of one case that was run again.
pub fn repeated_document(ranges: &Ranges, plan: Plan, rows: &[Row]) -> String {
    let analysis = Analysis::of(ranges, plan, rows);
    let case = rows.first().map_or(0, |row| row.case);
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let scenarios = rows.iter().zip(&analysis.parts).map(|(row, part)| {
        let figures = FIGURES.iter().zip(&row.figures);
        json!({
            "scenario": part.scenario,
            "figures": figures
                .map(|(figure, value)| json!({ "figure": figure, "value": value }))
                .collect::<Vec<_>>(),
            "missed": part.missed.iter().map(missed).collect::<Vec<_>>(),
        })
    });
    pretty(&json!({
        "schema_version": SCHEMA_VERSION,
        "command": "sweep",
        "exit_code": u8::from(!analysis.pass()),
        "ranges": ranges.file,
        "seed": plan.seed,
        "cases": plan.cases,
        "case": case,
        "noise_seed": draws.noise_seed(case),
        "values": values(ranges, plan, case),
        "scenarios": scenarios.collect::<Vec<_>>(),
    }))
}

fn part_value(view: &View<'_>, part: &Part) -> Value {
    let worst = part.figure("rms_pct").and_then(|row| row.worst).map(|(case, _)| case);
    let draws = Draws::new(view.ranges, view.plan.seed, view.plan.cases);
    let drivers = part.drivers.iter().map(|driver| {
        let rho = FIGURES.iter().zip(&driver.rho);
        json!({
            "parameter": driver.parameter.key,
            "off": driver.off,
            "rho": rho.map(|(figure, rho)| json!({ "figure": figure, "value": rho })).collect::<Vec<_>>(),
        })
    });
    json!({
        "scenario": part.scenario,
        "title": part.title,
        "figures": part.figures.iter().map(figure).collect::<Vec<_>>(),
        "missed": part.missed.iter().map(missed).collect::<Vec<_>>(),
        "worst": worst.map(|case| json!({
            "case": case,
            "noise_seed": draws.noise_seed(case),
            "values": values(view.ranges, view.plan, case),
            "repeat": again(view.ranges, view.plan, case),
        })),
        "drivers": drivers.collect::<Vec<_>>(),
    })
}

fn figure(row: &FigureRow) -> Value {
    json!({
        "figure": row.figure,
        "bad": worst_of(row.figure),
        "distribution": row.distribution,
        "worst_case": row.worst.map(|(case, _)| case),
        "worst": row.worst.map(|(_, have)| have),
        "bounds": row.bounds.iter().map(|&it| bound(it, &|value| format!("{value}"))).collect::<Vec<_>>(),
    })
}

fn missed(missed: &Missed) -> Value {
    json!({
        "figure": missed.figure,
        "bound": bound(missed.bound, &|value| format!("{value}")),
        "cases": missed.cases,
        "worst_case": missed.worst,
        "have": missed.have,
    })
}

/// Values of a case in the bench's own units.
fn values(ranges: &Ranges, plan: Plan, case: u32) -> Vec<Value> {
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let values = ranges.varied.iter().zip(draws.values(case));
    values
        .map(|(varied, value)| json!({ "parameter": varied.parameter.key, "value": value, "unit": unit(varied) }))
        .collect()
}

fn varied(varied: &Varied) -> Value {
    let (spread, mean, deviation) = match varied.spread {
        Spread::Uniform => ("uniform", None, None),
        Spread::LogUniform => ("log-uniform", None, None),
        Spread::Normal { mean, deviation } => ("normal", Some(mean), Some(deviation)),
    };
    json!({
        "parameter": varied.parameter.key,
        "unit": unit(varied),
        "from": varied.from,
        "to": varied.to,
        "spread": spread,
        "mean": mean,
        "deviation": deviation,
    })
}

/// The bench's own unit; none for a share or a number.
fn unit(varied: &Varied) -> Option<&'static str> {
    let units = varied.parameter.kind.units.iter();
    #[expect(clippy::float_cmp, reason = "the factors are exact")]
    let own = units.into_iter().find(|unit| unit.numerator == unit.denominator);
    own.map(Unit::symbol)
}

/// Indented, with a line end.
fn pretty(value: &Value) -> String {
    format!("{value:#}\n")
}
