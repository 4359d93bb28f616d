//! Fields: area sown once, twice, not at all, outside; the largest gaps and overlaps.

use super::number::plain;
use crate::field::FieldFigures;
use crate::field::gaps::{Cause, Gap, Overlap};
use crate::report::{Judged, Results};
use crate::unit::{AREA, LENGTH, System};
use std::fmt::Write;

/// Most gaps and overlaps that are listed of a field.
const LISTED: usize = 6;

/// The list of fields; nothing when there are none.
pub(super) fn text(results: &Results<'_>) -> Option<String> {
    let mut text = "Fields\n".to_owned();
    for judged in results.judged {
        if let Some(figures) = &judged.verdict.field {
            text.push_str(&one(judged, figures, results.system));
        }
    }
    results.judged.iter().any(|judged| judged.verdict.field.is_some()).then_some(text)
}

fn one(judged: &Judged, figures: &FieldFigures, system: System) -> String {
    let area = |area_m2: f64| AREA.show(area_m2, system, 4);
    let of = if figures.bounded { "within the boundary" } else { "asked for" };
    let mut text = format!("  {}: {} {of}\n", judged.verdict.scenario, area(figures.field_m2));
    for (words, area_m2, pct) in [
        ("sown once", figures.sown_once_m2, figures.sown_once_pct),
        ("sown twice or more", figures.sown_twice_m2, figures.sown_twice_pct),
        ("not sown", figures.not_sown_m2, figures.not_sown_pct),
        ("sown outside", figures.sown_outside_m2, figures.sown_outside_pct),
    ] {
        let _ = writeln!(
            text,
            "    {words:<19} {:>12} {:>7} %",
            square(area_m2, system),
            plain(pct, 2)
        );
    }
    let _ = writeln!(
        text,
        "    {} gaps, {} overlaps; the largest:",
        figures.gaps.len(),
        figures.overlaps.len()
    );
    for gap in figures.gaps.iter().take(LISTED) {
        let _ = writeln!(text, "      gap     {}", gap_line(judged, gap, system));
    }
    for overlap in figures.overlaps.iter().take(LISTED) {
        let _ = writeln!(text, "      overlap {}", overlap_line(overlap, system));
    }
    text
}

/// A small area.
fn square(area_m2: f64, system: System) -> String {
    match system {
        System::Us => format!("{} ft²", plain(area_m2 / (0.3048 * 0.3048), 1)),
        System::Metric | System::Both => format!("{} m²", plain(area_m2, 1)),
    }
}

fn gap_line(judged: &Judged, gap: &Gap, system: System) -> String {
    let whom = gap.side.map(|side| format!("{}, ", judged.side(side))).unwrap_or_default();
    format!(
        "{:>9}, {} long: {}{}, {}, begins {} after {}",
        square(gap.area_m2, system),
        LENGTH.show(gap.length_m, system, 3),
        whom,
        words(gap.cause),
        passes(&gap.passes),
        place(gap.x_m, gap.y_m, system),
        LENGTH.show(gap.travel_m, system, 4)
    )
}

fn overlap_line(overlap: &Overlap, system: System) -> String {
    let between = match overlap.passes {
        [one, other] if one == other => format!("pass {one} and itself"),
        [one, other] => format!("passes {one} and {other}"),
    };
    format!(
        "{:>9}, {} long: {between}, about {}",
        square(overlap.area_m2, system),
        LENGTH.show(overlap.length_m, system, 3),
        place(overlap.x_m, overlap.y_m, system)
    )
}

/// A place on the ground.
fn place(x_m: f64, y_m: f64, system: System) -> String {
    let unit = LENGTH.preferred(system);
    let own = |metres: f64| plain(unit.map_or(metres, |unit| unit.from_own(metres)), 1);
    let symbol = unit.map_or("m", |unit| unit.symbol());
    format!("{} {symbol} east, {} {symbol} north", own(x_m), own(y_m))
}

/// Passes of a gap.
fn passes(passes: &[usize]) -> String {
    let list: Vec<String> = passes.iter().map(ToString::to_string).collect();
    match list.len() {
        0 => "no pass near".to_owned(),
        1 => format!("pass {}", list[0]),
        _ => format!("passes {}", list.join(", ")),
    }
}

/// A cause in words.
const fn words(cause: Cause) -> &'static str {
    match cause {
        Cause::LateStart => "late start",
        Cause::EarlyStop => "early stop",
        Cause::InTheRow => "seed failed in the row",
        Cause::SwitchedOff => "switched off",
        Cause::BetweenPasses => "between passes",
        Cause::AtTheEdge => "at the edge",
    }
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::passing;
    use super::*;
    use crate::field::coverage::Areas;

    #[test]
    fn a_field_says_how_much_was_sown_and_where_it_was_not() {
        let areas = Areas {
            field_m2: 10_000.0,
            once_m2: 9_800.0,
            twice_m2: 150.0,
            not_m2: 50.0,
            outside_m2: 3.0,
        };
        let gap = Gap {
            cause: Cause::LateStart,
            side: Some(0),
            passes: vec![3],
            x_m: 12.0,
            y_m: 34.0,
            travel_m: 567.0,
            length_m: 0.9,
            area_m2: 2.7,
        };
        let mut judged = [passing("a"), passing("b")];
        judged[1].verdict.field = Some(FieldFigures::new(true, &areas, vec![gap], Vec::new()));
        let results = |system| Results {
            command: "verify",
            judged: &judged,
            record: None,
            files: &[],
            board: None,
            system,
        };
        let metric = text(&results(System::Metric)).expect("a field");
        for part in ["b: 1 ha within", "not sown", "0.50 %", "2.7 m²", "late start, pass 3"] {
            assert!(metric.contains(part), "no {part:?} in\n{metric}");
        }
        let us = text(&results(System::Us)).expect("a field");
        assert!(us.contains("ft²") && us.contains("2.471 ac"), "{us}");
    }
}
