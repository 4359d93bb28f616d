//! The distance counter of a speed message: whole millimetres, back to 0 after 4 211 081.215 m.

/// A reading of a distance counter, mm; only differences mean anything.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[must_use]
pub struct Distance(u32);

impl Distance {
    /// Steps of the counter: it restarts at 0 after 0xFAFF FFFF (SPN 1860, isobus.net).
    pub const STEPS: u32 = 0xFB00_0000;

    /// A reading of so many millimetres; one beyond the counter goes round.
    pub const fn from_millimetres(millimetres: u32) -> Self {
        Self(millimetres.wrapping_rem(Self::STEPS))
    }

    /// The reading, mm.
    #[must_use]
    pub const fn millimetres(self) -> u32 {
        self.0
    }

    /// Millimetres gone since `earlier`, across at most one restart of the counter. The counter of a sender that was
    /// switched off and on begins anew and gives a large number here.
    #[must_use]
    pub const fn since(self, earlier: Self) -> u32 {
        match self.0.checked_sub(earlier.0) {
            Some(gone) => gone,
            // Both lie below the number of steps, so the sum does too.
            None => Self::STEPS.saturating_sub(earlier.0).saturating_add(self.0),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Distance;

    #[test]
    fn differences_survive_the_restart_of_the_counter() {
        let before = Distance::from_millimetres(4_211_081_215);
        let after = Distance::from_millimetres(0);
        assert_eq!(after.since(before), 1, "the step from the last reading to 0 is 1 mm");
        assert_eq!(Distance::from_millimetres(499).since(before), 500, "half a metre across it");
        assert_eq!(before.since(after), 4_211_081_215, "the whole counter");
        assert_eq!(before.since(before), 0, "standing");
    }
}
