//! The record as a person reads it on the terminal.

use super::super::record::Record;
use super::{how_sure, lot_name, rate};
use crate::unit::{AREA, LENGTH, MASS, RATE, System};

/// Gaps that are listed here; the files have all.
const LISTED: usize = 12;

/// The record in words.
pub fn text(record: &Record, system: System) -> String {
    let demo = if record.demo { " (demo)" } else { "" };
    let mut lines = vec![format!("{}, {}{demo}", record.field, record.date)];
    if let Some(operator) = &record.operator {
        lines.push(format!("  operator     {operator}"));
    }
    lines.push(format!("  area sown    {}", AREA.show(record.area_m2, system, 5)));
    for lot in &record.lots {
        let asked = lot.asked_kg_per_ha.map(|rate| RATE.show(rate, system, 4));
        lines.push(format!("  seed lot     {}", lot_name(lot)));
        lines.push(format!(
            "    counted    {} on {}",
            MASS.show(lot.mass_kg, system, 5),
            AREA.show(lot.area_m2, system, 5)
        ));
        lines.push(format!(
            "    mean rate  {}; {} was asked for",
            rate(lot, system),
            asked.unwrap_or_else(|| "what".to_owned())
        ));
    }
    let print = record.settings_fingerprint.as_deref().unwrap_or("not said");
    lines.push(format!("  settings     {print}"));
    lines.extend(gaps(record, system));
    lines.extend(how_sure(record, system).into_iter().map(|line| format!("  {line}")));
    lines.extend(record.damage.iter().map(|line| format!("  MISSING: {line}")));
    lines.extend(record.notes.iter().map(|line| format!("  {line}")));
    lines.push(record.statement.clone());
    lines.push(String::new());
    lines.join("\n")
}

fn gaps(record: &Record, system: System) -> Vec<String> {
    let length = |metres| LENGTH.show(metres, system, 3);
    let mut lines = vec![match record.gaps.len() {
        0 => "  gaps         none logged".to_owned(),
        count => format!("  gaps         {count}, {} in all", length(record.gaps_m)),
    }];
    lines.extend(record.gaps.iter().take(LISTED).map(|gap| {
        let (number, side, cause) = (gap.number, gap.side, &gap.cause);
        format!(
            "    {number}: side {side}, {} at {}, {cause}",
            length(gap.length_m),
            length(gap.start_m)
        )
    }));
    if record.gaps.len() > LISTED {
        lines.push(format!("    and {} more, in the files", record.gaps.len() - LISTED));
    }
    lines
}
