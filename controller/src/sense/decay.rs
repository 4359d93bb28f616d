//! The exponential `e^-x`, which carries an acceleration that dies out.
//!
//! A table in steps of 1/32 up to 12, and a parabola within a step: `e^-(k/32) · (1 − f + f²/2)`, within
//! 2·10⁻⁵ of the truth.

/// Fraction bits of argument and value.
const BITS: u32 = 16;

/// Table steps per unit of the argument.
const STEPS: usize = 32;

/// Largest argument in the table.
const LARGEST: usize = 12;

/// e^-(1/32) in Q32: 0.969 233 234 476 344.
const STEP_Q32: u64 = 4_162_825_044;

/// In Q16: halves of a word, so that a product of 32 bits does.
const TABLE: [u16; STEPS * LARGEST + 1] = table();

#[expect(
    clippy::arithmetic_side_effects,
    clippy::indexing_slicing,
    reason = "worked out while compiling: what goes wrong does not compile"
)]
const fn table() -> [u16; STEPS * LARGEST + 1] {
    let mut table = [0; STEPS * LARGEST + 1];
    let mut value: u64 = (1 << 32) - 1;
    let mut index = 0;
    while index < table.len() {
        #[expect(
            clippy::cast_possible_truncation,
            reason = "the value starts below 2^32 and falls"
        )]
        let word = if value >= 0xFFFF_8000 { u16::MAX } else { ((value + (1 << 15)) >> 16) as u16 };
        table[index] = word;
        value = (value * STEP_Q32) >> 32;
        index += 1;
    }
    table
}

/// `e^-x`: argument Q16.16, value Q16 in 0..=65536.
pub(crate) fn decay(x: u32) -> u32 {
    let step_bits = BITS.saturating_sub(STEPS.trailing_zeros());
    let index = usize::try_from(x.wrapping_shr(step_bits)).unwrap_or(usize::MAX);
    let Some(&at) = TABLE.get(index) else { return 0 };
    let rest = x & ((1 << 11) - 1);
    // 1 − f + f²/2 in Q16; f is below 1/32, so nothing overflows.
    let bend = rest.wrapping_mul(rest).wrapping_shr(17);
    let factor = 65_536_u32.saturating_sub(rest).saturating_add(bend);
    u32::from(at).wrapping_mul(factor).wrapping_shr(16)
}

#[cfg(test)]
mod tests {
    use super::decay;

    #[test]
    fn the_exponential_starts_at_one_falls_and_multiplies() {
        assert!(decay(0).abs_diff(65_536) <= 1, "e^0 is {}", decay(0));
        assert!(decay(65_536).abs_diff(24_109) <= 1, "e^-1 is {}", decay(65_536));
        assert!(decay(45_426).abs_diff(32_768) <= 1, "e^-ln 2 is {}", decay(45_426));
        let mut last = decay(0);
        for x in (0..800_000).step_by(37) {
            let here = decay(x);
            // Far out the value is a few steps of its last place.
            assert!(here <= last + u32::from(x > 300_000), "rises at {x}");
            last = here;
        }
        assert_eq!(decay(u32::MAX), 0, "far out it is gone");
    }
}
