//! A value of a file with its key and its place.

use super::wanted::Wanted;
use crate::input::{InputError, InputFile, Trouble, nearest, steers};
use crate::scenario::is_day;
use crate::unit::{Misfit, Reading};
use std::ops::RangeInclusive;
use toml_edit::Value;

/// A value, the key it stands under and where it stands.
#[derive(Clone, Copy)]
pub(crate) struct Entry<'a> {
    /// The file it stands in.
    pub(crate) file: &'a InputFile,
    /// Key, as it is called in a complaint.
    pub(crate) key: &'static str,
    /// The value.
    pub(crate) value: &'a Value,
    /// First byte of it.
    pub(crate) at: usize,
}

impl<'a> Entry<'a> {
    /// A line of text that is not empty.
    pub(crate) fn text(&self) -> Result<&'a str, InputError> {
        let fit = |text: &&str| !text.trim().is_empty() && !text.contains(steers);
        let text = self.value.as_str().filter(fit);
        text.ok_or_else(|| self.wants(Trouble::WrongForm, "a line of text in quotes"))
    }

    /// A day: year, month and day as ISO 8601 has them.
    pub(crate) fn day(&self) -> Result<&'a str, InputError> {
        let text = self.text()?;
        let wants = || self.wants(Trouble::WrongForm, DAY);
        is_day(text).then_some(text).ok_or_else(wants)
    }

    /// `true` or `false`.
    pub(crate) fn flag(&self) -> Result<bool, InputError> {
        self.value.as_bool().ok_or_else(|| self.wants(Trouble::WrongForm, "true or false"))
    }

    /// One of a few words.
    pub(crate) fn choice<T: Copy>(&self, choices: &[(&str, T)]) -> Result<T, InputError> {
        let word = self.text()?;
        let found = choices.iter().find(|(name, _)| *name == word);
        found.map(|&(_, choice)| choice).ok_or_else(|| {
            let names: Vec<&str> = choices.iter().map(|(name, _)| *name).collect();
            let near = nearest(word, &names).map(|near| format!(" (did you mean {near:?}?)"));
            let list =
                names.iter().map(|name| format!("{name:?}")).collect::<Vec<_>>().join(" or ");
            self.wants(Trouble::WrongForm, &(list + &near.unwrap_or_default()))
        })
    }

    /// A whole number in `range`.
    pub(crate) fn whole(&self, range: RangeInclusive<u64>) -> Result<u64, InputError> {
        let (low, high) = (range.start(), range.end());
        let wanted = format!("a whole number, {low} to {high}");
        let number = match self.value {
            Value::Integer(number) => *number.value(),
            Value::Float(_) => return Err(self.wants(Trouble::OutOfRange, &wanted)),
            _ => return Err(self.wants(Trouble::NotANumber, &wanted)),
        };
        let number = u64::try_from(number).ok().filter(|number| range.contains(number));
        number.ok_or_else(|| self.wants(Trouble::OutOfRange, &wanted))
    }

    /// A plain number without unit, finite.
    pub(crate) fn number(&self) -> Result<f64, InputError> {
        let number = bare(self.value).filter(|number| number.is_finite());
        number.ok_or_else(|| self.wants(Trouble::NotANumber, "a plain number such as 99.4"))
    }

    /// A quantity with its unit.
    pub(crate) fn quantity(&self, wanted: Wanted) -> Result<f64, InputError> {
        let Reading { value, unit } = self.reading(wanted)?;
        if wanted.holds(value) {
            return Ok(value);
        }
        let what = format!("{} is out of range", self.shown());
        let remedy = format!("{} works from {}", self.key, wanted.range_in(unit));
        Err(self.complain(Trouble::OutOfRange, what, remedy))
    }

    /// The elements of a list, as many as `count` allows.
    pub(crate) fn list(&self, count: RangeInclusive<usize>) -> Result<Vec<Self>, InputError> {
        let wanted = || format!("a list of {} to {} in [ ]", count.start(), count.end());
        let Some(array) = self.value.as_array() else {
            return Err(self.wants(Trouble::WrongForm, &wanted()));
        };
        if !count.contains(&array.len()) {
            let what = format!("{} has {} entries", self.key, array.len());
            let remedy = format!("it wants {}", wanted());
            return Err(self.complain(Trouble::OutOfRange, what, remedy));
        }
        let place = |value: &Value| value.span().map_or(self.at, |span| span.start);
        Ok(array.iter().map(|value| Self { value, at: place(value), ..*self }).collect())
    }

    /// A complaint about this value.
    pub(crate) fn complain(&self, trouble: Trouble, what: String, remedy: String) -> InputError {
        self.file.complain(self.at, trouble, what, remedy)
    }

    /// The value as the file has it, in quotes of its own or as it stands.
    pub(crate) fn shown(&self) -> String {
        let span = self.value.span().unwrap_or_default();
        let text = self.file.text().get(span).unwrap_or_default();
        match text.char_indices().nth(40) {
            Some((end, _)) => format!("{} …", &text[..end]),
            None => text.to_owned(),
        }
    }

    /// The value is not what the key wants.
    pub(crate) fn wants(&self, trouble: Trouble, wanted: &str) -> InputError {
        let what = format!("{} does not fit", self.shown());
        self.complain(trouble, what, format!("{} wants {wanted}", self.key))
    }

    /// The quantity as written, whatever its size.
    fn reading(&self, wanted: Wanted) -> Result<Reading, InputError> {
        let misfit = match (self.value.as_str(), bare(self.value)) {
            (Some(text), _) => match wanted.kind.parse(text) {
                Ok(reading) => return Ok(reading),
                Err(misfit) => misfit,
            },
            (None, Some(value)) if !value.is_finite() => Misfit::NotFinite(self.shown()),
            (None, Some(value)) if wanted.kind.bare => return Ok(Reading { value, unit: None }),
            (None, Some(_)) => Misfit::NoUnit(self.shown()),
            (None, None) => Misfit::NotANumber(self.shown()),
        };
        let trouble = match misfit {
            Misfit::NotANumber(_) | Misfit::NotFinite(_) | Misfit::Comma(_) | Misfit::Parts(_) => {
                Trouble::NotANumber
            }
            Misfit::NoUnit(_) | Misfit::OtherKind(..) | Misfit::UnknownUnit(..) => {
                Trouble::WrongUnit
            }
        };
        let remedy = format!("{} wants {}", self.key, wanted.kind.wanted());
        Err(self.complain(trouble, misfit.to_string(), remedy))
    }
}

/// How a day is written.
pub(crate) const DAY: &str = "a day such as 2026-04-02";

/// A number of TOML without unit.
#[expect(clippy::cast_precision_loss, reason = "every range ends far below 2^53")]
fn bare(value: &Value) -> Option<f64> {
    value.as_float().or_else(|| value.as_integer().map(|whole| whole as f64))
}
