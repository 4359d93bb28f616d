//! What the controller hands to the board on every tick.

use crate::MAX_SIDES;
use crate::drive::ValveTurn;
use crate::quantity::{Command, MetresPerSecond, TurnsPerSecond};
use crate::section::SideState;
use crate::sense::{Followed, GroundStatus};
use crate::watch::Item;

/// Everything that is driven or shown. `Default` is at rest: commands zero, motors standing, shut-off de-energised.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Outputs {
    /// The sides, left to right; those beyond the settings are at rest.
    pub sides: [SideOutputs; MAX_SIDES],
    /// Supply shut-off: `true` energises it and lets oil through.
    pub supply: bool,
    /// The item of the watch that matters most now.
    pub alarm: Option<Item>,
    /// Ground speed as believed.
    pub speed: MetresPerSecond,
    /// Whether the ground speed source may be believed.
    pub ground: GroundStatus,
    /// What the ground speed comes from.
    pub followed: Followed,
}

/// What is driven on one side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SideOutputs {
    /// Command of a proportional valve; zero where the valve is motorised.
    pub command: Command,
    /// What a motorised valve's gear motor does until the next tick; hold where the valve is proportional.
    pub turn: ValveTurn,
    /// State.
    pub state: SideState,
    /// Shaft speed wanted now, delivery and drive delay ahead.
    pub wanted: TurnsPerSecond,
    /// Shaft speed measured.
    pub measured: TurnsPerSecond,
}

impl Outputs {
    /// Whether everything that moves oil is at rest. A motorised valve is at rest while it is driven shut: the
    /// shut-off holds the oil back meanwhile.
    #[must_use]
    pub fn at_rest(&self) -> bool {
        at_rest(self.supply, &self.sides)
    }

    /// Whether all stands: no valve is driven, no shaft turns, the drill stands. Only then may a board's program stand
    /// still too, as it does while flash is erased. A shaft that gives no edge is slower the longer it gives none: below
    /// 1/64 of a turn per second it stands.
    #[must_use]
    pub fn stands(&self) -> bool {
        let still = |side: &SideOutputs| {
            side.command == Command::ZERO && side.measured <= TurnsPerSecond::from_bits(1 << 15)
        };
        self.ground == GroundStatus::Standing && self.sides.iter().all(still)
    }
}

/// Whether no oil moves.
#[inline]
pub(crate) fn at_rest(supply: bool, sides: &[SideOutputs]) -> bool {
    let open = |side: &SideOutputs| side.command > Command::ZERO || side.turn == ValveTurn::Open;
    !supply && !sides.iter().any(open)
}
