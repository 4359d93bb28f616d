//! What a fill tells, in words.

use super::outcome::{ASSUMED_CATCH, FillLine, Settled};
use crate::desk::settle::Sure;
use crate::unit::{AREA, Dimension, MASS, MASS_PER_TURN, RATE, RATIO, System};

/// The lines that say it all, each with its end.
pub fn report(settled: &Settled, system: System) -> String {
    let mut lines = vec![format!(
        "{}{}: {} laid on {} by {} turns of the meter shafts",
        settled.seed_lot,
        if settled.demo { " (demo)" } else { "" },
        shown(&MASS, &settled.fill.laid_kg, system),
        shown(&AREA, &settled.fill.area_m2, system),
        settled.fill.turns
    )];
    lines.push(format!(
        "  true rate      {}; {} was asked for",
        shown(&RATE, &settled.rate_kg_per_ha, system),
        RATE.show(settled.asked_kg_per_ha, system, 4)
    ));
    lines.push(format!(
        "  error          {}: {}",
        percent(&settled.error),
        strength(&settled.error)
    ));
    lines.push(cost(settled, system));
    lines.push(format!(
        "  mass per turn  {}; the seed file says {}",
        shown(&MASS_PER_TURN, &settled.fill.kg_per_turn, system),
        MASS_PER_TURN.show(settled.told_kg_per_turn, system, 5)
    ));
    lines.extend(how_sure(settled));
    lines.push(String::new());
    lines.extend(table(settled, system));
    lines.push(against_catch(settled));
    if let Some(drift) = &settled.drift_per_fill {
        let real = if drift.differs_from(0.0) { "it drifts" } else { "no drift that can be told" };
        lines.push(format!("  drift: {} a fill: {real}", percent(drift)));
    }
    lines.push(String::new());
    lines.join("\n")
}

/// The lines of the seed file that put its mass per turn right.
pub fn lines(settled: &Settled, curve: &[(f64, f64)], system: System) -> String {
    let factor = settled.last_of_seed_file.value;
    let kg = |kg: f64| format!("\"{}\"", MASS_PER_TURN.show(kg * factor, system, 6));
    let mass = match curve {
        [(_, one)] => format!("mass_per_turn = {}", kg(*one)),
        points => {
            let point = |(n, mass): &(f64, f64)| format!("[\"{n} turns/s\", {}]", kg(*mass));
            let points: Vec<String> = points.iter().map(point).collect();
            format!("meter_curve = [{}]", points.join(", "))
        }
    };
    let date = settled.fill.date.as_deref().unwrap_or("not noted");
    let share = RATIO.show(settled.last_of_seed_file.share(), System::Both, 2);
    format!(
        "{mass}\n\n[caught]\ndate = \"{date}\"\ncatches = {}\nuncertainty = \"{share}\"\n",
        settled.last_fills
    )
}

fn cost(settled: &Settled, system: System) -> String {
    let over = settled.over_kg;
    let word = if over.value < 0.0 { "seed under " } else { "seed over  " };
    let amount = Sure { value: over.value.abs(), ..over };
    let mut line = format!("  {word}    {}", shown(&MASS, &amount, system));
    if let Some(cost) = settled.over_cost {
        let worth = format!(", worth {:.2} ± {:.2}", cost.value.abs(), cost.uncertainty);
        line.push_str(&worth);
    }
    line
}

/// Where the uncertainty comes from.
fn how_sure(settled: &Settled) -> Vec<String> {
    let assumed = if settled.area_assumed { " (taken so: nobody said)" } else { "" };
    vec![format!(
        "  how sure       95 %: weighings {}, area {}{assumed}; turns are counted",
        plus_minus(settled.fill.laid_kg.share()),
        plus_minus(settled.fill.area_m2.share())
    )]
}

/// How the error stands to what it can be wrong by.
fn strength(error: &Sure) -> &'static str {
    let size = (error.value / error.uncertainty).abs();
    if size <= 1.0 {
        "within what scale and area can tell"
    } else if size <= 2.0 {
        "more than scale and area can be wrong by"
    } else {
        "clearly more than scale and area can be wrong by"
    }
}

fn against_catch(settled: &Settled) -> String {
    let fills = match settled.last_fills {
        1 => "this fill".to_owned(),
        count => format!("the last {count} fills, weighted,"),
    };
    let off = Sure {
        value: settled.last_of_seed_file.value - 1.0,
        uncertainty: settled.last_uncertainty,
    };
    let verdict = if settled.disagrees {
        "WARNING: more than both can be wrong by; the mass per turn of the seed file is no longer that of the seed"
    } else {
        "no disagreement that can be told"
    };
    let catch = settled.catch_uncertainty.map_or_else(
        || {
            let taken = plus_minus(ASSUMED_CATCH);
            format!("the catch is taken to be sure to {taken}: the seed file does not say")
        },
        |share| format!("the catch is sure to {}", plus_minus(share)),
    );
    format!("  {fills} against the catch: {}: {verdict} ({catch})", percent(&off))
}

/// The fills, a line each.
fn table(settled: &Settled, system: System) -> Vec<String> {
    let head = ["date", "laid", "area", "turns", "mass per turn", "of the seed file"];
    let mut rows = vec![head.map(str::to_owned)];
    rows.extend(settled.fills.iter().map(|fill| row(fill, system)));
    let width = |column: usize| rows.iter().map(|row| row[column].chars().count()).max();
    let widths: Vec<usize> = (0..head.len()).map(|column| width(column).unwrap_or(0)).collect();
    let line = |row: &[String; 6]| {
        let cells: Vec<String> = (row.iter().zip(&widths))
            .map(|(cell, width)| format!("{cell:<width$}", width = *width))
            .collect();
        format!("  {}", cells.join("  ").trim_end())
    };
    rows.iter().map(line).collect()
}

fn row(fill: &FillLine, system: System) -> [String; 6] {
    let off = Sure { value: fill.of_seed_file.value - 1.0, ..fill.of_seed_file };
    [
        fill.date.clone().unwrap_or_else(|| "not said".to_owned()),
        MASS.show(fill.laid_kg.value, system, 5),
        AREA.show(fill.area_m2.value, system, 4),
        fill.turns.to_string(),
        MASS_PER_TURN.show(fill.kg_per_turn.value, system, 5),
        percent(&off),
    ]
}

fn shown(kind: &Dimension, sure: &Sure, system: System) -> String {
    format!("{} ± {}", kind.show(sure.value, system, 5), kind.show(sure.uncertainty, system, 2))
}

/// A share with its sign: `+1.2 % ± 0.5 %`.
fn percent(share: &Sure) -> String {
    format!("{:+.2} % ± {:.2} %", 100.0 * share.value, 100.0 * share.uncertainty)
}

fn plus_minus(share: f64) -> String {
    format!("±{:.2} %", 100.0 * share)
}
