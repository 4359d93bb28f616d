//! The sheet as one printable page of HTML, complete in itself.

use super::{Body, Part, Sheet};
use crate::report::escape::html as escaped;
use std::fmt::Write as _;

/// How the page looks: two columns on one sheet of paper, black on white.
const STYLE: &str = "\
@page{margin:9mm}\
*{box-sizing:border-box}\
body{font:10.2px/1.3 system-ui,sans-serif;color:#000;background:#fff;margin:0 auto;max-width:200mm;padding:4px}\
header{display:flex;justify-content:space-between;align-items:baseline;border-bottom:2px solid #000}\
h1{font-size:16px;margin:0}h2{font-size:12px;margin:8px 0 2px;border-bottom:1px solid #999}\
.print{font:bold 15px ui-monospace,monospace;white-space:nowrap}\
main{columns:2;column-gap:14px}section{break-inside:avoid}section.long{break-inside:auto}\
table{border-collapse:collapse;width:100%}td,th{padding:0 4px 0 0;vertical-align:top;text-align:left;font-weight:normal}\
th{border-bottom:1px solid #000}tr{break-inside:avoid}tr:nth-child(even) td{background:#f0f0f0}\
td.n,th.n{text-align:right;font-variant-numeric:tabular-nums}td.box{width:12px}\
td.found{border-bottom:1px dotted #000;min-width:52px}\
p{margin:2px 0}ul{margin:2px 0;padding-left:12px}.demo{font-weight:bold}";

/// The sheet as a page.
pub fn html(sheet: &Sheet) -> String {
    let title = escaped(&sheet.title);
    let demo =
        if sheet.demo { " <span class=\"demo\">(demo: invented numbers)</span>" } else { "" };
    let mut page = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>{title}</title>\n<style>{STYLE}</style>\n\
         </head>\n<body>\n<header><h1>{title}{demo}</h1><span class=\"print\">{}</span></header>\n<main>\n",
        escaped(&sheet.fingerprint)
    );
    for part in &sheet.parts {
        page.push_str(&section(part));
    }
    page + "</main>\n</body>\n</html>\n"
}

/// A part with its heading.
fn section(part: &Part) -> String {
    let long = matches!(&part.body, Body::Checks(_) | Body::Table { .. });
    let class = if long { " class=\"long\"" } else { "" };
    let mut text = format!("<section{class}><h2>{}</h2>\n", escaped(&part.heading));
    match &part.body {
        Body::Facts(facts) => {
            text.push_str("<table>\n");
            for [name, value] in facts {
                let _ = writeln!(
                    text,
                    "<tr><td>{}</td><td>{}</td></tr>",
                    escaped(name),
                    escaped(value)
                );
            }
            text.push_str("</table>\n");
        }
        Body::Table { head, rows, note } => text.push_str(&table(head, rows, note)),
        Body::Checks(checks) => {
            text.push_str("<table>\n");
            for [what, want] in checks {
                let _ = writeln!(
                    text,
                    "<tr><td class=\"box\">☐</td><td>{}</td><td>{}</td><td class=\"found\"></td></tr>",
                    escaped(what),
                    escaped(want)
                );
            }
            text.push_str("</table>\n");
        }
        Body::Lines(lines) => {
            text.push_str("<ul>\n");
            for line in lines {
                let _ = writeln!(text, "<li>{}</li>", escaped(line));
            }
            text.push_str("</ul>\n");
        }
    }
    text + "</section>\n"
}

/// A table with its note.
fn table(head: &[String], rows: &[Vec<String>], note: &str) -> String {
    let number = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .all(|cell| cell.parse::<f64>().is_ok() || cell == "–")
    };
    let row = |cells: &[String], tag: &str| {
        let cells = cells.iter().enumerate().map(|(column, cell)| {
            let class = if number(column) { " class=\"n\"" } else { "" };
            format!("<{tag}{class}>{}</{tag}>", escaped(cell))
        });
        format!("<tr>{}</tr>\n", cells.collect::<String>())
    };
    let body: String = rows.iter().map(|cells| row(cells, "td")).collect();
    format!("<table>\n{}{body}</table>\n<p>{}</p>\n", row(head, "th"), escaped(note))
}
