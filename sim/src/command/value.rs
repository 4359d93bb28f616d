//! Values of options, with their units: what is wrong with one is said as of a file, and ends with the same code.

use super::Failure;
use crate::scenario::read::Wanted;
use crate::unit::Unit;

/// A value of the command line that cannot be used. The command ends with exit code 3.
#[derive(Debug, thiserror::Error)]
#[error("failed to use {option}: {what}; {remedy}")]
pub struct ValueError {
    /// The option, as it is typed: `--tare`.
    pub option: String,
    /// What is wrong, with the offending text in quotes.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

/// A quantity as an option has it, within the range that works.
pub(super) fn quantity(option: &str, text: &str, wanted: Wanted) -> Result<f64, Failure> {
    let refuse =
        |what, remedy| Failure::Value(ValueError { option: option.to_owned(), what, remedy });
    let reading = wanted.kind.parse(text).map_err(|misfit| {
        refuse(misfit.to_string(), format!("it wants {}", wanted.kind.wanted()))
    })?;
    if wanted.holds(reading.value) {
        return Ok(reading.value);
    }
    let works: Option<&Unit> = reading.unit;
    Err(refuse(
        format!("{text:?} is out of range"),
        format!("it works from {}", wanted.range_in(works)),
    ))
}

/// The same where the option may be left out.
pub(super) fn optional(
    option: &str,
    text: Option<&String>,
    wanted: Wanted,
) -> Result<Option<f64>, Failure> {
    text.map(|text| quantity(option, text, wanted)).transpose()
}

/// A value that does not go with others.
pub(super) fn refused(option: &str, what: impl Into<String>, remedy: impl Into<String>) -> Failure {
    Failure::Value(ValueError {
        option: option.to_owned(),
        what: what.into(),
        remedy: remedy.into(),
    })
}
