//! From written text to a number: `"13 ft"` is 3.9624 m.

use super::number::{Leading, leading};
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
    /// A comma, which is a point to some and a thousand to others.
    #[error("{0:?} has a comma; write 1200 or 1.2, without one")]
    Comma(String),
    /// Several parts that do not make one quantity.
    #[error(
        "{0:?} is not one quantity: each part must be in a smaller unit than the one before, and less than one of it"
    )]
    Parts(String),
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
        let spelt = text.trim().replace(" per ", "/");
        let mut rest = spelt.as_str();
        let mut sum: Option<Reading> = None;
        loop {
            let part = part(rest, text)?;
            let reading = self.reading(&part, text)?;
            rest = part.rest;
            sum = Some(match sum {
                None => reading,
                Some(before) => joined(before, reading, text)?,
            });
            if let (true, Some(sum)) = (rest.is_empty(), sum) {
                return if sum.value.is_finite() {
                    Ok(sum)
                } else {
                    Err(Misfit::NotFinite(text.to_owned()))
                };
            }
        }
    }

    /// What one part says; `text` is the whole.
    fn reading(&self, part: &Part<'_>, text: &str) -> Result<Reading, Misfit> {
        if !part.number.is_finite() {
            return Err(Misfit::NotFinite(text.to_owned()));
        }
        if part.unit.is_empty() && self.bare {
            return Ok(Reading { value: part.number, unit: None });
        }
        let unit = self.unit(part.unit).ok_or_else(|| misfit(text, part.unit))?;
        Ok(Reading { value: unit.to_own(part.number), unit: Some(unit) })
    }

    /// What would be right: `a length such as "4.0 m" or "13 ft"`.
    pub fn wanted(&self) -> String {
        format!("{} such as {}", self.name, self.example)
    }
}

/// One number with its unit, and what follows.
#[derive(Debug)]
struct Part<'a> {
    number: f64,
    unit: &'a str,
    rest: &'a str,
}

/// The part that `rest` begins with; `text` is the whole.
fn part<'a>(rest: &'a str, text: &str) -> Result<Part<'a>, Misfit> {
    let Leading { number, rest } = leading(rest).ok_or_else(|| not_a_number(text))?;
    if rest.starts_with(',') {
        return Err(Misfit::Comma(text.to_owned()));
    }
    let rest = rest.trim_start();
    // A foot or inch mark ends where it stands; another unit reaches to the number of the next part.
    let end = if rest.starts_with(MARKS) {
        rest.chars().next().map_or(0, char::len_utf8)
    } else {
        unit_length(rest)
    };
    let (unit, rest) = rest.split_at(end);
    Ok(Part { number, unit: unit.trim_end(), rest: rest.trim_start() })
}

/// Foot and inch marks.
const MARKS: [char; 4] = ['\'', '"', '′', '″'];

/// Bytes of a unit: up to a space that a number follows.
fn unit_length(text: &str) -> usize {
    let starts = |at: usize| leading(text[at..].trim_start()).is_some();
    let spaces = text.char_indices().filter(|(_, letter)| letter.is_whitespace());
    spaces.map(|(at, _)| at).find(|&at| starts(at)).unwrap_or(text.len())
}

/// Two parts of one quantity: the second in a smaller unit and never below zero.
fn joined(before: Reading, part: Reading, text: &str) -> Result<Reading, Misfit> {
    let (Some(large), Some(small)) = (before.unit, part.unit) else {
        return Err(Misfit::Parts(text.to_owned()));
    };
    let smaller = small.to_own(1.0) < large.to_own(1.0) && large.zero == 0.0 && small.zero == 0.0;
    // Twelve inches are a foot, though their product may fall short of it by the last bit.
    let whole = part.value > large.to_own(1.0 - 1e-9);
    if !smaller || part.value < 0.0 || whole {
        return Err(Misfit::Parts(text.to_owned()));
    }
    let value = if before.value.is_sign_negative() {
        before.value - part.value
    } else {
        before.value + part.value
    };
    Ok(Reading { value, unit: part.unit })
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

#[cfg(test)]
mod tests {
    use super::super::{
        ACCELERATION, ANGULAR_RATE, DISPLACEMENT, FLOW, LENGTH, MASS, MASS_PER_TURN, PER_AREA,
        PER_MASS, PRESSURE, PULSES_PER_LENGTH, RATE, RATIO, SHAFT_SPEED, SPEED, TEMPERATURE, TIME,
        TORQUE,
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
    fn the_habits_of_the_shop_are_read() {
        let cases: [(&Dimension, &str, f64); 22] = [
            (&LENGTH, "7 1/2 in", 0.1905),
            (&LENGTH, "7-1/2\"", 0.1905),
            (&LENGTH, "13'6\"", 4.1148),
            (&LENGTH, "13' 6 1/2\"", 4.1275),
            (&LENGTH, "13 ft 6 in", 4.1148),
            (&LENGTH, "-1 ft 6 in", -0.4572),
            (&LENGTH, "5 feet", 1.524),
            (&MASS, "3 lb 4 oz", 1.474_175_202_5),
            (&MASS, "3 lbs", 1.360_777_11),
            (&MASS, "2½ lb", 1.133_980_925),
            (&TIME, "1 min 30 s", 90.0),
            (&RATE, "20 lb per acre", 22.417_023_123_9),
            (&FLOW, "3 gpm", 3.0 * 3.785_411_784e-3 / 60.0),
            (&FLOW, "12 L/min", 2e-4),
            (&PRESSURE, "2300 psi", 2300.0 * 6_894.757_293_168),
            (&TORQUE, "350 lb-in", 350.0 * 0.112_984_829_027_6),
            (&DISPLACEMENT, "6.1 in3", 6.1 * 1.638_706_4e-5),
            (&DISPLACEMENT, "100 cu in", 100.0 * 1.638_706_4e-5),
            (&TEMPERATURE, "104 °F", 40.0),
            (&TEMPERATURE, "14 F", -10.0),
            (&PER_AREA, "26 plants/ft2", 26.0 / 0.092_903_04),
            (&PER_MASS, "200000 seeds/lb", 440_924.524_369),
        ];
        for (kind, text, want) in cases {
            let have = kind.parse(text).map(|reading| reading.value);
            let near = have.as_ref().is_ok_and(|have| (have / want - 1.0).abs() < 1e-9);
            assert!(near, "{text}: have {have:?}, want {want}");
        }
    }

    #[test]
    fn parts_that_make_no_quantity_are_refused() {
        for text in [
            "6 in 13 ft",
            "4 m 4 m",
            "13 ft 12 in",
            "13 ft -6 in",
            "13 ft 6 kg",
            "4 m 5",
            "1,200 m",
            "1/0 m",
        ] {
            assert!(LENGTH.parse(text).is_err(), "{text}: {:?}", LENGTH.parse(text));
        }
        assert!(TEMPERATURE.parse("40 °C 3 °F").is_err());
        assert_eq!(
            LENGTH.parse("1,200 m").unwrap_err().to_string(),
            r#""1,200 m" has a comma; write 1200 or 1.2, without one"#
        );
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
