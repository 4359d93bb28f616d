//! Arithmetic of raw words: products that keep their bits, quotients without a 64-bit division.

/// Holds a wide value at the ends of 32 bits.
pub(crate) fn clamp_i32(value: i64) -> i32 {
    i32::try_from(value).unwrap_or(if value < 0 { i32::MIN } else { i32::MAX })
}

/// `a · b`, exact.
pub(crate) const fn mul_wide(a: i32, b: i32) -> i64 {
    // The product of two 32-bit words always fits 64 bits.
    (a as i64).wrapping_mul(b as i64)
}

/// `a · b / 2^shift`, rounded half up, held at the ends of 32 bits. `shift` is 1 to 62.
#[inline(never)]
pub(crate) fn mul_shift(a: i32, b: i32, shift: u32) -> i32 {
    let half = 1_i64.wrapping_shl(shift.wrapping_sub(1));
    clamp_i32(mul_wide(a, b).saturating_add(half).wrapping_shr(shift))
}

/// `value / 10^6`, rounded towards zero, by 32-bit divisions: the tick has no 64-bit one.
#[inline(never)]
pub(crate) fn per_million(value: i64) -> i64 {
    // 10^6 = 2^6 · 15 625. A remainder of 15 625 and 16 further bits fit 32.
    let magnitude = value.unsigned_abs().wrapping_shr(6);
    let mut quotient = 0_u64;
    let mut rest = 0_u32;
    for shift in [48, 32, 16, 0] {
        let digit = u32::try_from(magnitude.wrapping_shr(shift) & 0xFFFF).unwrap_or(0);
        let part = rest.wrapping_shl(16) | digit;
        quotient = quotient.wrapping_shl(16) | u64::from(part / 15_625);
        rest = part % 15_625;
    }
    let quotient = i64::try_from(quotient).unwrap_or(i64::MAX);
    if value < 0 { quotient.saturating_neg() } else { quotient }
}

/// `top / bottom` in 128 bits, none for a zero divisor: for settings and accounts, not for the tick.
///
/// Kept in one copy: a 32-bit machine has no routine for it, and the compiler writes it out at every call.
#[inline(never)]
pub(crate) const fn divide_wide(top: u128, bottom: u128) -> Option<u128> {
    top.checked_div(bottom)
}

/// The same with signs, rounded towards zero; none when the quotient needs the 128th bit.
pub(crate) fn divide_wide_signed(top: i128, bottom: i128) -> Option<i128> {
    let quotient = i128::try_from(divide_wide(top.unsigned_abs(), bottom.unsigned_abs())?).ok()?;
    Some(if (top < 0) == (bottom < 0) { quotient } else { quotient.saturating_neg() })
}

/// The reciprocal of a 32-bit number: `1/d = mantissa · 2^-shift`, to about 29 bits.
///
/// One 32-bit division and one Newton step; a 64-bit division costs up to 1,394 cycles on a Cortex-M0.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reciprocal {
    mantissa: u32,
    shift: u32,
}

impl Reciprocal {
    /// The reciprocal of `d`; that of one for zero.
    #[inline(never)]
    pub(crate) fn of(d: u32) -> Self {
        let d = if d == 0 { 1 } else { d };
        let leading = d.leading_zeros();
        // In [2^31, 2^32); the reciprocal sought is 2^63 / x.
        let x = d.wrapping_shl(leading);
        let guess = u32::MAX.checked_div(x.wrapping_shr(16)).unwrap_or(u32::MAX);
        let y = u64::from(guess).wrapping_shl(15).min(u64::from(u32::MAX));
        // t = 2^31 · (1 + δ), where δ is the relative error of the guess.
        let t = u64::from(x).wrapping_mul(y).wrapping_shr(32);
        let refined = y.wrapping_mul((1_u64 << 32).wrapping_sub(t)).wrapping_shr(31);
        let mantissa = u32::try_from(refined).unwrap_or(u32::MAX);
        Self { mantissa, shift: 63_u32.saturating_sub(leading) }
    }

    /// `number / d · 2^fraction_bits`, held at the end of 32 bits.
    #[inline(never)]
    pub(crate) fn times(self, number: u32, fraction_bits: u32) -> u32 {
        let product = u64::from(self.mantissa).wrapping_mul(u64::from(number));
        shift_right(product, self.shift.saturating_sub(fraction_bits))
    }

    /// `scale · number / d`, held at the end of 32 bits.
    #[inline(never)]
    pub(crate) fn scaled(self, scale: Scale, number: u32) -> u32 {
        let factor =
            u64::from(self.mantissa).wrapping_mul(u64::from(scale.mantissa)).wrapping_shr(32);
        let product = factor.wrapping_mul(u64::from(number));
        // Of the shift, 32 bits have been taken already.
        let shift = i64::from(self.shift).saturating_add(i64::from(scale.shift)).saturating_sub(32);
        if shift < 0 {
            let up = u32::try_from(shift.saturating_neg()).unwrap_or(64);
            if product.leading_zeros() <= up.saturating_add(32) {
                return u32::MAX;
            }
            return u32::try_from(product.wrapping_shl(up)).unwrap_or(u32::MAX);
        }
        shift_right(product, u32::try_from(shift).unwrap_or(64))
    }
}

/// `value / 2^shift`, rounded half up, held at the end of 32 bits.
fn shift_right(value: u64, shift: u32) -> u32 {
    let rounded = match shift {
        0 => value,
        1..=63 => {
            value.saturating_add(1_u64.wrapping_shl(shift.wrapping_sub(1))).wrapping_shr(shift)
        }
        _ => 0,
    };
    u32::try_from(rounded).unwrap_or(u32::MAX)
}

/// A positive constant with its own exponent: `mantissa · 2^-shift`, to 31 bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Scale {
    mantissa: u32,
    shift: i16,
}

impl Scale {
    /// `numerator / denominator`; zero when either is zero. Divides wide: for settings, not for the tick.
    pub(crate) fn ratio(numerator: u64, denominator: u64) -> Self {
        let Some(room) = 64_u32.checked_add(numerator.leading_zeros()) else {
            return Self::default();
        };
        let room = room.min(127);
        let wide = u128::from(numerator).wrapping_shl(room.saturating_sub(1));
        let Some(quotient) = divide_wide(wide, u128::from(denominator)) else {
            return Self::default();
        };
        let drop = 96_u32.saturating_sub(quotient.leading_zeros());
        let mantissa = u32::try_from(quotient.wrapping_shr(drop)).unwrap_or(u32::MAX);
        let shift = i64::from(room).saturating_sub(1).saturating_sub(i64::from(drop));
        Self { mantissa, shift: i16::try_from(shift).unwrap_or(i16::MAX) }
    }
}

#[cfg(test)]
mod tests {
    use super::{Reciprocal, Scale, divide_wide_signed, mul_shift, per_million};

    #[test]
    fn a_signed_wide_quotient_rounds_towards_zero() {
        for (top, bottom) in [(7, 2), (-7, 2), (7, -2), (-7, -2), (0, -3), (i128::MAX, 3)] {
            assert_eq!(divide_wide_signed(top, bottom), Some(top / bottom), "{top} / {bottom}");
        }
        assert_eq!(divide_wide_signed(7, 0), None, "by zero");
    }

    #[test]
    fn a_millionth_is_that_of_a_wide_division() {
        let mut value = 1_i64;
        while value < i64::MAX / 5 {
            for near in [value, value - 1, value / 1_000_000 * 1_000_000, -value] {
                assert_eq!(per_million(near), near / 1_000_000, "a millionth of {near}");
            }
            value = value * 4 / 3 + 7;
        }
        assert_eq!(per_million(i64::MIN), i64::MIN / 1_000_000, "the least");
        assert_eq!(per_million(i64::MAX), i64::MAX / 1_000_000, "the most");
    }

    #[test]
    fn a_quotient_by_reciprocal_is_exact_to_a_part_in_two_million() {
        let mut d = 1_u32;
        while d < 4_000_000_000 {
            let number = 123_456_789_u64;
            let want = (number << 20) / u64::from(d);
            if want < u64::from(u32::MAX) {
                let have = u64::from(Reciprocal::of(d).times(123_456_789, 20));
                let off = have.abs_diff(want);
                assert!(off <= want / 2_000_000 + 1, "1/{d}: have {have}, want {want}");
            }
            d = d.saturating_add(d / 2).saturating_add(1);
        }
    }

    #[test]
    fn a_scaled_quotient_keeps_the_constant() {
        for (numerator, denominator) in
            [(1_000_000_u64 << 21, 180_u64), (1_000_000 << 20, 130), (7, 3), (1, 1 << 40)]
        {
            for span in [1_u32, 999, 20_000, 123_457, 4_000_000] {
                let want = u128::from(numerator) * 17 / u128::from(denominator) / u128::from(span);
                let have = u128::from(
                    Reciprocal::of(span).scaled(Scale::ratio(numerator, denominator), 17),
                );
                let want = want.min(u128::from(u32::MAX));
                assert!(
                    have.abs_diff(want) <= want / 1_000_000 + 1,
                    "{numerator}/{denominator}/{span}: {have}, {want}"
                );
            }
        }
    }

    #[test]
    fn products_round_half_up_and_hold_at_the_ends() {
        assert_eq!(mul_shift(3, 1, 1), 2, "1.5 rounds to 2");
        assert_eq!(mul_shift(-3, 1, 1), -1, "-1.5 rounds to -1");
        assert_eq!(mul_shift(i32::MAX, i32::MAX, 1), i32::MAX, "held");
        assert_eq!(mul_shift(i32::MIN, i32::MAX, 1), i32::MIN, "held");
    }
}
