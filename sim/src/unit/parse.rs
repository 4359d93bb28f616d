//! From written text to a number: `"13 ft"` is 3.9624 m.

use super::table::ALL;
use super::{Dimension, Unit};
use thiserror::Error;

/// A quantity that was read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Value in the bench's own unit.
    pub value: f64,
    /// The unit it was written in; none for a bare number.
    pub unit: Option<&'static Unit>,
}

/// Why a text is not the quantity that is wanted. Completes “failed to …: ”.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum Misfit {
    /// No number at the front.
    #[error("{0:?} is not a number with a unit")]
    NotANumber(String),
    /// NaN, infinity, or too large for a number.
    #[error("{0:?} is not a finite number")]
    NotFinite(String),
    /// A number without unit.
    #[error("{0:?} has no unit")]
    NoUnit(String),
    /// The unit measures something else.
    #[error("{0:?} is {1}")]
    OtherKind(String, &'static str),
    /// A unit that is not in the table.
    #[error("{0:?} has a unit that is not known, {1:?}")]
    UnknownUnit(String, String),
}

impl Dimension {
    /// Reads a quantity of this kind.
    ///
    /// # Errors
    ///
    /// [`Misfit`] says what the text is instead.
    pub fn parse(&self, text: &str) -> Result<Reading, Misfit> {
        let trimmed = text.trim();
        let (number, unit) = trimmed.split_at(number_length(trimmed));
        let unit = unit.trim();
        let Ok(number) = number.parse::<f64>() else { return Err(not_a_number(text)) };
        if !number.is_finite() {
            return Err(Misfit::NotFinite(text.to_owned()));
        }
        if unit.is_empty() && self.bare {
            return Ok(Reading { value: number, unit: None });
        }
        let unit = self.unit(unit).ok_or_else(|| misfit(text, unit))?;
        let value = unit.to_own(number);
        let finite = value.is_finite().then_some(Reading { value, unit: Some(unit) });
        finite.ok_or_else(|| Misfit::NotFinite(text.to_owned()))
    }

    /// What would be right: `a length such as "4.0 m" or "13 ft"`.
    pub fn wanted(&self) -> String {
        format!("{} such as {}", self.name, self.example)
    }
}

/// What the number with this `unit` is, since it is not of the kind that is wanted.
fn misfit(text: &str, unit: &str) -> Misfit {
    if unit.is_empty() {
        return Misfit::NoUnit(text.to_owned());
    }
    ALL.iter().find(|kind| kind.unit(unit).is_some()).map_or_else(
        || Misfit::UnknownUnit(text.to_owned(), unit.to_owned()),
        |kind| Misfit::OtherKind(text.to_owned(), kind.name),
    )
}

/// Text without a number in front; words for NaN and infinity are told apart.
fn not_a_number(text: &str) -> Misfit {
    let word = text.split_whitespace().next().unwrap_or_default();
    match word.parse::<f64>() {
        Ok(_) => Misfit::NotFinite(text.to_owned()),
        Err(_) => Misfit::NotANumber(text.to_owned()),
    }
}

/// Bytes of the decimal number that `text` begins with: sign, digits, point, exponent.
fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |from: usize| bytes[from..].iter().take_while(|b| b.is_ascii_digit()).count();
    let sign = |at: usize| usize::from(matches!(bytes.get(at), Some(b'+' | b'-')));
    let mut end = sign(0);
    end += digits(end);
    if bytes.get(end) == Some(&b'.') {
        end += 1 + digits(end + 1);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let from = end + 1 + sign(end + 1);
        let count = digits(from.min(bytes.len()));
        if count > 0 {
            end = from + count;
        }
    }
    end
}

#[cfg(test)]
mod tests {
    use super::super::{
        ACCELERATION, ANGULAR_RATE, LENGTH, MASS_PER_TURN, PULSES_PER_LENGTH, RATE, RATIO,
        SHAFT_SPEED, SPEED, TIME,
    };
    use super::*;

    /// Factors of NIST SP 811 (2008) B.8, multiplied out by hand.
    #[test]
    fn written_quantities_have_their_exact_size() {
        let cases: [(&Dimension, &str, f64); 20] = [
            (&LENGTH, "4.0 m", 4.0),
            (&LENGTH, "13 ft", 3.9624),
            (&LENGTH, "180 in", 4.572),
            (&RATE, "110 kg/ha", 110.0),
            (&RATE, "20 lb/ac", 22.417_023_123_9),
            (&RATE, "11 g/m2", 110.0),
            (&SPEED, "5 mph", 2.2352),
            (&SPEED, "8 km/h", 2.222_222_222),
            (&TIME, "350 ms", 0.35),
            (&MASS_PER_TURN, "0.12 kg/turn", 0.12),
            (&MASS_PER_TURN, "120 g", 0.12),
            (&MASS_PER_TURN, "4.2 oz", 0.119_067_997_125),
            (&SHAFT_SPEED, "99 rpm", 1.65),
            (&SHAFT_SPEED, "99 turns/min", 1.65),
            (&PULSES_PER_LENGTH, "40 /ft", 131.233_595_8),
            (&RATIO, "0.4 %", 0.004),
            (&RATIO, "0.9", 0.9),
            (&ANGULAR_RATE, "0.9 rad/s", 0.9),
            (&ACCELERATION, "0.5m/s2", 0.5),
            (&LENGTH, " -1.5e2 cm ", -1.5),
        ];
        for (kind, text, want) in cases {
            let have = kind.parse(text).map(|reading| reading.value);
            let near = have.as_ref().is_ok_and(|have| (have / want - 1.0).abs() < 1e-9);
            assert!(near, "{text}: have {have:?}, want {want}");
        }
    }

    #[test]
    fn a_misfit_says_what_the_text_is() {
        let cases = [
            ("4.0 kg", r#""4.0 kg" is a mass"#),
            ("4.0", r#""4.0" has no unit"#),
            ("four m", r#""four m" is not a number with a unit"#),
            ("nan m", r#""nan m" is not a finite number"#),
            ("1e999 m", r#""1e999 m" is not a finite number"#),
            ("4 furlongs", r#""4 furlongs" has a unit that is not known, "furlongs""#),
            ("", r#""" is not a number with a unit"#),
        ];
        for (text, want) in cases {
            assert_eq!(LENGTH.parse(text).unwrap_err().to_string(), want);
        }
    }
}
