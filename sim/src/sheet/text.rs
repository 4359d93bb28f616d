//! The sheet as text.

use super::{Body, Sheet};
use std::fmt::Write as _;

/// Widest line.
const WIDTH: usize = 100;

/// The sheet as plain text of at most 100 signs a line.
pub fn text(sheet: &Sheet) -> String {
    let demo = if sheet.demo { "  (demo)" } else { "" };
    let mut text = format!("{}{demo}\n", sheet.title);
    for part in &sheet.parts {
        let _ = writeln!(text, "\n{}", part.heading);
        match &part.body {
            Body::Facts(facts) => {
                let widest = facts.iter().map(|fact| fact[0].chars().count()).max().unwrap_or(0);
                for [name, value] in facts {
                    let _ = writeln!(text, "  {name:<widest$}  {value}");
                }
            }
            Body::Table { head, rows, note } => text.push_str(&table(head, rows, note)),
            Body::Checks(checks) => {
                for [what, want] in checks {
                    let _ = writeln!(text, "  [ ] {what:<68} {want:<20} ______");
                }
            }
            Body::Lines(lines) => {
                for line in lines {
                    text.push_str(&wrapped(line, "  - "));
                }
            }
        }
    }
    text
}

/// A table: columns of numbers to the right, words to the left.
fn table(head: &[String], rows: &[Vec<String>], note: &str) -> String {
    let all = || core::iter::once(head).chain(rows.iter().map(Vec::as_slice));
    let widths: Vec<usize> = (0..head.len())
        .map(|column| {
            all().filter_map(|row| row.get(column)).map(|cell| cell.chars().count()).max()
        })
        .map(Option::unwrap_or_default)
        .collect();
    let number = |column: usize| {
        rows.iter()
            .filter_map(|row| row.get(column))
            .all(|cell| cell.parse::<f64>().is_ok() || cell == "–")
    };
    let mut text = String::new();
    for row in all() {
        let mut line = String::from(" ");
        for (column, (cell, &width)) in row.iter().zip(&widths).enumerate() {
            let _ = if number(column) {
                write!(line, " {cell:>width$} ")
            } else {
                write!(line, " {cell:<width$} ")
            };
        }
        text.push_str(line.trim_end());
        text.push('\n');
    }
    text + &wrapped(note, "  ")
}

/// A sentence in lines, the first with `mark`.
fn wrapped(sentence: &str, mark: &str) -> String {
    let mut text = String::new();
    let mut line = mark.to_owned();
    let blank = " ".repeat(mark.chars().count());
    for word in sentence.split_whitespace() {
        if line.chars().count() + word.chars().count() >= WIDTH {
            text.push_str(line.trim_end());
            text.push('\n');
            line.clone_from(&blank);
        }
        line.push_str(word);
        line.push(' ');
    }
    text.push_str(line.trim_end());
    text.push('\n');
    text
}
