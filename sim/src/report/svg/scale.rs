//! From numbers to pixels, and round numbers for an axis.

/// A straight map from a range of numbers to a range of pixels.
#[derive(Clone, Copy, Debug)]
pub(super) struct Scale {
    /// Numbers at the two ends.
    pub numbers: (f64, f64),
    /// Pixels at the two ends.
    pub pixels: (f64, f64),
}

impl Scale {
    /// Pixel of a number.
    pub(super) fn at(&self, number: f64) -> f64 {
        let (low, high) = self.numbers;
        let (from, to) = self.pixels;
        let span = if high > low { high - low } else { 1.0 };
        from + (number - low) / span * (to - from)
    }

    /// The same, never outside the pixels.
    pub(super) fn held(&self, number: f64) -> f64 {
        self.at(number.clamp(self.numbers.0, self.numbers.1.max(self.numbers.0)))
    }
}

/// Round numbers within `low..=high`, about `count` of them: steps of 1, 2 or 5 times a power of ten.
pub(super) fn rounds(low: f64, high: f64, count: f64) -> Vec<f64> {
    let span = high - low;
    if !(span > 0.0 && span.is_finite()) {
        return vec![low];
    }
    let rough = span / count.max(1.0);
    let power = libm::pow(10.0, libm::floor(libm::log10(rough)));
    let step = [1.0, 2.0, 5.0, 10.0]
        .into_iter()
        .map(|factor| factor * power)
        .find(|&step| step >= rough * 0.999)
        .unwrap_or(power * 10.0);
    let mut index = libm::ceil(low / step - 1e-9);
    let mut found = Vec::new();
    while index * step <= high + step * 1e-9 {
        found.push(index * step);
        index += 1.0;
    }
    found
}

/// A round number without the dust of its making.
pub(super) fn label(number: f64) -> String {
    let text = format!("{number:.4}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.replace('-', "−") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axis_numbers_are_round_and_within() {
        assert_eq!(
            rounds(0.0, 50.0, 10.0),
            [0.0, 5.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0]
        );
        assert_eq!(rounds(-12.0, 12.0, 5.0), [-10.0, -5.0, 0.0, 5.0, 10.0]);
        assert_eq!(rounds(3.0, 3.0, 5.0), [3.0]);
        assert_eq!(
            rounds(0.0, 0.6, 3.0).iter().map(|&it| label(it)).collect::<Vec<_>>(),
            ["0", "0.2", "0.4", "0.6"]
        );
        assert_eq!(label(-5.0), "−5");
    }

    #[test]
    fn a_number_outside_is_held_at_the_edge() {
        let scale = Scale { numbers: (0.0, 10.0), pixels: (100.0, 0.0) };
        assert!((scale.at(2.5) - 75.0).abs() < 1e-12);
        assert!(scale.held(99.0).abs() < 1e-12);
    }
}
