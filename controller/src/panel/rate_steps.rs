//! Rate up and down: a set step within set limits.

use crate::quantity::MilligramsPerSquareMetre;

/// Step and limits of the rate buttons.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct RateSteps {
    /// What a press adds or takes: above zero.
    pub step: MilligramsPerSquareMetre,
    /// The lowest rate that a press can set: 0.5 kg/ha at least.
    pub low: MilligramsPerSquareMetre,
    /// The highest: 500 kg/ha at most.
    pub high: MilligramsPerSquareMetre,
}

/// The rates that settings may have, mg/m².
pub(super) const LEAST: MilligramsPerSquareMetre = MilligramsPerSquareMetre::from_whole(50);
/// See [`LEAST`].
pub(super) const MOST: MilligramsPerSquareMetre = MilligramsPerSquareMetre::from_whole(50_000);

impl RateSteps {
    /// Whether step and limits are possible.
    pub(super) fn is_valid(&self) -> bool {
        self.step > MilligramsPerSquareMetre::ZERO
            && LEAST <= self.low
            && self.low <= self.high
            && self.high <= MOST
    }

    /// The rate a step up or down, within the limits; none where that is no step that way.
    pub(super) fn from(
        &self,
        rate: MilligramsPerSquareMetre,
        up: bool,
    ) -> Option<MilligramsPerSquareMetre> {
        let next = if up { rate.saturating_add(self.step) } else { rate.saturating_sub(self.step) };
        let next = next.max(self.low).min(self.high);
        let that_way = if up { next > rate } else { next < rate };
        that_way.then_some(next)
    }
}

#[cfg(test)]
mod tests {
    use super::RateSteps;
    use crate::quantity::MilligramsPerSquareMetre;

    const fn rate(whole: u16) -> MilligramsPerSquareMetre {
        MilligramsPerSquareMetre::from_whole(whole)
    }

    const STEPS: RateSteps = RateSteps { step: rate(500), low: rate(9_000), high: rate(13_200) };

    #[test]
    fn a_step_ends_at_the_limit_and_never_goes_the_other_way() {
        assert!(STEPS.is_valid());
        assert_eq!(STEPS.from(rate(11_000), true), Some(rate(11_500)));
        assert_eq!(STEPS.from(rate(13_000), true), Some(rate(13_200)), "to the limit");
        assert_eq!(STEPS.from(rate(13_200), true), None, "at the limit");
        assert_eq!(STEPS.from(rate(20_000), true), None, "up from above the limits");
        assert_eq!(STEPS.from(rate(20_000), false), Some(rate(13_200)), "back into them");
        assert_eq!(STEPS.from(rate(100), true), Some(rate(9_000)), "and from below");
    }

    #[test]
    fn steps_that_lead_out_of_the_settings_are_not_possible() {
        assert!(!RateSteps { step: rate(0), ..STEPS }.is_valid());
        assert!(!RateSteps { low: rate(49), ..STEPS }.is_valid());
        assert!(!RateSteps { high: rate(50_001), ..STEPS }.is_valid());
        assert!(!RateSteps { low: rate(13_201), ..STEPS }.is_valid());
    }
}
