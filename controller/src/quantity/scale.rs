//! Constants with an exponent of their own: a ratio of any size in two words.

use super::arith::divide_wide;

/// A positive constant with its own exponent: `mantissa · 2^-shift`, to 31 bits.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Scale {
    pub(super) mantissa: u32,
    pub(super) shift: i16,
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
