//! Answers as a file: read in place of the keyboard, and written so that they can be given again.
//!
//! TOML of `key = value`; a key is that of its question. What was left at its default stands in the file as a comment.

use super::answers::{Answers, Refusal};
use super::compose::quoted;
use super::kind::Kind;
use super::questions::PARTS;
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::read::{Entry, Section, parse};
use crate::unit::System;
use std::fmt::Write as _;
use toml_edit::Value;

/// Takes the answers of a file; what it does not answer is left at its default.
///
/// # Errors
///
/// [`InputError`] says which line cannot be used, and what would be right.
pub fn from_file(file: &InputFile, system: System) -> Result<Answers, InputError> {
    let document = parse(file)?;
    let keys: Vec<&'static str> =
        PARTS.iter().flat_map(|part| part.questions).map(|question| question.key).collect();
    let root = Section::root(file, &document, &keys)?;
    let mut answers = Answers::new(system);
    while let Some(question) = answers.next() {
        let Some(entry) = root.find(question.key)? else {
            answers.take_usual(question).map_err(|Refusal { what, remedy }| {
                let what = format!("{} is left at its default: {what}", question.key);
                root.complain(Trouble::OutOfRange, what, remedy)
            })?;
            continue;
        };
        answers.give(question, &text(&entry)?).map_err(|Refusal { what, remedy }| {
            let what = format!("{}: {what}", question.key);
            entry.complain(Trouble::OutOfRange, what, remedy)
        })?;
    }
    for key in keys.into_iter().filter(|key| !answers.has(key)) {
        if let Some(entry) = root.find(key)? {
            let what = format!("{key} is not asked after the other answers");
            let remedy = "drop the line, or change the answer that it belongs to".to_owned();
            return Err(entry.complain(Trouble::WrongForm, what, remedy));
        }
    }
    Ok(answers)
}

/// Takes every default.
///
/// # Errors
///
/// [`Refusal`] if a default did not go with the others.
pub fn from_defaults(system: System) -> Result<Answers, Refusal> {
    let mut answers = Answers::new(system);
    while let Some(question) = answers.next() {
        answers.take_usual(question)?;
    }
    Ok(answers)
}

/// What a person would have typed for a value.
fn text(entry: &Entry<'_>) -> Result<String, InputError> {
    match entry.value {
        Value::String(text) => Ok(text.value().to_owned()),
        Value::Integer(number) => Ok(number.value().to_string()),
        Value::Float(number) => Ok(number.value().to_string()),
        Value::Boolean(flag) => Ok(flag.value().to_string()),
        Value::Datetime(_) | Value::Array(_) | Value::InlineTable(_) => {
            Err(entry.wants(Trouble::WrongForm, "a text in quotes, a number, true or false"))
        }
    }
}

/// The answers as a file.
pub fn to_toml(answers: &Answers) -> String {
    let mut text = "# Answers for `meterwright new --answers`. A line that begins with # was left at its default: change \
                    it and\n# take the # away to answer it.\n"
        .to_owned();
    let mut title = "";
    for (question, answer, usual) in answers.each() {
        let part = PARTS.iter().find(|part| part.questions.iter().any(|it| it.key == question.key));
        if let Some(part) = part
            && part.title != title
        {
            title = part.title;
            let _ = writeln!(text, "\n# -- {title} --");
        }
        // The units decide what the defaults are, and are always told.
        let mark = if usual && question.key != "units" { "# " } else { "" };
        let value = match question.kind {
            Kind::Whole(_) | Kind::Number(_) => answer.to_owned(),
            Kind::YesNo => (answer == "yes").to_string(),
            Kind::Line | Kind::Quantity(_) | Kind::Word(_) => quoted(answer),
        };
        let _ = writeln!(text, "# {}\n{mark}{} = {value}", question.line(answers), question.key);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::path::Path;

    fn read(text: &str) -> Result<Answers, InputError> {
        let file = InputFile::from_bytes(Path::new("answers.toml"), text.into()).unwrap();
        from_file(&file, System::Metric)
    }

    #[test]
    fn answers_are_read_back_as_they_were_written() {
        let text = "units = \"us\"\nname = 'the \"old\" \\ one'\nsides = 2\nwidth = \"13'6\\\"\"\nhydraulics = true\n";
        let answers = read(text).unwrap();
        let written = to_toml(&answers);
        let again = read(&written).unwrap();
        assert_eq!(written, to_toml(&again));
        assert_eq!(answers.counts(), again.counts());
        assert_eq!(again.text("width_2"), "13'6\"");
    }

    #[test]
    fn a_wrong_line_is_named_with_its_place() {
        for (text, place, says) in [
            ("sides = 2\nwidht = \"4 m\"\n", (2, 1), "did you mean width"),
            ("name = \"a\"\nwidth = \"4 kg\"\n", (2, 9), "is a mass"),
            ("sides = 9\n", (1, 9), "1 to 4"),
            ("rows = 24\n", (1, 8), "not asked"),
            ("width_2 = \"4 m\"\n", (1, 11), "not asked"),
            ("name = [1]\n", (1, 8), "a text in quotes"),
        ] {
            let error = read(text).unwrap_err();
            assert_eq!((error.line(), error.column()), (Some(place.0), Some(place.1)), "{error}");
            assert!(error.to_string().contains(says), "{error}");
        }
    }
}
