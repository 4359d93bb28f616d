//! How two sources of speed compare: a ratio of slow means.
//!
//! ```text
//!  a += w (v_a − a)     b += w (v_b − b)     w = 1/1, 1/2, 1/4 … down to interval / memory
//!  ratio = a / b
//! ```
//!
//! The ratio of the means, not the mean of ratios: a noisy speed in a divisor would shift it.

use crate::quantity::{Inverse, MetresPerSecond, mul_shift};

/// One in Q16.
pub(crate) const ONE: i32 = 65_536;

/// Sources further apart than this are not two views of one speed: 0.8 to 1.25, Q16.
const BOUNDS: core::ops::RangeInclusive<i32> = 52_429..=81_920;

/// Pairs before the ratio is used.
const ENOUGH: u8 = 4;

/// What is remembered of a pair of sources; `Default` takes them for equal.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Ratio {
    a: i32,
    b: i32,
    pairs: u8,
    value: i32,
}

impl Default for Ratio {
    fn default() -> Self {
        Self { a: 0, b: 0, pairs: 0, value: ONE }
    }
}

impl Ratio {
    /// Takes a pair of speeds that were true at one instant. `share` (Q16) is the part that a pair has once
    /// many have come.
    pub(crate) fn take(&mut self, a: MetresPerSecond, b: MetresPerSecond, share: i32) {
        self.pairs = self.pairs.saturating_add(1);
        // 1, 1/2, 1/4, 1/4, 1/8 …: the mean of the first pairs, nearly.
        let (mut first, mut pairs) = (ONE, self.pairs.wrapping_shr(1));
        while pairs > 0 {
            (first, pairs) = (first.wrapping_shr(1), pairs.wrapping_shr(1));
        }
        let weight = first.max(share);
        self.a = self.a.saturating_add(mul_shift::<16>(a.to_bits().saturating_sub(self.a), weight));
        self.b = self.b.saturating_add(mul_shift::<16>(b.to_bits().saturating_sub(self.b), weight));
        if self.pairs < ENOUGH {
            return;
        }
        if self.a < 0 || self.b < 0 {
            return;
        }
        // One, and what they are apart: of that fourteen bits are enough. In steps of 2^-14 m/s it has sixteen at 4 m/s.
        let apart = self.a.abs_diff(self.b).wrapping_shr(6).min(0xFFFF);
        let off = Inverse::of(self.b.unsigned_abs()).times(apart, 22).min(ONE);
        let off = if self.a < self.b { off.saturating_neg() } else { off };
        self.value = ONE.saturating_add(off).clamp(*BOUNDS.start(), *BOUNDS.end());
    }

    /// a / b, Q16; one before enough pairs have come.
    pub(crate) const fn value(&self) -> i32 {
        self.value
    }

    /// Whether enough pairs have come.
    pub(crate) const fn is_known(&self) -> bool {
        self.pairs >= ENOUGH
    }

    /// Whether two speeds may be views of one: within a fifth of this ratio (of one before it is known), and not
    /// more than a quarter apart, however slowly they drifted.
    pub(crate) fn fits(&self, a: MetresPerSecond, b: MetresPerSecond) -> bool {
        let foretold = mul_shift::<16>(b.to_bits(), self.value);
        // Held where a product by five still fits.
        let off = |share: u32, of: i32| {
            a.to_bits().abs_diff(of).min(1 << 29).wrapping_mul(share) <= of.unsigned_abs()
        };
        off(5, foretold) && off(4, b.to_bits())
    }
}

#[cfg(test)]
mod tests {
    use super::Ratio;
    use crate::quantity::MetresPerSecond;

    #[test]
    fn two_steady_speeds_give_their_ratio_after_four_pairs() {
        let mut ratio = Ratio::default();
        let (a, b) =
            (MetresPerSecond::from_millimetres(2_000), MetresPerSecond::from_millimetres(1_840));
        for _ in 0..3 {
            ratio.take(a, b, 655);
            assert_eq!(ratio.value(), 65_536, "used too soon");
        }
        ratio.take(a, b, 655);
        assert!((ratio.value() - 71_235).abs() < 4, "2 / 1.84 in Q16, have {}", ratio.value());
    }

    #[test]
    fn a_dead_source_does_not_divide_by_nothing() {
        let mut ratio = Ratio::default();
        for _ in 0..10 {
            ratio.take(MetresPerSecond::from_millimetres(2_000), MetresPerSecond::ZERO, 655);
        }
        assert_eq!(ratio.value(), 81_920, "held at the bound");
    }
}
