//! What a report is made from, and the words that several of them share.

use super::{Analysis, Draws, Parameter, Plan, Ranges};
use crate::report::words;
use crate::scenario::Bound;
use crate::unit::{LENGTH, System};
use std::fmt::Write;

/// A sweep to be shown.
#[derive(Clone, Copy, Debug)]
pub struct View<'a> {
    /// What was varied.
    pub ranges: &'a Ranges,
    /// Which cases.
    pub plan: Plan,
    /// What they say.
    pub analysis: &'a Analysis,
    /// The reader's units.
    pub system: System,
}

/// The command line that runs one case again.
pub(super) fn again(ranges: &Ranges, plan: Plan, case: u32) -> String {
    let file = ranges.file.display().to_string();
    let unquoted = |c: char| c.is_alphanumeric() || "/._-\\:".contains(c);
    let file = if file.chars().all(unquoted) { file } else { format!("'{file}'") };
    let Plan { seed, cases, .. } = plan;
    format!("meterwright sweep repeat {file} --seed {seed} --cases {cases} --case {case}")
}

/// The values of a case, a few a line.
pub(super) fn values(ranges: &Ranges, plan: Plan, case: u32, system: System) -> String {
    let draws = Draws::new(ranges, plan.seed, plan.cases);
    let mut lines = vec![String::new()];
    for (varied, value) in ranges.varied.iter().zip(draws.values(case)) {
        let Parameter { words, .. } = varied.parameter;
        let shown = format!("{words} {}", varied.parameter.show(value, system));
        let full =
            lines.last().is_some_and(|line| line.chars().count() + shown.chars().count() > 108);
        if full {
            lines.push(String::new());
        }
        if let Some(line) = lines.last_mut() {
            let _ = write!(line, "{}{shown}", if line.is_empty() { "  " } else { ", " });
        }
    }
    lines.join(",\n") + "\n"
}

/// What a figure is called, its unit left out.
pub(super) fn name(figure: &str) -> String {
    words(figure).replace(", %)", ")").replace(" (%)", "").replace(" (m)", "")
}

/// The unit in which a figure is shown.
pub(super) fn unit(figure: &str, system: System) -> &'static str {
    match figure {
        length if length.ends_with("_m") => LENGTH.preferred(system).map_or("m", |it| it.symbol()),
        share if share.ends_with("_pct") => "%",
        _ => "",
    }
}

/// A figure in the reader's unit, with the digits it is worth.
pub(super) fn number(figure: &str, value: f64, system: System) -> String {
    if !value.is_finite() {
        return "–".to_owned();
    }
    let length = figure.ends_with("_m");
    let unit = LENGTH.preferred(system).filter(|_| length);
    let value = unit.map_or(value, |unit| unit.from_own(value));
    let places = match figure {
        "tally_area_pct" | "tally_mass_pct" => 3,
        "running_cells" => 0,
        _ => 2,
    };
    let text = format!("{value:.places$}");
    // -0.00 is 0.00.
    let nothing = text.chars().all(|c| "-0.".contains(c));
    if nothing { text.trim_start_matches('-').to_owned() } else { text }
}

/// A bound in words, its number as `show` has it.
pub(super) fn bound(bound: Bound, show: &dyn Fn(f64) -> String) -> String {
    match bound {
        Bound::AtLeast(limit) => format!("at least {}", show(limit)),
        Bound::AtMost(limit) => format!("at most {}", show(limit)),
        Bound::Within(limit) => format!("within ±{}", show(limit)),
    }
}
