//! What the scenarios were run with: each set-up of drill, seed lot and speed source once.

use super::number::count;
use crate::report::Judged;
use crate::unit::System;
use crate::verdict::Verdict;

/// The different set-ups, in order of appearance.
#[derive(Debug)]
pub(super) struct Setups<'a> {
    found: Vec<&'a Verdict>,
    system: System,
}

impl<'a> Setups<'a> {
    /// Those of `judged`.
    pub(super) fn of(judged: &'a [Judged], system: System) -> Self {
        let mut found: Vec<&Verdict> = Vec::new();
        for Judged { verdict, .. } in judged {
            if !found.iter().any(|it| same(it, verdict)) {
                found.push(verdict);
            }
        }
        Self { found, system }
    }

    /// Letter of a verdict's set-up.
    pub(super) fn letter(&self, verdict: &Verdict) -> String {
        self.found.iter().position(|it| same(it, verdict)).map(letter).unwrap_or_default()
    }

    /// The list of set-ups.
    pub(super) fn text(&self) -> String {
        let mut text = "Set-ups, each with the fingerprint of its settings\n".to_owned();
        for (index, verdict) in self.found.iter().enumerate() {
            text.push_str(&line(index, verdict, self.system));
        }
        text
    }
}

fn line(index: usize, verdict: &Verdict, system: System) -> String {
    let Verdict { drill, numbers, seed_lot, fingerprint, runs, demo, .. } = verdict;
    let (source, _) = verdict.words(system);
    let worst = if *runs > 1 {
        format!(", worst of {}", count(*runs, "noise seed"))
    } else {
        String::new()
    };
    let demo = if *demo { "  (demo)" } else { "" };
    format!(
        "  {:<2} {fingerprint}  {drill}, {numbers} | {seed_lot} | speed from {source}{worst}{demo}\n",
        letter(index)
    )
}

/// Whether two scenarios were run with the same set-up.
fn same(one: &Verdict, other: &Verdict) -> bool {
    let parts = |it: &'_ Verdict| {
        let drill = (it.drill.clone(), it.numbers.clone());
        (drill, it.seed_lot.clone(), it.source.clone(), it.fingerprint.clone(), it.runs, it.demo)
    };
    parts(one) == parts(other)
}

/// A to Z, then 27, 28, ...
fn letter(index: usize) -> String {
    u8::try_from(index)
        .ok()
        .filter(|&index| index < 26)
        .map_or_else(|| (index + 1).to_string(), |index| char::from(b'A' + index).to_string())
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::{missing, passing};
    use super::*;

    #[test]
    fn a_set_up_is_listed_once_and_rows_refer_to_it() {
        let judged = [passing("a"), missing("b"), passing("c")];
        let setups = Setups::of(&judged, System::Metric);
        let letters: Vec<_> = judged.iter().map(|it| setups.letter(&it.verdict)).collect();
        assert_eq!(letters, ["A", "B", "A"]);
        assert!(setups.text().contains("worst of 20 noise seeds"));
        assert_eq!(setups.text().lines().count(), 3);
    }
}
