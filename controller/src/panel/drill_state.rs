//! The four states that a person tells apart at a glance.
//!
//! | state | sides | word |
//! |---|---|---|
//! | turning | sowing, started by hand, or turned for a run at standstill | `SOWING`, `BY HAND`, `RUN` |
//! | waiting | lifted, outside the lines, too slow, speed lost | `WAIT` and why |
//! | off | switched off by the operator | `OFF` |
//! | stopped | power-up or a latched fault | `STOP` |

use crate::section::SideState;

/// What the drill does, by the side that matters most: one that turns before one that waits, before one that is off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum DrillState {
    /// A fault has it, or power-up: a fresh off→on of the master is needed.
    #[default]
    Stopped,
    /// The operator has it off.
    Off,
    /// It waits and goes on by itself.
    Waiting,
    /// A shaft turns, or may at any moment.
    Turning,
}

impl DrillState {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::Stopped, Self::Off, Self::Waiting, Self::Turning];

    /// That of one side.
    pub const fn of(side: SideState) -> Self {
        match side {
            SideState::Stopped => Self::Stopped,
            SideState::Off => Self::Off,
            SideState::Lifted | SideState::Outside | SideState::Slow | SideState::Lost => {
                Self::Waiting
            }
            SideState::Sowing | SideState::ByHand | SideState::Run => Self::Turning,
        }
    }

    /// The stable number, as in an event.
    #[must_use]
    pub const fn number(self) -> u32 {
        match self {
            Self::Stopped => 0,
            Self::Off => 1,
            Self::Waiting => 2,
            Self::Turning => 3,
        }
    }

    /// The word of the status line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stopped => "stop",
            Self::Off => "off",
            Self::Waiting => "wait",
            Self::Turning => "turn",
        }
    }
}

/// The words of a side's state on the display, at most 13 signs.
#[must_use]
pub const fn reason_of(side: SideState) -> &'static str {
    match side {
        SideState::Stopped => "STOP",
        SideState::Off => "OFF",
        SideState::Lifted => "WAIT lifted",
        SideState::Outside => "WAIT line",
        SideState::Slow => "WAIT too slow",
        SideState::Lost => "WAIT no speed",
        SideState::Sowing => "SOWING",
        SideState::ByHand => "BY HAND",
        SideState::Run => "RUN",
    }
}

/// Number of a side's state in an event.
pub(super) const fn number_of(side: SideState) -> u32 {
    match side {
        SideState::Stopped => 0,
        SideState::Off => 1,
        SideState::Lifted => 2,
        SideState::Outside => 3,
        SideState::Slow => 4,
        SideState::Lost => 5,
        SideState::Sowing => 6,
        SideState::Run => 7,
        SideState::ByHand => 8,
    }
}
