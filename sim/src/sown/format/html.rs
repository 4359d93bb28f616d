//! The record as one page of HTML: nothing is loaded from elsewhere, and it prints on A4 and letter.

use super::super::record::{GapRecord, Record};
use super::{how_sure, lot_name, rate};
use crate::report::escape::html as safe;
use crate::unit::{AREA, LENGTH, MASS, RATE, System};

/// The page's look, on screen and on paper.
const STYLE: &str = "
:root { color-scheme: light; }
body { font: 11pt/1.35 system-ui, sans-serif; color: #222; margin: 2rem auto; max-width: 46rem; padding: 0 1rem; }
h1 { font-size: 1.6rem; margin: 0; }
h2 { font-size: 1.05rem; margin: 1.4rem 0 .4rem; }
p { margin: .2rem 0; overflow-wrap: anywhere; }
.soft { color: #555; }
.statement { border: 2px solid #222; padding: .6rem .8rem; margin: 1rem 0; }
.missing { border-left: 6px solid #D55E00; padding-left: .6rem; }
table { border-collapse: collapse; width: 100%; }
th, td { text-align: left; vertical-align: top; padding: .25rem .6rem .25rem 0; border-bottom: 1px solid #ccc; overflow-wrap: anywhere; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
.facts th { width: 11rem; font-weight: 600; }
thead { display: table-header-group; }
.sign { display: flex; gap: 2rem; margin-top: 3rem; break-inside: avoid; }
.sign div { flex: 1; border-top: 1px solid #222; padding-top: .2rem; }
@page { margin: 15mm; }
@media print {
  body { margin: 0; padding: 0; max-width: none; font-size: 9.5pt; line-height: 1.25; }
  h1 { font-size: 1.4rem; } h2 { margin: .8rem 0 .2rem; break-after: avoid; } tr { break-inside: avoid; }
  th, td { padding-top: .12rem; padding-bottom: .12rem; }
  .statement { margin: .6rem 0; } .sign { margin-top: 2rem; }
}
";

/// The record as a page.
pub fn html(record: &Record, system: System) -> String {
    let title = format!("Record of sowing: {}, {}", safe(&record.field), safe(&record.date));
    let demo = if record.demo { "<p class=\"soft\">Invented for demonstration.</p>\n" } else { "" };
    let parts = [
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
             <meta name=\"viewport\" content=\"width=device-width\">\n<title>{title}</title>\n<style>{STYLE}</style>\n\
             </head>\n<body>\n<h1>Record of sowing</h1>\n{demo}\
             <p class=\"statement\"><strong>{}</strong></p>\n",
            safe(&record.statement)
        ),
        facts(record, system),
        lots(record, system),
        sides(record, system),
        fields(record, system),
        gaps(record, system),
        remarks(record, system),
        "<div class=\"sign\"><div>Date</div><div>Signature of who sowed</div></div>\n</body>\n</html>\n".to_owned(),
    ];
    parts.concat()
}

fn facts(record: &Record, system: System) -> String {
    let area = AREA.show(record.area_m2, system, 5);
    let sure = AREA.show(record.area_m2 * record.area_uncertainty, system, 2);
    let print = record.settings_fingerprint.clone().unwrap_or_else(|| "not said".to_owned());
    let rows = [
        ("Field", record.field.clone()),
        ("Date", record.date.clone()),
        ("Operator", record.operator.clone().unwrap_or_else(|| "not said".to_owned())),
        ("Area sown", format!("{area} ± {sure}")),
        (
            "Gaps logged",
            format!("{}, {} in all", record.gaps.len(), LENGTH.show(record.gaps_m, system, 3)),
        ),
        ("Settings fingerprint", print),
        ("Taken from", record.source.clone()),
    ];
    let rows = rows.map(|(name, value)| {
        format!("<tr><th scope=\"row\">{name}</th><td>{}</td></tr>\n", safe(&value))
    });
    format!("<table class=\"facts\">\n{}</table>\n", rows.concat())
}

/// A table; columns from `numbers` on hold numbers.
fn table(title: &str, head: &[&str], rows: &[Vec<String>], numbers: usize) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let class = |column: usize| if column >= numbers { " class=\"n\"" } else { "" };
    let heads: Vec<String> = (head.iter().enumerate())
        .map(|(column, name)| format!("<th scope=\"col\"{}>{name}</th>", class(column)))
        .collect();
    let heads = heads.concat();
    let row = |row: &Vec<String>| {
        let cells: Vec<String> = (row.iter().enumerate())
            .map(|(column, cell)| format!("<td{}>{}</td>", class(column), safe(cell)))
            .collect();
        format!("<tr>{}</tr>\n", cells.concat())
    };
    let rows: String = rows.iter().map(row).collect();
    format!(
        "<h2>{title}</h2>\n<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n"
    )
}

fn lots(record: &Record, system: System) -> String {
    let rows: Vec<Vec<String>> = (record.lots.iter())
        .map(|lot| {
            let asked = lot.asked_kg_per_ha.map(|rate| RATE.show(rate, system, 4));
            vec![
                lot_name(lot),
                AREA.show(lot.area_m2, system, 5),
                MASS.show(lot.mass_kg, system, 5),
                rate(lot, system),
                asked.unwrap_or_else(|| "not said".to_owned()),
            ]
        })
        .collect();
    table("Seed", &["Lot", "Area", "Mass, counted", "Mean rate", "Asked for"], &rows, 1)
}

fn sides(record: &Record, system: System) -> String {
    let rows: Vec<Vec<String>> = (record.sides.iter())
        .map(|side| {
            let way = side.distance_m.map(|way| LENGTH.show(way, system, 5));
            vec![
                format!("{} (product {})", side.side, side.product),
                AREA.show(side.area_m2, system, 5),
                MASS.show(side.mass_kg, system, 5),
                way.unwrap_or_else(|| "not said".to_owned()),
            ]
        })
        .collect();
    table("Sides of the drill", &["Side", "Area", "Mass, counted", "Way sown"], &rows, 1)
}

fn fields(record: &Record, system: System) -> String {
    let rows: Vec<Vec<String>> = (record.fields.iter())
        .map(|field| {
            let area = field.area_m2.map(|area| AREA.show(area, system, 4));
            vec![
                field.number.to_string(),
                LENGTH.show(field.start_m, system, 5),
                area.unwrap_or_else(|| "not ended".to_owned()),
            ]
        })
        .collect();
    table(
        "Fields as the operator began and ended them",
        &["Number", "Begun at way", "Area"],
        &rows,
        1,
    )
}

fn gaps(record: &Record, system: System) -> String {
    let rows: Vec<Vec<String>> = record.gaps.iter().map(|it| gap(it, system)).collect();
    let head = ["Number", "Side", "Cause", "Begun at way", "Length", "Latitude, longitude"];
    let list = table("Gaps: ground left bare in work", &head, &rows, 3);
    if list.is_empty() { "<h2>Gaps</h2>\n<p>None were logged.</p>\n".to_owned() } else { list }
}

fn gap(gap: &GapRecord, system: System) -> Vec<String> {
    let place = gap.latitude_deg.zip(gap.longitude_deg);
    vec![
        gap.number.to_string(),
        gap.side.to_string(),
        gap.cause.clone(),
        LENGTH.show(gap.start_m, system, 5),
        LENGTH.show(gap.length_m, system, 3),
        place.map_or_else(
            || "not known".to_owned(),
            |(north, east)| format!("{north:.7}, {east:.7}"),
        ),
    ]
}

fn remarks(record: &Record, system: System) -> String {
    let lines = |class: &str, lines: &[String]| -> String {
        let lines: Vec<String> =
            lines.iter().map(|line| format!("<p{class}>{}</p>\n", safe(line))).collect();
        lines.concat()
    };
    let mut text = format!("<h2>How sure</h2>\n{}", lines("", &how_sure(record, system)));
    if !record.damage.is_empty() {
        text.push_str("<h2>Missing</h2>\n");
        text.push_str(&lines(" class=\"missing\"", &record.damage));
    }
    text.push_str(&lines(" class=\"soft\"", &record.notes));
    text
}
