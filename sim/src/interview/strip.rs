//! The driven sides: widths and offsets that follow from the answers.

use super::answers::Answers;
use super::question::Wrong;
use super::worked::{unit, written};
use crate::desk::drill::width_m;
use crate::scenario::read::ranges::WIDTH;
use crate::unit::{LENGTH, System};

/// Furthest that a side's middle may lie from the drill's line, m.
const FURTHEST_M: f64 = 20.0;

/// A driven side and where it lies.
#[derive(Clone, Debug, PartialEq)]
pub struct Strip {
    /// What it is called.
    pub name: &'static str,
    /// Width as it stands in the file.
    pub width: String,
    /// The same, m.
    pub width_m: f64,
    /// Offset of its middle as it stands in the file.
    pub offset: String,
    /// Number of outlets; 0 as long as it is not known.
    pub outlets: u64,
}

/// Keys of the answers by side.
const KEYS: [[&str; 3]; 4] = [
    ["width", "rows", "outlets"],
    ["width_2", "rows_2", "outlets_2"],
    ["width_3", "rows_3", "outlets_3"],
    ["width_4", "rows_4", "outlets_4"],
];

/// Names of the sides, left to right.
const fn names(sides: usize) -> &'static [&'static str] {
    match sides {
        1 => &["drill"],
        2 => &["left", "right"],
        3 => &["left", "middle", "right"],
        _ => &["far left", "left", "right", "far right"],
    }
}

/// The driven sides that are known so far, left to right.
pub fn strips(answers: &Answers) -> Vec<Strip> {
    let widths: Vec<(String, f64)> = KEYS.iter().map_while(|key| width(answers, key)).collect();
    let all: f64 = widths.iter().map(|(_, metres)| metres).sum();
    let mut left = answers.number("off_centre") + all / 2.0;
    let sides = usize::try_from(answers.sides()).unwrap_or(1);
    let each = names(sides).iter().zip(KEYS).zip(widths);
    each.map(|((name, [_, _, outlets]), (width, width_m))| {
        let middle = left - width_m / 2.0;
        left -= width_m;
        // Halves of widths leave no more than a rounding of the last bit about zero.
        let middle = if middle.abs() < 1e-9 { 0.0 } else { middle };
        let offset = written(answers, &LENGTH, middle);
        Strip { name, width, width_m, offset, outlets: answers.whole(outlets) }
    })
    .collect()
}

/// Width of a side: as it was answered, or its rows times the spacing.
fn width(answers: &Answers, [width, rows, _]: &[&str; 3]) -> Option<(String, f64)> {
    if answers.has(width) {
        return Some((answers.text(width).to_owned(), answers.number(width)));
    }
    if !answers.has(rows) || !answers.has("spacing") {
        return None;
    }
    let rows = u32::try_from(answers.whole(rows)).unwrap_or(u32::MAX);
    let text = written(answers, &LENGTH, width_m(rows, answers.number("spacing")));
    let read = LENGTH.parse(&text).map_or(0.0, |reading| reading.value);
    Some((text, read))
}

/// Refuses sides that are too wide, too narrow, or too far out.
pub(super) fn check_strips(answers: &Answers) -> Result<(), Wrong> {
    for strip in strips(answers) {
        if !WIDTH.holds(strip.width_m) {
            let what = format!("side {:?} would be {} wide", strip.name, strip.width);
            return Err((what, format!("{} work", WIDTH.range_in(unit(answers, &LENGTH)))));
        }
        let middle = LENGTH.parse(&strip.offset).map_or(0.0, |reading| reading.value);
        if middle.abs() > FURTHEST_M {
            let most = LENGTH.show(FURTHEST_M, answers.system(), 3);
            let what = format!("side {:?} would lie {} off the middle", strip.name, strip.offset);
            return Err((
                what,
                format!("{most} work at the most; go back and make sides narrower"),
            ));
        }
    }
    Ok(())
}

/// Default width of the first side.
pub(super) fn first_width(answers: &Answers) -> String {
    match (answers.system(), answers.sides()) {
        (System::Us, 1) => "13 ft",
        (System::Us, _) => "10 ft",
        (_, 1) => "4.0 m",
        _ => "3.0 m",
    }
    .to_owned()
}

/// Other sides are like the first.
pub(super) fn same_width(answers: &Answers) -> String {
    answers.text("width").to_owned()
}

/// Default number of rows of the first side.
pub(super) fn first_rows(answers: &Answers) -> String {
    match (answers.system(), answers.sides()) {
        (System::Us, 1) => "20",
        (System::Us, _) => "16",
        (_, 1) => "24",
        _ => "20",
    }
    .to_owned()
}

/// Other sides are like the first.
pub(super) fn same_rows(answers: &Answers) -> String {
    answers.text("rows").to_owned()
}

/// An outlet a row; where the rows are not known, a row every 15 cm.
pub(super) fn outlets(answers: &Answers, side: usize) -> String {
    let [_, rows, _] = KEYS[(side - 1).min(3)];
    if answers.has(rows) {
        return answers.text(rows).to_owned();
    }
    let strips = strips(answers);
    let wide = strips.get(side - 1).map_or(0.15, |strip| strip.width_m);
    format!("{:.0}", (wide / 0.15).round().max(1.0))
}
