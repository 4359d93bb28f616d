//! Delivery plan: when the lamp lights and when the shaft starts, so that the delay from meter to soil can be told.
//!
//! ```text
//!  lamp   ▁▁▁▔▔▁▁▁▁▁▔▔▁▁▁▁▔▔▁▁  …                          the person presses when the lamp lights ...
//!  shaft                        … ▁▁▁▔▔▔▔▁▁▁▁▁▔▔▔▔▁▁▁▁     ... and when the first seed falls
//! ```
//!
//! delay = mean(press − shaft start) − mean(press − lamp): what a person is late by is in both and goes out. The
//! moments are odd, so that nobody presses by the beat.

use crate::quantity::Micros;

/// The lamp shines, and the shaft turns, so long.
const SHINES: u32 = 1_000_000;
const TURNS: u32 = 2_000_000;
/// Shortest wait before it does; the odd part of up to 2.047 s comes on top.
const WAITS: u32 = 1_500_000;
/// Longest odd part, µs: eleven bits of milliseconds.
const ODD_MASK: u32 = 0x7FF;
/// Time of one trial of either kind.
const LAMP_TRIAL: u32 = WAITS + 2_048_000 + SHINES;
const SHAFT_TRIAL: u32 = WAITS + 2_048_000 + TURNS;

/// What a person asks a delivery run to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DeliveryConfig {
    /// Lamp trials, and as many starts of the shaft: 1 to 50.
    pub trials: u8,
    /// Sets the odd moments.
    pub odd: u32,
}

impl DeliveryConfig {
    /// As many trials as the result needs for 0.05 s at 3.5 standard deviations, for a person who is 0.05 s rms
    /// uneven and seed that falls 0.03 s rms uneven (assumptions, *common practice*): 3.5 √((0.05² + 0.03² +
    /// 0.05²) / 32) = 0.047 s. With a tube sensor six starts do.
    pub const BY_EYE: Self = Self { trials: 32, odd: 1 };
}

/// What is wrong with a delivery plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum DeliveryError {
    /// No trial, or more than 50.
    Trials,
}

/// What is on at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DeliveryMoment {
    /// The lamp shines.
    pub lamp: bool,
    /// The shaft is to turn.
    pub turning: bool,
}

/// A checked schedule of lamp and shaft.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct DeliveryPlan {
    config: DeliveryConfig,
}

impl DeliveryPlan {
    /// Checks the plan.
    ///
    /// # Errors
    ///
    /// [`DeliveryError`] names the number that is wrong.
    pub const fn new(config: DeliveryConfig) -> Result<Self, DeliveryError> {
        if config.trials == 0 || config.trials > 50 {
            return Err(DeliveryError::Trials);
        }
        Ok(Self { config })
    }

    /// How long the run lasts: 5.4 minutes for 32 trials.
    pub const fn length(&self) -> Micros {
        Micros::new((LAMP_TRIAL + SHAFT_TRIAL).saturating_mul(self.config.trials as u32))
    }

    /// What is on so long after the start; none when the run is over.
    #[must_use]
    pub fn moment(&self, since: Micros) -> Option<DeliveryMoment> {
        if since >= self.length() {
            return None;
        }
        let lamps = LAMP_TRIAL.saturating_mul(u32::from(self.config.trials));
        Some(match since.get().checked_sub(lamps) {
            None => {
                let lamp = self.on(since.get(), LAMP_TRIAL, SHINES, 0);
                DeliveryMoment { lamp, turning: false }
            }
            Some(later) => {
                let turning = self.on(later, SHAFT_TRIAL, TURNS, 1_000);
                DeliveryMoment { lamp: false, turning }
            }
        })
    }

    /// Whether it is on at `time`, in trials of `length` of which it is on for `lasts`.
    fn on(&self, time: u32, length: u32, lasts: u32, stream: u32) -> bool {
        let trial = time.checked_div(length).unwrap_or(0);
        let within = time.checked_rem(length).unwrap_or(0);
        let from = WAITS.saturating_add(odd(self.config.odd, trial.saturating_add(stream)));
        (from..from.saturating_add(lasts)).contains(&within)
    }
}

/// An odd time up to 2.047 s (Knuth's multiplicative hash, twice mixed; wraps because a hash does).
const fn odd(seed: u32, trial: u32) -> u32 {
    let mixed =
        trial.wrapping_add(seed.wrapping_mul(97)).wrapping_add(1).wrapping_mul(2_654_435_761);
    let mixed = (mixed ^ mixed.wrapping_shr(15)).wrapping_mul(2_246_822_519);
    (mixed.wrapping_shr(13) & ODD_MASK).saturating_mul(1_000)
}

#[cfg(test)]
mod tests {
    use super::{DeliveryConfig, DeliveryError, DeliveryMoment, DeliveryPlan};
    use crate::quantity::Micros;
    use heapless::Vec;

    /// Milliseconds at which it goes on.
    fn starts(of: impl Fn(DeliveryMoment) -> bool) -> Vec<u32, 40> {
        let plan = DeliveryPlan::new(DeliveryConfig::BY_EYE).unwrap();
        let mut list = Vec::new();
        let mut before = false;
        for ms in 0..600_000 {
            let now = plan.moment(Micros::from_millis(ms)).is_some_and(&of);
            if now && !before {
                list.push(ms).unwrap();
            }
            before = now;
        }
        list
    }

    #[test]
    fn lamp_and_shaft_go_on_as_often_as_asked() {
        assert_eq!(starts(|moment| moment.lamp).len(), 32);
        assert_eq!(starts(|moment| moment.turning).len(), 32);
        assert!(starts(|moment| moment.lamp && moment.turning).is_empty(), "never both");
    }

    #[test]
    fn no_one_can_press_by_the_beat() {
        let starts = starts(|moment| moment.turning);
        let waits: Vec<u32, 40> = starts.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let mean = waits.iter().sum::<u32>() / 31;
        let apart = waits.iter().map(|wait| wait.abs_diff(mean)).sum::<u32>() / 31;
        assert!(apart > 400, "the waits are {apart} ms apart on average: {waits:?}");
    }

    #[test]
    fn a_plan_without_trials_is_refused() {
        let config = DeliveryConfig { trials: 0, odd: 1 };
        assert_eq!(DeliveryPlan::new(config), Err(DeliveryError::Trials));
    }
}
