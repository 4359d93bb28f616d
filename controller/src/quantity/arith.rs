//! Arithmetic of raw words: quotients without a 64-bit division.

use super::product::product_unsigned;

/// Holds a wide value at the ends of 32 bits.
pub(crate) fn clamp_i32(value: i64) -> i32 {
    i32::try_from(value).unwrap_or(if value < 0 { i32::MIN } else { i32::MAX })
}

/// `value / 10^6`, rounded towards zero, by products: the tick has no 64-bit division.
#[inline(never)]
pub(crate) fn per_million(value: i64) -> i64 {
    // 10^6 = 2^6 · 15 625. A remainder of 15 625 and 16 further bits stay below 2^30, where the product by
    // 2^45 / 15 625, rounded up, gives the exact quotient.
    let magnitude = value.unsigned_abs().wrapping_shr(6);
    let mut quotient = 0_u64;
    let mut rest = 0_u32;
    for shift in [48, 32, 16, 0] {
        let digit = u32::try_from(magnitude.wrapping_shr(shift) & 0xFFFF).unwrap_or(0);
        let part = rest.wrapping_shl(16) | digit;
        let times = product_unsigned(part, 2_251_799_814).0.wrapping_shr(13);
        quotient = quotient.wrapping_shl(16) | u64::from(times);
        rest = part.wrapping_sub(times.wrapping_mul(15_625));
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

#[cfg(test)]
mod tests {
    use super::{divide_wide_signed, per_million};

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
}
