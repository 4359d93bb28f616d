//! Spin plan: the valve commands of a run that measures valve map, opening, hysteresis, lag and dead time.
//!
//! ```text
//!  1 │          ▁▔▔▁          ▔▔  ▔▔▔
//!    │        ▁▔    ▔▁             ▁                 one repeat; the next begins with a step from
//!    │      ▁▔        ▔▁   ▔▔                        full command to rest, and so does the end
//!    │ ▁▂▃▄▅            ▅▄▃▂▁                        of the run
//!  0 └▁──────────────────────▁──▁──────
//!     fine   coarse    fine    whole steps
//!      up   up, down   down
//! ```
//!
//! The opening is looked for in steps of [`FINE_STEP`] for [`REACH`] to both sides of the command at which it is
//! thought to lie, upward and downward, so that a spool that sticks shows as two opening commands.

use crate::quantity::{Command, Micros, quotient};

/// How far the opening is looked for, below and above the expected one: 0.12 of full command.
const REACH: u16 = 7_864;
/// Fine steps from one end of that to the other, each 0.02 of full command.
const FINE: u16 = 12;
/// One of them.
const FINE_STEP: u16 = 2 * REACH / FINE;
/// Steps from the fine ones to full command.
const COARSE: u16 = 7;
const COARSES: u32 = COARSE as u32;
/// Whole steps after the staircase, in 2^-16.
const WHOLES: u16 = 6;
const WHOLE: [u16; WHOLES as usize] = [0, 39_321, 0, u16::MAX, 39_321, u16::MAX];
/// Rest, fine up, coarse up, coarse down, fine down, whole steps.
const HOLDS: u32 = (1 + 2 * (FINE + 1) + (2 * COARSE - 1) + WHOLES) as u32;

/// No spin plan is longer than this: 8 minutes.
pub const LONGEST_SPIN: Micros = Micros::from_millis(480_000);

/// What a person asks a spin run to do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SpinConfig {
    /// Opening command of the valve's data sheet, or of the map in use; up to 0.6 of full command.
    pub opening: Command,
    /// Each command is held so long: 2 to 5 s.
    pub hold: Micros,
    /// The whole is played so often: 2 to 5 times, within [`LONGEST_SPIN`].
    pub repeats: u8,
}

impl SpinConfig {
    /// Holds of 3 s, played three times: 7 minutes.
    pub const fn about(opening: Command) -> Self {
        Self { opening, hold: Micros::from_millis(3_000), repeats: 3 }
    }
}

/// What is wrong with a spin plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum SpinError {
    /// The opening command leaves too little above it.
    Opening,
    /// The holds are shorter than 2 s or longer than 5 s.
    Hold,
    /// Played fewer than 2 or more than 5 times.
    Repeats,
    /// Longer than [`LONGEST_SPIN`].
    TooLong,
}

/// A checked schedule of valve commands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct SpinPlan {
    config: SpinConfig,
}

impl SpinPlan {
    /// Checks the plan.
    ///
    /// # Errors
    ///
    /// [`SpinError`] names the number that is wrong.
    pub const fn new(config: SpinConfig) -> Result<Self, SpinError> {
        if config.opening.to_bits() > 39_321 {
            return Err(SpinError::Opening);
        }
        if config.hold.get() < 2_000_000 || config.hold.get() > 5_000_000 {
            return Err(SpinError::Hold);
        }
        if config.repeats < 2 || config.repeats > 5 {
            return Err(SpinError::Repeats);
        }
        let plan = Self { config };
        if plan.length().get() > LONGEST_SPIN.get() {
            return Err(SpinError::TooLong);
        }
        Ok(plan)
    }

    /// How long the run lasts.
    pub const fn length(&self) -> Micros {
        let holds = HOLDS.saturating_mul(self.config.repeats as u32);
        Micros::new(self.config.hold.get().saturating_mul(holds))
    }

    /// The command so long after the start; none when the run is over.
    #[must_use]
    pub fn command(&self, since: Micros) -> Option<Command> {
        if since >= self.length() {
            return None;
        }
        // A run has few repeats, and these few holds: no division is worth its bytes.
        let one = self.config.hold.get();
        let all = one.saturating_mul(HOLDS);
        let mut left = since.get();
        while left >= all {
            left = left.wrapping_sub(all);
        }
        let mut place = 0_u16;
        while left >= one {
            left = left.wrapping_sub(one);
            place = place.wrapping_add(1);
        }
        Some(Command::from_bits(self.staircase(place)))
    }

    /// The command of a hold within a repeat.
    fn staircase(&self, place: u16) -> u16 {
        const TOP: u16 = 1 + FINE + COARSE;
        const BACK: u16 = 2 * TOP;
        if place >= BACK {
            let step = usize::from(place.saturating_sub(BACK));
            return WHOLE.get(step).copied().unwrap_or(0);
        }
        // Down as it went up.
        let step = place.min(BACK.saturating_sub(place));
        let lowest = self.config.opening.to_bits().saturating_sub(REACH).max(FINE_STEP);
        let Some(step) = step.checked_sub(1) else { return 0 };
        let highest = lowest.saturating_add(2 * REACH);
        let Some(coarse) = step.checked_sub(FINE) else {
            return lowest.saturating_add(FINE_STEP.saturating_mul(step));
        };
        let room = u32::from(u16::MAX.saturating_sub(highest));
        let above = quotient(room.wrapping_mul(u32::from(coarse)), COARSES);
        highest.saturating_add(u16::try_from(above).unwrap_or(u16::MAX))
    }
}

#[cfg(test)]
mod tests {
    use super::{HOLDS, SpinConfig, SpinError, SpinPlan};
    use crate::quantity::{Command, Micros};

    /// The commands of three repeats, one a hold.
    fn commands(opening: u16) -> [u16; 3 * HOLDS as usize] {
        let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(opening))).unwrap();
        core::array::from_fn(|hold| {
            let ms = u32::try_from(hold).unwrap().wrapping_mul(3_000);
            plan.command(Micros::from_millis(ms)).unwrap().to_bits()
        })
    }

    #[test]
    fn the_run_is_over_well_within_ten_minutes_and_ends_at_full_command() {
        let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).unwrap();
        assert!(plan.length() <= Micros::from_millis(480_000), "{:?}", plan.length());
        let last = plan.length().saturating_sub(Micros::new(1));
        assert_eq!(plan.command(last), Some(Command::MAX));
        assert_eq!(plan.command(plan.length()), None);
        assert_eq!(plan.command(Micros::new(u32::MAX)), None);
    }

    #[test]
    fn the_staircase_goes_down_as_it_went_up() {
        let all = commands(13_107);
        let top = all.iter().position(|&command| command == u16::MAX).unwrap();
        for step in 0..=top {
            assert_eq!(all[top - step], all[top + step], "step {step} from the top");
        }
        for pair in all[..=top].windows(2) {
            assert!(pair[0] < pair[1], "{pair:?} does not rise");
        }
    }

    #[test]
    fn fine_steps_lie_to_both_sides_of_the_opening() {
        let all = commands(13_107);
        let near =
            |low: u16, high: u16| all[..20].iter().filter(|&&it| (low..high).contains(&it)).count();
        assert!(near(5_000, 13_107) >= 5, "below");
        assert!(near(13_108, 21_000) >= 5, "above");
    }

    #[test]
    fn every_step_is_played_once_in_a_repeat() {
        let all = commands(0);
        let repeat = &all[..=HOLDS as usize];
        for (index, pair) in repeat.windows(2).enumerate() {
            let twice = repeat.windows(2).skip(index + 1).any(|other| other == pair);
            assert!(!twice, "{pair:?} comes twice");
        }
    }

    #[test]
    fn a_plan_that_cannot_be_played_names_its_number() {
        let good = SpinConfig::about(Command::from_bits(13_107));
        let refused = |config| SpinPlan::new(config).unwrap_err();
        let opening = Command::from_bits(50_000);
        assert_eq!(refused(SpinConfig { opening, ..good }), SpinError::Opening);
        let hold = Micros::from_millis(1_999);
        assert_eq!(refused(SpinConfig { hold, ..good }), SpinError::Hold);
        assert_eq!(refused(SpinConfig { repeats: 1, ..good }), SpinError::Repeats);
        assert_eq!(refused(SpinConfig { repeats: 5, ..good }), SpinError::TooLong);
    }
}
