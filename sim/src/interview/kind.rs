//! What may be answered to a question, and how it is understood.

use super::question::Wrong;
use crate::input::{nearest, steers};
use crate::scenario::read::Wanted;
use crate::unit::System;
use std::ops::RangeInclusive;

/// What may be answered.
#[derive(Clone, Debug)]
pub(super) enum Kind {
    /// A line of text.
    Line,
    /// A whole number.
    Whole(RangeInclusive<u64>),
    /// A plain number.
    Number(RangeInclusive<f64>),
    /// A quantity with its unit.
    Quantity(Wanted),
    /// One of a few words, each with its meaning.
    Word(&'static [(&'static str, &'static str)]),
    /// Yes or no.
    YesNo,
}

/// Longest line of text, characters.
const LONGEST: usize = 80;

impl Kind {
    /// The answer as it is kept, or what is wrong with it.
    pub(super) fn understood(&self, text: &str) -> Result<String, Wrong> {
        let text = text.trim();
        match self {
            Self::Line => line(text),
            Self::Whole(range) => {
                let fits = text.parse::<u64>().ok().filter(|number| range.contains(number));
                fits.map(|number| number.to_string()).ok_or_else(|| self.refused(text))
            }
            Self::Number(range) => {
                let fits = text.parse::<f64>().ok().filter(|number| range.contains(number));
                fits.map(|number| number.to_string()).ok_or_else(|| self.refused(text))
            }
            Self::Quantity(wanted) => quantity(text, *wanted),
            Self::Word(words) => {
                let word = words.iter().map(|(word, _)| *word).find(|word| *word == text);
                let numbered = || text.parse::<usize>().ok()?.checked_sub(1);
                let word = word.or_else(|| words.get(numbered()?).map(|(word, _)| *word));
                word.map(str::to_owned).ok_or_else(|| self.refused(text))
            }
            Self::YesNo => match text.to_lowercase().as_str() {
                "y" | "yes" | "true" => Ok("yes".to_owned()),
                "n" | "no" | "false" => Ok("no".to_owned()),
                _ => Err(self.refused(text)),
            },
        }
    }

    /// The number that an understood answer is, in the bench's own unit.
    pub(super) fn number(&self, text: &str) -> Option<f64> {
        match self {
            Self::Quantity(wanted) => wanted.kind.parse(text).ok().map(|reading| reading.value),
            Self::Whole(_) | Self::Number(_) => text.parse().ok(),
            Self::Line | Self::Word(_) | Self::YesNo => None,
        }
    }

    /// What it wants, in words.
    pub(super) fn wanted(&self) -> String {
        match self {
            Self::Line => format!("a line of text, {LONGEST} characters at most"),
            Self::Whole(range) => format!("a whole number, {} to {}", range.start(), range.end()),
            Self::Number(range) => format!("a plain number, {} to {}", range.start(), range.end()),
            Self::Quantity(wanted) => wanted.kind.wanted(),
            Self::Word(words) => {
                let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                format!("one of {}", words.join(", "))
            }
            Self::YesNo => "yes or no".to_owned(),
        }
    }

    /// The range of a quantity, in the units of a person; empty for what has none, or says it already.
    pub(super) fn range(&self, system: System) -> String {
        match self {
            Self::Quantity(wanted) => {
                format!(", {}", wanted.range_in(wanted.kind.preferred(system)))
            }
            Self::Line | Self::Whole(_) | Self::Number(_) | Self::Word(_) | Self::YesNo => {
                String::new()
            }
        }
    }

    /// The answer is not what is wanted.
    fn refused(&self, text: &str) -> Wrong {
        let near = match self {
            Self::Word(words) => {
                let words: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
                nearest(text, &words).map(|near| format!(" (did you mean {near}?)"))
            }
            _ => None,
        };
        let remedy = format!("it wants {}{}", self.wanted(), near.unwrap_or_default());
        (format!("{text:?} does not fit"), remedy)
    }
}

/// A line of text: neither empty nor with characters that steer what is shown.
fn line(text: &str) -> Result<String, Wrong> {
    let refuse = |what: &str| {
        Err((what.to_owned(), format!("it wants a line of text, {LONGEST} characters at most")))
    };
    if text.is_empty() {
        return refuse("the text is empty");
    }
    if text.contains(steers) {
        return refuse("the text has a control character");
    }
    if text.chars().count() > LONGEST {
        return refuse("the text is too long");
    }
    Ok(text.to_owned())
}

/// A quantity as it was written, within its range.
fn quantity(text: &str, wanted: Wanted) -> Result<String, Wrong> {
    let reading = wanted
        .kind
        .parse(text)
        .map_err(|misfit| (misfit.to_string(), format!("it wants {}", wanted.kind.wanted())))?;
    if wanted.holds(reading.value) {
        return Ok(text.to_owned());
    }
    let remedy = format!("it works from {}", wanted.range_in(reading.unit));
    Err((format!("{text:?} is out of range"), remedy))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::read::ranges::WIDTH;

    #[test]
    fn a_quantity_stays_as_the_person_wrote_it() {
        let width = Kind::Quantity(WIDTH);
        for text in ["13'6\"", "7 1/2 in", " 4.0 m ", "13 ft 6 in"] {
            assert_eq!(width.understood(text), Ok(text.trim().to_owned()));
        }
        assert!(width.understood("4").is_err_and(|(what, _)| what.contains("no unit")));
        assert!(width.understood("99 ft").is_err_and(|(_, remedy)| remedy.contains("ft")));
    }

    #[test]
    fn a_word_may_be_chosen_by_its_number_and_a_slip_is_helped() {
        let kind = Kind::Word(&[("pulses", "a"), ("gnss", "b")]);
        assert_eq!(kind.understood("2"), Ok("gnss".to_owned()));
        assert!(kind.understood("pulse").is_err_and(|(_, remedy)| remedy.contains("pulses?")));
        assert!(kind.understood("0").is_err() && kind.understood("3").is_err());
    }

    #[test]
    fn text_with_control_characters_is_refused() {
        assert!(Kind::Line.understood("a\u{7}b").is_err());
        assert!(Kind::Line.understood("a\u{202E}b").is_err());
        assert!(Kind::Line.understood("  ").is_err());
        assert_eq!(
            Kind::Line.understood(r#"the "old" \ drill"#).as_deref(),
            Ok(r#"the "old" \ drill"#)
        );
    }
}
