//! Notes of the verdicts: each said once, with the scenarios it belongs to.

use crate::report::Judged;
use crate::unit::System;

/// Widest line of running text.
const WIDTH: usize = 120;

/// The list of notes; nothing when there are none.
pub(super) fn text(judged: &[Judged], system: System) -> Option<String> {
    let mut notes: Vec<(&str, Vec<&str>)> = Vec::new();
    for Judged { verdict, .. } in judged {
        for note in verdict.words(system).1 {
            match notes.iter_mut().find(|(known, _)| known == note) {
                Some((_, scenarios)) => scenarios.push(&verdict.scenario),
                None => notes.push((note, vec![&verdict.scenario])),
            }
        }
    }
    let mut text = "Notes\n".to_owned();
    for (note, scenarios) in &notes {
        let whom = match scenarios.len() {
            count if count == judged.len() => "all".to_owned(),
            _ => scenarios.join(", "),
        };
        text.push_str(&wrapped(&format!("{note} [{whom}]")));
    }
    (!notes.is_empty()).then_some(text)
}

/// Broken between words, the first line marked, the others indented.
fn wrapped(note: &str) -> String {
    let mut lines: Vec<String> = vec!["  -".to_owned()];
    for word in note.split_whitespace() {
        let full = lines
            .last()
            .is_some_and(|line| line.chars().count() + 1 + word.chars().count() > WIDTH);
        if full {
            lines.push("   ".to_owned());
        }
        if let Some(line) = lines.last_mut() {
            line.push(' ');
            line.push_str(word);
        }
    }
    lines.join("\n") + "\n"
}

#[cfg(test)]
mod tests {
    use super::super::super::sample::passing;
    use super::*;

    #[test]
    fn a_note_of_all_scenarios_says_so_and_long_ones_are_wrapped() {
        let mut judged = [passing("a"), passing("b")];
        judged[1].verdict.notes.push("word ".repeat(60));
        let text = text(&judged, System::Metric).expect("there are notes");
        assert!(text.contains("at first [all]"), "{text}");
        assert!(text.contains("word [b]"), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= WIDTH), "{text}");
    }

    #[test]
    fn nothing_is_said_where_there_is_nothing_to_note() {
        let mut judged = [passing("a")];
        judged[0].verdict.notes.clear();
        assert_eq!(text(&judged, System::Metric), None);
    }
}
