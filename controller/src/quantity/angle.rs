//! Courses as binary angles: differences wrap as the compass does.

/// A course over ground, clockwise from true north: 2^32 steps to a turn, 0.084 µ°.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Course(u32);

impl Course {
    /// The course of so many thousandths of a degree; whole turns are dropped. Rounded to the nearest step.
    pub fn from_millidegrees(millidegrees: u32) -> Self {
        // 2^32 / 360 000 = 11 930.46; the product of the remainder fits 64 bits.
        let within = u64::from(millidegrees % 360_000);
        let bits = within.wrapping_shl(32).wrapping_add(180_000) / 360_000;
        // Below 2^32: the largest remainder is a step short of a turn.
        Self(u32::try_from(bits).unwrap_or(0))
    }

    /// The course of these raw bits.
    pub const fn from_bits(bits: u32) -> Self {
        Self(bits)
    }

    /// The raw bits.
    #[must_use]
    pub const fn to_bits(self) -> u32 {
        self.0
    }

    /// The turn from `earlier` to this course, clockwise positive, within half a turn: 2^31 is 180°.
    #[must_use]
    pub const fn turned_from(self, earlier: Self) -> i32 {
        self.0.wrapping_sub(earlier.0).cast_signed()
    }
}

#[cfg(test)]
mod tests {
    use super::Course;

    #[test]
    fn a_turn_across_north_is_short() {
        let turned =
            Course::from_millidegrees(1_000).turned_from(Course::from_millidegrees(359_000));
        // 2° of 360° in 2^32 steps.
        assert!((turned - 23_860_929).abs() <= 1, "two degrees clockwise, have {turned}");
        assert_eq!(Course::from_millidegrees(360_000), Course::default(), "360° is north");
    }
}
