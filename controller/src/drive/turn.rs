//! What a motorised valve's gear motor does for the length of a tick.

/// Open, hold or close: never two of them.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum ValveTurn {
    /// The motor stands.
    #[default]
    Hold,
    /// The motor opens the valve.
    Open,
    /// The motor closes the valve.
    Close,
}

impl ValveTurn {
    /// The turn that the next tick is given.
    ///
    /// `off` is how much further open the valve shall be; a run goes on until it is there, and a run from
    /// standing begins beyond `zone` and after [`HOLD_TICKS`] ticks of hold, so that the motor never goes from
    /// one way to the other without standing between.
    pub(super) const fn next(self, held: u8, off: i32, zone: i32) -> Self {
        match self {
            Self::Open if off > 0 => Self::Open,
            Self::Close if off < 0 => Self::Close,
            Self::Hold if held < HOLD_TICKS => Self::Hold,
            Self::Hold if off > zone => Self::Open,
            Self::Hold if off < zone.saturating_neg() => Self::Close,
            Self::Open | Self::Close | Self::Hold => Self::Hold,
        }
    }
}

/// The motor stands for so many ticks between two runs: 20 starts a second at the most.
pub const HOLD_TICKS: u8 = 4;

#[cfg(test)]
mod tests {
    use super::{HOLD_TICKS, ValveTurn};

    #[test]
    fn no_run_turns_round_without_standing() {
        let zone = 100;
        assert_eq!(ValveTurn::Open.next(0, -10_000, zone), ValveTurn::Hold);
        assert_eq!(ValveTurn::Close.next(0, 10_000, zone), ValveTurn::Hold);
        for held in 0..HOLD_TICKS {
            assert_eq!(ValveTurn::Hold.next(held, 10_000, zone), ValveTurn::Hold, "{held}");
        }
        assert_eq!(ValveTurn::Hold.next(HOLD_TICKS, 10_000, zone), ValveTurn::Open);
    }

    #[test]
    fn a_run_begins_beyond_the_zone_and_ends_where_it_was_to_end() {
        let zone = 100;
        assert_eq!(ValveTurn::Hold.next(9, 100, zone), ValveTurn::Hold);
        assert_eq!(ValveTurn::Hold.next(9, 101, zone), ValveTurn::Open);
        assert_eq!(ValveTurn::Open.next(9, 1, zone), ValveTurn::Open);
        assert_eq!(ValveTurn::Open.next(9, 0, zone), ValveTurn::Hold);
        assert_eq!(ValveTurn::Hold.next(9, -101, zone), ValveTurn::Close);
    }
}
