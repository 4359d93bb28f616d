//! Decimal fields as integers: digits and how many of them are behind the point.

use crate::quantity::MetresPerSecond;

/// A decimal number: `digits / 10^places`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Decimal {
    digits: u64,
    /// 10^places, up to 10^9.
    scale: u64,
}

impl Decimal {
    /// Reads a field without sign; none for an empty or a wrong one. Twelve digits are kept.
    pub(super) fn read(field: &[u8]) -> Option<Self> {
        let mut digits = 0_u64;
        let mut scale = 1_u64;
        let mut behind = false;
        let mut any = false;
        for byte in field {
            match byte {
                b'.' if !behind => behind = true,
                b'0'..=b'9' => {
                    any = true;
                    let digit = u64::from(byte.wrapping_sub(b'0'));
                    if digits >= 100_000_000_000 || scale >= 1_000_000_000 {
                        // Further places are below every step; a further whole digit is too much.
                        if !behind {
                            return None;
                        }
                        continue;
                    }
                    digits = digits.wrapping_mul(10).wrapping_add(digit);
                    scale = if behind { scale.wrapping_mul(10) } else { scale };
                }
                _ => return None,
            }
        }
        any.then_some(Self { digits, scale })
    }

    /// `value · multiplier / divisor`, rounded to the nearest; none where it does not fit 64 bits.
    pub(super) fn times(self, multiplier: u64, divisor: u64) -> Option<u64> {
        let Some(top) = self.digits.checked_mul(multiplier) else {
            // The last place is far below every step.
            let shorter = Self { digits: self.digits / 10, scale: self.scale / 10 };
            return (self.scale >= 10).then_some(shorter)?.times(multiplier, divisor);
        };
        let bottom = self.scale.checked_mul(divisor)?;
        top.checked_add(bottom / 2)?.checked_div(bottom)
    }

    /// Whole part and the rest of a number that runs degrees and minutes together: `ddmm.mmmm`.
    pub(super) fn degrees(self) -> Option<u64> {
        let hundred = self.scale.checked_mul(100)?;
        let degrees = self.digits.checked_div(hundred)?;
        let minutes = Self { digits: self.digits.checked_rem(hundred)?, scale: self.scale };
        if minutes.digits >= self.scale.checked_mul(60)? {
            return None;
        }
        // 10^-7 degrees; a minute is a sixtieth.
        degrees.checked_mul(10_000_000)?.checked_add(minutes.times(10_000_000, 60)?)
    }

    /// A speed in knots: 1852/3600 m/s each.
    pub(super) fn knots(self) -> Option<MetresPerSecond> {
        self.speed(1_852 << 20, 3_600)
    }

    /// A speed in km/h.
    pub(super) fn kilometres_per_hour(self) -> Option<MetresPerSecond> {
        self.speed(1_000 << 20, 3_600)
    }

    fn speed(self, multiplier: u64, divisor: u64) -> Option<MetresPerSecond> {
        let bits = i32::try_from(self.times(multiplier, divisor)?).ok()?;
        Some(MetresPerSecond::from_bits(bits))
    }
}

#[cfg(test)]
mod tests {
    use super::Decimal;

    #[test]
    fn fields_are_numbers_or_nothing() {
        let read = |text: &str| Decimal::read(text.as_bytes()).map(|it| (it.digits, it.scale));
        assert_eq!(read("022.4"), Some((224, 10)));
        assert_eq!(read("5"), Some((5, 1)));
        assert_eq!(read(".5"), Some((5, 10)));
        assert_eq!(read("4205.73347612"), Some((420_573_347_612, 100_000_000)));
        assert_eq!(read("4205.7334761299"), Some((420_573_347_612, 100_000_000)), "they drop");
        for wrong in ["", ".", "-1", "1.2.3", "1e3", "1234567890123"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn degrees_and_minutes_become_ten_millionths_of_a_degree() {
        let read = |text: &str| Decimal::read(text.as_bytes()).and_then(Decimal::degrees);
        assert_eq!(read("4807.038"), Some(481_173_000));
        assert_eq!(read("01131.000"), Some(115_166_667));
        assert_eq!(read("0059.9999999"), Some(10_000_000), "rounded up to the degree");
        assert_eq!(read("0060.0"), None, "sixty minutes are none");
    }
}
