//! Arithmetic of raw words: ends that hold, and wide quotients for settings and accounts.

/// Holds a wide value at the ends of 32 bits.
pub(crate) fn clamp_i32(value: i64) -> i32 {
    i32::try_from(value).unwrap_or(if value < 0 { i32::MIN } else { i32::MAX })
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
    use super::divide_wide_signed;

    #[test]
    fn a_signed_wide_quotient_rounds_towards_zero() {
        for (top, bottom) in [(7, 2), (-7, 2), (7, -2), (-7, -2), (0, -3), (i128::MAX, 3)] {
            assert_eq!(divide_wide_signed(top, bottom), Some(top / bottom), "{top} / {bottom}");
        }
        assert_eq!(divide_wide_signed(7, 0), None, "by zero");
    }
}
