//! Products of raw words, for a processor that multiplies 32 bits by 32 to 32.
//!
//! ```text
//!  a · b = aₕ bₕ 2^32 + (aₕ bₗ + aₗ bₕ) 2^16 + aₗ bₗ        four products of halves; no sum of them overflows
//! ```

/// `a · b`, exact.
///
/// Written out in halves of 16 bits: a Cortex-M0+ has no long multiply, and the compiler's 64-bit product takes three
/// times as long.
#[inline(never)]
pub(crate) const fn mul_wide(a: i32, b: i32) -> i64 {
    let (high, low) = product(a, b);
    (high as i64).wrapping_shl(32) | low as i64
}

/// The two words of `a · b`: the sum of four products of halves, of which none overflows.
#[inline]
const fn product(a: i32, b: i32) -> (i32, u32) {
    let (a_high, a_low) = (a.wrapping_shr(16), a & 0xFFFF);
    let (b_high, b_low) = (b.wrapping_shr(16), b & 0xFFFF);
    let low = a_low.cast_unsigned().wrapping_mul(b_low.cast_unsigned());
    let cross = a_high.wrapping_mul(b_low).wrapping_add(low.wrapping_shr(16).cast_signed());
    let other = a_low.wrapping_mul(b_high).wrapping_add(cross & 0xFFFF);
    let high = a_high
        .wrapping_mul(b_high)
        .wrapping_add(cross.wrapping_shr(16))
        .wrapping_add(other.wrapping_shr(16));
    (high, other.cast_unsigned().wrapping_shl(16) | (low & 0xFFFF))
}

/// `a · b / 2^SHIFT`, rounded half up, held at the ends of 32 bits.
#[expect(clippy::inline_always, reason = "it only picks a copy")]
#[inline(always)]
pub(crate) const fn mul_shift<const SHIFT: u32>(a: i32, b: i32) -> i32 {
    const { assert!(SHIFT >= 1 && SHIFT <= 31, "the result comes from both words") };
    // Those that the tick wants most often have copies of their own, which are a fifth faster.
    match SHIFT {
        16 => mul_shift_16(a, b),
        24 => mul_shift_24(a, b),
        _ => mul_shift_by(a, b, SHIFT),
    }
}

#[inline(never)]
const fn mul_shift_16(a: i32, b: i32) -> i32 {
    shifted(product(a, b), 16)
}

#[inline(never)]
const fn mul_shift_24(a: i32, b: i32) -> i32 {
    shifted(product(a, b), 24)
}

#[inline(never)]
const fn mul_shift_by(a: i32, b: i32, shift: u32) -> i32 {
    shifted(product(a, b), shift)
}

/// Both words by `2^shift`, rounded half up, held at the ends of 32 bits.
#[inline]
const fn shifted((high, low): (i32, u32), shift: u32) -> i32 {
    let below = shift.wrapping_sub(1);
    let (low, carry) = low.overflowing_add(1_u32.wrapping_shl(below));
    let high = if carry { high.wrapping_add(1) } else { high };
    // The sign of the result, and every bit above it.
    let above = high.wrapping_shr(below);
    if above == 0 || above == -1 {
        let upper = high.cast_unsigned().wrapping_shl(32_u32.wrapping_sub(shift));
        (upper | low.wrapping_shr(shift)).cast_signed()
    } else {
        high.wrapping_shr(31) ^ i32::MAX
    }
}

/// The two words of `a · b` without signs.
#[inline]
pub(super) const fn product_unsigned(a: u32, b: u32) -> (u32, u32) {
    let (a_high, a_low) = (a.wrapping_shr(16), a & 0xFFFF);
    let (b_high, b_low) = (b.wrapping_shr(16), b & 0xFFFF);
    let low = a_low.wrapping_mul(b_low);
    // No sum overflows: (2^16 − 1)² + 2^16 − 1 is below 2^32.
    let cross = a_high.wrapping_mul(b_low).wrapping_add(low.wrapping_shr(16));
    let other = a_low.wrapping_mul(b_high).wrapping_add(cross & 0xFFFF);
    let high = a_high
        .wrapping_mul(b_high)
        .wrapping_add(cross.wrapping_shr(16))
        .wrapping_add(other.wrapping_shr(16));
    (high, other.wrapping_shl(16) | (low & 0xFFFF))
}

/// `a · b` without signs, exact.
#[inline(never)]
pub(crate) const fn mul_unsigned(a: u32, b: u32) -> u64 {
    let (high, low) = product_unsigned(a, b);
    (high as u64).wrapping_shl(32) | low as u64
}

#[cfg(test)]
mod tests {
    use super::{mul_shift, mul_unsigned, mul_wide};

    /// Words of every size, with both signs.
    fn words() -> impl Iterator<Item = i32> + Clone {
        let sizes = (0..32)
            .flat_map(|bit| [0_i64, -1, 1, 12_345].map(|by| (1_i64 << bit).wrapping_add(by)));
        sizes
            .flat_map(|size| [size, size.wrapping_neg()])
            .filter_map(|size| i32::try_from(size).ok())
    }

    #[test]
    fn products_are_those_of_wide_words() {
        for a in words().chain([i32::MIN, i32::MAX]) {
            for b in words().chain([i32::MIN, i32::MAX]) {
                let want = i64::from(a) * i64::from(b);
                assert_eq!(mul_wide(a, b), want, "{a} · {b}");
                let (a, b) = (a.cast_unsigned(), b.cast_unsigned());
                assert_eq!(mul_unsigned(a, b), u64::from(a) * u64::from(b), "{a} · {b}");
            }
        }
    }

    #[test]
    fn shifted_products_are_those_of_wide_words() {
        fn check<const SHIFT: u32>() {
            let half = 1_i128 << SHIFT >> 1;
            for a in words() {
                for b in words() {
                    let wide = (i128::from(a) * i128::from(b) + half) >> SHIFT;
                    let held = wide.clamp(i32::MIN.into(), i32::MAX.into());
                    let have = mul_shift::<SHIFT>(a, b);
                    assert_eq!(i128::from(have), held, "{a} · {b} / 2^{SHIFT}");
                }
            }
        }
        check::<1>();
        check::<15>();
        check::<16>();
        check::<24>();
        check::<31>();
    }

    #[test]
    fn products_round_half_up_and_hold_at_the_ends() {
        assert_eq!(mul_shift::<1>(3, 1), 2, "1.5 rounds to 2");
        assert_eq!(mul_shift::<1>(-3, 1), -1, "-1.5 rounds to -1");
        assert_eq!(mul_shift::<1>(i32::MAX, i32::MAX), i32::MAX, "held");
        assert_eq!(mul_shift::<1>(i32::MIN, i32::MAX), i32::MIN, "held");
    }
}
