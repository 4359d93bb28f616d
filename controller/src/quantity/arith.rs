//! Arithmetic of raw words: products that keep their bits, quotients without a 64-bit division.

/// Holds a wide value at the ends of 32 bits.
pub(crate) fn clamp_i32(value: i64) -> i32 {
    i32::try_from(value).unwrap_or(if value < 0 { i32::MIN } else { i32::MAX })
}

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
    // The one that the tick wants most often has a copy of its own, which is a fifth faster.
    if SHIFT == 16 { mul_shift_16(a, b) } else { mul_shift_by(a, b, SHIFT) }
}

#[inline(never)]
const fn mul_shift_16(a: i32, b: i32) -> i32 {
    shifted(product(a, b), 16)
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

/// `a · b / 2^15`, rounded half up, for a `b` of 0 to 2^15 and most often an `a` below 2^16: then one product does.
#[inline]
pub(crate) fn part_q15(a: i32, b: i32) -> i32 {
    if (-0xFFFF..=0xFFFF).contains(&a) {
        return a.wrapping_mul(b).wrapping_add(1 << 14).wrapping_shr(15);
    }
    mul_shift::<15>(a, b)
}

/// The two words of `a · b` without signs.
#[inline]
const fn product_unsigned(a: u32, b: u32) -> (u32, u32) {
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

/// `part / whole` in Q15 for a `part` in Q30 of at most one `whole` in Q15, to about 14 bits; one for a `whole` of zero.
#[inline(never)]
pub(crate) fn share_q15(part: u32, whole: u32) -> u32 {
    let (x, leading) = normal(whole.wrapping_shl(16));
    let numerator = part.wrapping_shl(leading).wrapping_shr(16);
    numerator.wrapping_mul(inverse_16(x)).wrapping_shr(15).min(1 << 15)
}

/// The reciprocal of a number to about 14 bits, for weights: a third of the work of [`Reciprocal`].
#[derive(Clone, Copy, Debug)]
pub(crate) struct Inverse {
    /// 2^47 / (d · 2^leading).
    inverse: u32,
    leading: u32,
}

impl Inverse {
    /// The reciprocal of `d`; that of one for zero.
    #[inline(never)]
    pub(crate) fn of(d: u32) -> Self {
        let (x, leading) = normal(d);
        Self { inverse: inverse_16(x), leading }
    }

    /// `part / d` in Q15, for a `part` of at most `d`.
    pub(crate) fn share_q15(self, part: u32) -> u32 {
        let part = part.wrapping_shl(self.leading).wrapping_shr(16);
        part.wrapping_mul(self.inverse).wrapping_shr(16).min(1 << 15)
    }

    /// `number / d · 2^fraction_bits` for a `number` below 2^16, held at the end of 31 bits. `fraction_bits` is at most 47.
    pub(crate) const fn times(self, number: u32, fraction_bits: u32) -> i32 {
        let product = number.wrapping_mul(self.inverse);
        let down = 47_u32.wrapping_sub(fraction_bits);
        let up = self.leading.saturating_sub(down);
        if product.wrapping_shl(up).wrapping_shr(up) != product
            || product.wrapping_shl(up) >= 1 << 31
        {
            return i32::MAX;
        }
        product.wrapping_shl(up).wrapping_shr(down.saturating_sub(self.leading)).cast_signed()
    }
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

/// `value` shifted up until its highest bit is set, and by how much; one for zero.
///
/// By halves: a Cortex-M0+ does not count leading zeros.
#[inline]
const fn normal(value: u32) -> (u32, u32) {
    let mut x = if value == 0 { 1 } else { value };
    let mut up = 0_u32;
    if x < 1 << 16 {
        (x, up) = (x.wrapping_shl(16), 16);
    }
    if x < 1 << 24 {
        (x, up) = (x.wrapping_shl(8), up.wrapping_add(8));
    }
    if x < 1 << 28 {
        (x, up) = (x.wrapping_shl(4), up.wrapping_add(4));
    }
    if x < 1 << 30 {
        (x, up) = (x.wrapping_shl(2), up.wrapping_add(2));
    }
    if x < 1 << 31 {
        (x, up) = (x.wrapping_shl(1), up.wrapping_add(1));
    }
    (x, up)
}

/// 2^15 / (128 + i + ½) for the seven bits below the highest.
const SEEDS: [u8; 128] = seeds();

#[expect(
    clippy::arithmetic_side_effects,
    clippy::indexing_slicing,
    clippy::cast_possible_truncation,
    clippy::as_conversions,
    reason = "worked out while compiling: what goes wrong does not compile"
)]
const fn seeds() -> [u8; 128] {
    let mut seeds = [0; 128];
    let mut index = 0;
    while index < seeds.len() {
        let twice = 257 + 2 * index;
        seeds[index] = ((65_536 + twice / 2) / twice) as u8;
        index += 1;
    }
    seeds
}

/// `2^47 / x` for an `x` with its highest bit set, to 14 bits: a seed and one Newton step.
#[inline]
fn inverse_16(x: u32) -> u32 {
    let index = usize::try_from(x.wrapping_shr(24) & 0x7F).unwrap_or(0);
    let seed = u32::from(SEEDS.get(index).copied().unwrap_or(128)).wrapping_shl(8);
    // 2^31 · (1 + δ), where δ is the relative error of the seed: at most 1 %.
    let near = x.wrapping_shr(16).wrapping_mul(seed);
    seed.wrapping_mul(near.wrapping_neg().wrapping_shr(16)).wrapping_shr(15)
}

/// The reciprocal of a 32-bit number: `1/d = mantissa · 2^-shift`, to about 27 bits.
///
/// A seed and two Newton steps: a Cortex-M0+ has no division, and one in software costs 140 cycles, of 64 bits up to
/// 1,394.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Reciprocal {
    mantissa: u32,
    shift: u32,
}

impl Reciprocal {
    /// The reciprocal of `d`; that of one for zero.
    #[inline(never)]
    pub(crate) fn of(d: u32) -> Self {
        // In [2^31, 2^32); the reciprocal sought is 2^63 / x.
        let (x, leading) = normal(d);
        let y = inverse_16(x).min(0xFFFF).wrapping_shl(16);
        // t = 2^31 · (1 + δ), where δ is the relative error of the guess.
        let t = product_unsigned(x, y).0;
        let (high, low) = product_unsigned(y, t.wrapping_neg());
        let refined = high.wrapping_shl(1) | low.wrapping_shr(31);
        let mantissa = if high < 1 << 31 { refined } else { u32::MAX };
        Self { mantissa, shift: 63_u32.wrapping_sub(leading) }
    }

    /// `number / d · 2^fraction_bits`, held at the end of 32 bits.
    #[inline(never)]
    pub(crate) const fn times(self, number: u32, fraction_bits: u32) -> u32 {
        shift_right(mul_unsigned(self.mantissa, number), self.shift.saturating_sub(fraction_bits))
    }

    /// `scale · number / d`, held at the end of 32 bits.
    #[inline(never)]
    pub(crate) fn scaled(self, scale: Scale, number: u32) -> u32 {
        // By a call: of an upper word alone the compiler makes its own 64-bit product.
        let factor = mul_unsigned(self.mantissa, scale.mantissa).wrapping_shr(32);
        let factor = u32::try_from(factor).unwrap_or(u32::MAX);
        let product = mul_unsigned(factor, number);
        // Of the shift, 32 bits have been taken already.
        let shift =
            self.shift.cast_signed().saturating_add(i32::from(scale.shift)).saturating_sub(32);
        if shift < 0 {
            let up = shift.unsigned_abs();
            let low = u32::try_from(product).unwrap_or(u32::MAX);
            let fits = up < 32 && low.wrapping_shl(up).wrapping_shr(up) == low;
            return if fits { low.wrapping_shl(up) } else { u32::MAX };
        }
        shift_right(product, shift.unsigned_abs())
    }
}

/// `words / 2^shift`, rounded half up, held at the end of 32 bits.
#[inline(never)]
const fn shift_right(words: u64, shift: u32) -> u32 {
    #[expect(clippy::cast_possible_truncation, reason = "the two words of it")]
    let (high, low) = (words.wrapping_shr(32) as u32, words as u32);
    if shift == 0 {
        return if high == 0 { low } else { u32::MAX };
    }
    let below = shift.wrapping_sub(1);
    if shift > 32 {
        // What is rounded lies in the upper word.
        if shift > 64 {
            return 0;
        }
        let held = high.wrapping_shr(below.wrapping_sub(32));
        return held.wrapping_shr(1).wrapping_add(held & 1);
    }
    let (low, carry) = low.overflowing_add(1_u32.wrapping_shl(below));
    let high = if carry { high.saturating_add(1) } else { high };
    if high.wrapping_shr(below).wrapping_shr(1) != 0 {
        return u32::MAX;
    }
    if shift == 32 {
        high
    } else {
        high.wrapping_shl(32_u32.wrapping_sub(shift)) | low.wrapping_shr(shift)
    }
}

/// `number / d`, rounded towards zero, for a quotient below 2^26: by the reciprocal, and put right by one.
#[inline(never)]
pub(crate) fn quotient(number: u32, d: u32) -> u32 {
    let near = Reciprocal::of(d).times(number, 0);
    if near.wrapping_mul(d) > number { near.wrapping_sub(1) } else { near }
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
        assert_eq!(mul_shift::<1>(3, 1), 2, "1.5 rounds to 2");
        assert_eq!(mul_shift::<1>(-3, 1), -1, "-1.5 rounds to -1");
        assert_eq!(mul_shift::<1>(i32::MAX, i32::MAX), i32::MAX, "held");
        assert_eq!(mul_shift::<1>(i32::MIN, i32::MAX), i32::MIN, "held");
    }
}
