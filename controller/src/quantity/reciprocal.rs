//! Reciprocals by a seed and Newton steps: no division in the tick.
//!
//! ```text
//!  d ─► x = d · 2^leading in [2^31, 2^32) ─► seed, 8 bits ─► step: 14 bits (weights) ─► step: 27 bits
//!
//!  a step: y ─► y (2 − x y)
//! ```

use super::product::{mul_unsigned, product_unsigned};
use super::scale::Scale;

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
        let moved = if self.leading > down {
            let up = self.leading.wrapping_sub(down);
            if product.wrapping_shl(up).wrapping_shr(up) != product {
                return i32::MAX;
            }
            product.wrapping_shl(up)
        } else {
            product.wrapping_shr(down.wrapping_sub(self.leading))
        };
        if moved > i32::MAX.cast_unsigned() { i32::MAX } else { moved.cast_signed() }
    }
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

/// `scale · number / d`, held at the end of 32 bits: by a long division of two digits where `d` has 16 bits and `number`
/// six, as edges in a window have; then a third of the work.
#[inline(never)]
pub(crate) fn scaled_by(scale: Scale, number: u32, d: u32) -> u32 {
    let (mut x, mut up) = (d, 9_i32);
    if !(1 << 9..1 << 16).contains(&d) || number >= 1 << 6 {
        return Reciprocal::of(d).scaled(scale, number);
    }
    while x < 1 << 15 {
        (x, up) = (x.wrapping_shl(1), up.wrapping_sub(1));
    }
    let down = i32::from(scale.shift).wrapping_add(up);
    if !(1..32).contains(&down) {
        return Reciprocal::of(d).scaled(scale, number);
    }
    // 2^31 / x, and the mantissa over x: its whole part, then twelve bits of what is left.
    let over = inverse_16(x.wrapping_shl(16)).min(0xFFFF);
    let whole = scale.mantissa.wrapping_shr(16).wrapping_mul(over).wrapping_shr(15);
    let left = scale.mantissa.wrapping_sub(whole.wrapping_mul(x)).cast_signed();
    let part = left.wrapping_shr(6).wrapping_mul(over.cast_signed()).wrapping_shr(13);
    let all = whole.wrapping_shl(12).wrapping_add(part.cast_unsigned()).wrapping_add(4);
    let product = all.wrapping_shr(3).wrapping_mul(number);
    let half = 1_u32.wrapping_shl(down.wrapping_sub(1).cast_unsigned());
    product.saturating_add(half).wrapping_shr(down.cast_unsigned())
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
    // Wide: one too many of them may be above 32 bits.
    if mul_unsigned(near, d) > u64::from(number) { near.wrapping_sub(1) } else { near }
}

#[cfg(test)]
mod tests {
    use super::{Inverse, Reciprocal, quotient, scaled_by, share_q15};
    use crate::quantity::Scale;

    #[test]
    fn a_share_is_good_to_a_part_in_eight_thousand() {
        for whole in (1..=32_768_u32).step_by(37) {
            for tenth in 0..=10 {
                let part = (whole << 15) / 10 * tenth;
                let (have, want) = (share_q15(part, whole), part / whole);
                // Half the numerator's bits and fourteen of the inverse.
                assert!(have.abs_diff(want) <= 5, "{part} / {whole}: {have}, want {want}");
            }
        }
        assert!(share_q15(0, 0) <= 1 << 15, "nothing of nothing");
    }

    #[test]
    fn weights_are_good_to_a_part_in_eight_thousand() {
        let mut d = 64_u32;
        while d < 4_000_000_000 {
            let over = Inverse::of(d);
            for part in [d / 3, d / 2, d] {
                let want = (u64::from(part) << 15) / u64::from(d);
                assert!(u64::from(over.share_q15(part)).abs_diff(want) <= 6, "{part} / {d}");
            }
            for number in [1_u32, 77, 4_096, 61_440] {
                let want = (u64::from(number) << 28) / u64::from(d);
                let have = u64::from(over.times(number, 28).unsigned_abs());
                let held = want.min(u64::from(i32::MAX.unsigned_abs()));
                assert!(have.abs_diff(held) <= held / 8_000 + 1, "{number} / {d}: {have}, {held}");
            }
            d = d.saturating_add(d / 3).saturating_add(1);
        }
    }

    #[test]
    fn a_quotient_is_exact() {
        for d in [1_u32, 2, 3, 7, 20, 16, 11_132, 15_625, 1_000_000, 80_000_000] {
            for near in 0..2_000_u32 {
                for number in [near, d.saturating_mul(near), d.saturating_mul(near).wrapping_sub(1)]
                {
                    if number / d < 1 << 26 {
                        assert_eq!(quotient(number, d), number / d, "{number} / {d}");
                    }
                }
            }
        }
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
    fn a_scaled_quotient_by_two_digits_is_exact_to_a_part_in_two_million() {
        for (numerator, denominator) in [
            (1_000_000_u64 << 21, 180_u64),
            (1_000_000 << 21, 65_535),
            (1_000_000 << 20, 130),
            ((1 << 32) - 1, 1),
            (1 << 60, 3),
            (7, 3),
        ] {
            let scale = Scale::ratio(numerator, denominator);
            let spans =
                (1..70_000_u32).step_by(61).chain([511, 512, 32_767, 32_768, 65_535, 65_536]);
            for (span, number) in spans.flat_map(|span| [1, 2, 7, 63, 64].map(|it| (span, it))) {
                let over = u128::from(denominator) * u128::from(span);
                let want = u128::from(numerator) * u128::from(number) / over;
                let want = want.min(u128::from(u32::MAX));
                let have = u128::from(scaled_by(scale, number, span));
                assert!(
                    have.abs_diff(want) <= want / 2_000_000 + 1,
                    "{numerator}/{denominator} · {number} / {span}: {have}, {want}"
                );
            }
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
}
