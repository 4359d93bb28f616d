//! From a number to text that a person reads: 3.9624 m is `13 ft`.

use super::{Dimension, System, Unit};

impl Dimension {
    /// Shows `own` (in the bench's own unit) in the unit that people of `system` like, with
    /// `digits` significant digits at most.
    pub fn show(&self, own: f64, system: System, digits: usize) -> String {
        self.preferred(system).map_or_else(|| short(own, digits), |unit| unit.show(own, digits))
    }

    /// Shows `own` in the unit that people of `system` like, with so many decimals.
    pub fn fixed(&self, own: f64, system: System, decimals: usize) -> String {
        self.preferred(system).map_or_else(
            || format!("{own:.decimals$}"),
            |unit| format!("{:.decimals$} {}", unit.from_own(own), unit.symbol()),
        )
    }

    /// Shows an upper limit: like [`Dimension::show`], but never rounded up.
    pub fn show_at_most(&self, own: f64, system: System, digits: usize) -> String {
        self.preferred(system).map_or_else(
            || short(rounded(own, digits, libm::floor), digits),
            |unit| {
                let number = rounded(unit.from_own(own), digits, libm::floor);
                format!("{} {}", short(number, digits), unit.symbol())
            },
        )
    }

    /// Shows a lower limit: never rounded down.
    pub fn show_at_least(&self, own: f64, system: System, digits: usize) -> String {
        self.preferred(system).map_or_else(
            || short(rounded(own, digits, libm::ceil), digits),
            |unit| {
                let number = rounded(unit.from_own(own), digits, libm::ceil);
                format!("{} {}", short(number, digits), unit.symbol())
            },
        )
    }

    /// Writes `own` so that [`Dimension::parse`] reads the same number back: in the unit of size
    /// one, with every digit it needs.
    pub fn write(&self, own: f64) -> String {
        #[expect(clippy::float_cmp, reason = "the factors are exact")]
        let same = self.units.iter().find(|unit| unit.numerator == unit.denominator);
        same.map_or_else(|| format!("{own}"), |unit| format!("{own} {}", unit.symbol()))
    }
}

impl Unit {
    /// Shows `own` (in the bench's own unit) in this unit, with `digits` significant digits at most.
    pub fn show(&self, own: f64, digits: usize) -> String {
        format!("{} {}", short(self.from_own(own), digits), self.symbol())
    }
}

/// To so many significant digits, towards one side; what is as good as whole stays.
fn rounded(number: f64, digits: usize, towards: fn(f64) -> f64) -> f64 {
    if number == 0.0 || !number.is_finite() {
        return number;
    }
    #[expect(clippy::cast_precision_loss, reason = "a handful of digits")]
    let places = digits as f64 - 1.0 - libm::floor(libm::log10(number.abs()));
    let scale = libm::pow(10.0, places);
    let near = libm::round(number * scale);
    if (number * scale - near).abs() < 1e-9 * near.abs() {
        return near / scale;
    }
    towards(number * scale) / scale
}

/// At most `digits` significant digits, no trailing zeros; whole digits are never dropped.
fn short(number: f64, digits: usize) -> String {
    if number == 0.0 || !number.is_finite() {
        return format!("{number}");
    }
    #[expect(clippy::cast_possible_truncation, reason = "a decimal exponent is within ±324")]
    let whole = libm::floor(libm::log10(number.abs())) as i64 + 1;
    let digits = i64::try_from(digits).unwrap_or(i64::MAX);
    let places = usize::try_from(digits.saturating_sub(whole).clamp(0, 15)).unwrap_or_default();
    let text = format!("{number:.places$}");
    if text.contains('.') {
        return text.trim_end_matches('0').trim_end_matches('.').to_owned();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::{LENGTH, MASS_PER_TURN, RATE, RATIO, SHAFT_SPEED, SPEED};
    use super::*;

    #[test]
    fn a_quantity_is_shown_in_the_units_of_its_reader() {
        assert_eq!(LENGTH.show(3.9624, System::Us, 4), "13 ft");
        assert_eq!(LENGTH.show(3.9624, System::Metric, 3), "3.96 m");
        assert_eq!(RATE.show(110.0, System::Us, 3), "98.1 lb/ac");
        assert_eq!(SPEED.show(2.2352, System::Us, 3), "5 mph");
        assert_eq!(SHAFT_SPEED.show(1.65, System::Us, 3), "1.65 turns/s");
        assert_eq!(RATIO.show(0.004, System::Both, 3), "0.4 %");
        assert_eq!(LENGTH.show(12345.6, System::Metric, 2), "12346 m");
        assert_eq!(LENGTH.show(0.0, System::Metric, 2), "0 m");
    }

    #[test]
    fn a_limit_is_never_shown_beyond_itself() {
        use super::super::PRESSURE;
        let relief = 98.175e5;
        assert_eq!(PRESSURE.show_at_most(relief, System::Metric, 3), "98.1 bar");
        assert_eq!(PRESSURE.show_at_most(relief, System::Us, 4), "1423 psi");
        assert_eq!(SPEED.show_at_least(0.227_27, System::Metric, 3), "0.228 m/s");
        assert_eq!(SPEED.show_at_least(4.5, System::Metric, 3), "4.5 m/s");
        assert_eq!(SPEED.show_at_most(4.5, System::Metric, 3), "4.5 m/s");
    }

    proptest::proptest! {
        #[test]
        fn what_is_shown_is_read_back_and_shown_the_same(
            kind in 0..super::super::ALL.len(),
            us in proptest::bool::ANY,
            digits in 2..=6_usize,
            mantissa in 1.0..10.0_f64,
            exponent in -5..=6_i32,
        ) {
            let kind = super::super::ALL[kind];
            let system = if us { System::Us } else { System::Metric };
            let own = mantissa * 10.0_f64.powi(exponent);
            let shown = kind.show(own, system, digits);
            let read = kind.parse(&shown).map(|reading| reading.value);
            let again = read.map(|own| kind.show(own, system, digits));
            proptest::prop_assert_eq!(again, Ok(shown));
        }
    }

    #[test]
    fn what_is_written_is_read_back_to_the_bit() {
        for own in [0.1, 1.0 / 3.0, 123.456_789_012_345_67, 2.0e-7] {
            for kind in [&LENGTH, &RATE, &MASS_PER_TURN, &RATIO, &SPEED] {
                let text = kind.write(own);
                let back = kind.parse(&text).map(|reading| reading.value.to_bits());
                assert_eq!(back, Ok(own.to_bits()), "{text}");
            }
        }
    }
}
