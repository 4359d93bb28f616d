//! A line of printable ASCII that is put together from texts and whole numbers; nothing in it can panic.

use heapless::{String, Vec};

/// Most digits of 64 bits.
const DIGITS: u32 = 20;

/// Text of at most `N` signs; signs without room are left out, one that is not printable ASCII is a `?`.
///
/// Kept as bytes: adding a text to a `heapless` string in one piece has an overflow to check, and could panic.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Line<const N: usize> {
    signs: Vec<u8, N>,
}

impl<const N: usize> Line<N> {
    /// Adds a text.
    pub(super) fn text(&mut self, text: &str) {
        text.bytes().for_each(|sign| self.sign(sign));
    }

    /// Adds a sign.
    pub(super) fn sign(&mut self, sign: u8) {
        let printable = (b' '..=b'~').contains(&sign);
        let _full = self.signs.push(if printable { sign } else { b'?' }).is_err();
    }

    /// Adds a whole number.
    pub(super) fn number(&mut self, number: u64) {
        self.decimal(number, 0);
    }

    /// Adds a number of 10^-decimals, 0 to 19.
    pub(super) fn decimal(&mut self, number: u64, decimals: u32) {
        let mut begun = false;
        for place in (0..DIGITS).rev() {
            let digit = digit(number, place);
            begun |= digit > 0 || place <= decimals;
            if begun {
                self.sign(digit.saturating_add(b'0'));
            }
            if place == decimals && decimals > 0 {
                self.sign(b'.');
            }
        }
    }

    /// Adds a number of 10^-decimals with its sign.
    pub(super) fn signed(&mut self, number: i64, decimals: u32) {
        if number < 0 {
            self.sign(b'-');
        }
        self.decimal(number.unsigned_abs(), decimals);
    }

    /// Fills up with blanks to so many signs.
    pub(super) fn pad(&mut self, width: usize) {
        while self.len() < width.min(N) {
            self.sign(b' ');
        }
    }

    pub(super) fn len(&self) -> usize {
        self.signs.len()
    }

    pub(super) fn as_str(&self) -> &str {
        // It is ASCII.
        core::str::from_utf8(&self.signs).unwrap_or_default()
    }

    /// The text itself.
    pub(super) fn into_text(self) -> String<N> {
        String::from_utf8(self.signs).unwrap_or_default()
    }
}

/// The digit of 10^place.
fn digit(number: u64, place: u32) -> u8 {
    let power = 10_u64.checked_pow(place).unwrap_or(u64::MAX);
    let digit = number.checked_div(power).and_then(|left| left.checked_rem(10)).unwrap_or(0);
    u8::try_from(digit).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::Line;

    #[test]
    fn numbers_read_as_they_are() {
        let mut line = Line::<80>::default();
        for (number, decimals) in [(0, 0), (7, 2), (1_234, 1), (u64::MAX, 0), (10_000_000, 7)] {
            line.decimal(number, decimals);
            line.text(" ");
        }
        line.signed(-1_234_567, 7);
        assert_eq!(line.as_str(), "0 0.07 123.4 18446744073709551615 1.0000000 -0.1234567");
    }
}
