//! Yaw rate (SPN 1808 in group 61449).
//!
//! Bytes 4 and 5, 1/8192 rad/s a bit, offset −3.92 rad/s, positive anticlockwise. Group, bytes, scale, offset and sign
//! are those of SAE J1939-71 from memory: no published vector was at hand. Check the sign on the machine: a turn to
//! the left must read positive.

use super::Reading;
use crate::quantity::{Instant, RadiansPerSecond};

/// 3.92 rad/s in Q24.
const OFFSET: i32 = 65_766_687;

/// What a yaw sensor on the bus says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct YawRate {
    /// Anticlockwise positive.
    pub rate: Reading<RadiansPerSecond>,
    /// The instant at which it was true.
    pub at: Instant,
}

impl YawRate {
    /// Reads the eight bytes.
    pub(super) fn read([_, _, _, low, high, ..]: [u8; 8], at: Instant) -> Self {
        // 2^24 / 8192 = 2^11.
        let bits = |word: u16| i32::from(word).saturating_mul(1 << 11).saturating_sub(OFFSET);
        let rate = Reading::of_word(u16::from_le_bytes([low, high]))
            .map(|word| RadiansPerSecond::from_bits(bits(word)));
        Self { rate, at }
    }
}

#[cfg(test)]
mod tests {
    use super::YawRate;
    use crate::quantity::{Instant, RadiansPerSecond};

    #[test]
    fn the_offset_is_standing_still_and_steps_are_8192nds() {
        let at = Instant::default();
        let bits = |word: u16| {
            let [low, high] = word.to_le_bytes();
            let read = YawRate::read([0, 0, 0, low, high, 0, 0, 0], at);
            read.rate.value().map_or(i32::MAX, RadiansPerSecond::to_bits)
        };
        // 3.92 · 8192 = 32 112.64: the word below is 0.64 steps of 2^-13 rad/s clockwise.
        assert_eq!(bits(32_112), -1_311, "0.64 of 2048 steps of Q24 below zero");
        assert_eq!(bits(32_113).saturating_sub(bits(32_112)), 2_048, "one step anticlockwise");
        assert_eq!(bits(0), -65_766_687, "the lowest word is −3.92 rad/s");
    }
}
