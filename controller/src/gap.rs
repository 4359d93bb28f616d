//! Gaps: ground that was left bare while the drill was in work and went on.
//!
//! ```text
//!  in the ground, inside the lines, going on ──► metered?  yes ─► the gap so far ends: an entry, if it was long
//!                                                   │ no
//!                                                   └─► bare += way of the side; the person is told once it is
//!                                                       longer than the set length
//! ```
//!
//! Metered means: the side sows, its shaft turns at half the wanted speed at the least, and no sensor says that no seed
//! passes. A side that the operator switched off leaves bare ground too: it is entered, but not told, for the
//! operator knows. Places are where the opener was when the metering ceased; what was metered before it lies up to one
//! delivery delay further on.

use crate::MAX_SIDES;
use crate::quantity::{Micrometres, Micros, Position, mul_unsigned};
use heapless::Vec;

/// Why ground was left bare. The value is a stable number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(u8)]
#[non_exhaustive]
pub enum Cause {
    /// The operator had the master or the side off.
    SwitchedOff = 1,
    /// Power-up or a latched fault.
    Stopped = 2,
    /// The ground speed source was lost.
    SpeedLost = 3,
    /// The drill went slower than the lowest sowing speed.
    TooSlow = 4,
    /// The shaft did not turn, or at less than half the wanted speed.
    Shaft = 5,
    /// A sensor says that no seed passed.
    NoSeed = 6,
    /// The hitch was silent or the lift switch chattered.
    LiftUnknown = 7,
}

impl Cause {
    /// The stable number.
    #[must_use]
    pub const fn number(self) -> u8 {
        match self {
            Self::SwitchedOff => 1,
            Self::Stopped => 2,
            Self::SpeedLost => 3,
            Self::TooSlow => 4,
            Self::Shaft => 5,
            Self::NoSeed => 6,
            Self::LiftUnknown => 7,
        }
    }

    /// The cause of a stable number.
    #[must_use]
    pub const fn of_number(number: u8) -> Option<Self> {
        match number {
            1 => Some(Self::SwitchedOff),
            2 => Some(Self::Stopped),
            3 => Some(Self::SpeedLost),
            4 => Some(Self::TooSlow),
            5 => Some(Self::Shaft),
            6 => Some(Self::NoSeed),
            7 => Some(Self::LiftUnknown),
            _ => None,
        }
    }

    /// The person is told.
    const fn is_told(self) -> bool {
        match self {
            Self::SwitchedOff => false,
            Self::Stopped
            | Self::SpeedLost
            | Self::TooSlow
            | Self::Shaft
            | Self::NoSeed
            | Self::LiftUnknown => true,
        }
    }
}

/// A gap.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Gap {
    /// Running number, from 1; wraps.
    pub number: u16,
    /// Side, from 0.
    pub side: u8,
    /// Why it began.
    pub cause: Cause,
    /// Way of the drill in work when it began, since the counts began, mm.
    pub start_mm: u32,
    /// Its length, mm.
    pub length_mm: u32,
    /// Where the opener was when it began, if that was known.
    pub position: Option<Position>,
}

/// Gaps that the board has not fetched yet.
const WAITING: usize = 4;

/// Once told, a gap is shown for so long after it ended.
const SHOWN_FOR: Micros = Micros::from_millis(5_000);

/// A gap that goes on.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Open {
    cause: Cause,
    start_mm: u32,
    bare_um: u64,
    position: Option<Position>,
}

impl Open {
    /// Shorter ones are none.
    fn is_longer(&self, least: Micrometres) -> bool {
        self.bare_um > u64::from(least.get().max(0).unsigned_abs())
    }
}

/// What is remembered of the gaps.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct GapState {
    open: [Option<Open>; MAX_SIDES],
    waiting: Vec<Gap, WAITING>,
    count: u16,
    /// Gaps that could not be kept for the board.
    dropped: u16,
    shown: Micros,
    /// Way in work, mm ...
    way_mm: u32,
    /// ... and its remainder, µm.
    rest_um: u32,
}

/// What happened to the ground under a side in a tick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Soil {
    /// Nothing is wanted here.
    NotWanted,
    /// The drill stands, or goes backwards: a gap neither grows nor ends.
    Still,
    /// Seed was metered for it.
    Sown,
    /// None was.
    Bare(Cause),
}

impl GapState {
    /// Ground under a side that is not bare ends its gap, if there is one.
    pub(crate) fn end(&mut self, side: usize, least: Micrometres) {
        let Some(slot @ Some(_)) = self.open.get_mut(side) else { return };
        if let Some(ended) = slot
            && ended.is_longer(least)
        {
            self.count = self.count.wrapping_add(1);
            let gap = Gap {
                number: self.count,
                side: u8::try_from(side).unwrap_or(u8::MAX),
                cause: ended.cause,
                start_mm: ended.start_mm,
                length_mm: millimetres(ended.bare_um),
                position: ended.position,
            };
            if self.waiting.push(gap).is_err() {
                self.dropped = self.dropped.saturating_add(1);
            }
        }
        *slot = None;
    }

    /// Whether a gap of a side goes on.
    pub(crate) fn is_open(&self, side: usize) -> bool {
        matches!(self.open.get(side), Some(Some(_)))
    }

    /// A gap of a side begins where its opener is, if that is known.
    pub(crate) fn begin(&mut self, side: usize, cause: Cause, position: Option<Position>) {
        let start_mm = self.way_mm;
        if let Some(open) = self.open.get_mut(side) {
            *open = Some(Open { cause, start_mm, bare_um: 0, position });
        }
    }

    /// Counts a tick of bare ground, `way` µm along a side of which a gap goes on. Returns whether the person is to be told.
    pub(crate) fn count(
        &mut self,
        side: usize,
        cause: Cause,
        way: i32,
        least: Micrometres,
    ) -> bool {
        let Some(Some(gap)) = self.open.get_mut(side) else { return false };
        // A drill whose speed source fails slows down first, as it believes.
        if gap.cause == Cause::TooSlow {
            gap.cause = cause;
        }
        gap.bare_um = gap.bare_um.saturating_add(u64::from(way.max(0).unsigned_abs()));
        let told = gap.is_longer(least) && gap.cause.is_told();
        if told {
            self.shown = SHOWN_FOR;
        }
        told
    }

    /// Counts the way of the drill in work and the time a gap is shown; whether one is shown.
    pub(crate) fn pass(&mut self, way: i32, in_work: bool, elapsed: Micros) -> bool {
        if in_work {
            let sum = self.rest_um.saturating_add(way.max(0).unsigned_abs());
            let whole = thousandth(sum);
            self.way_mm = self.way_mm.saturating_add(whole);
            self.rest_um = sum.wrapping_sub(whole.wrapping_mul(1_000));
        }
        self.shown = self.shown.saturating_sub(elapsed);
        self.shown > Micros::ZERO
    }

    /// Takes the oldest gap that the board has not fetched.
    pub(crate) fn fetch(&mut self) -> Option<Gap> {
        let gap = self.waiting.first().copied()?;
        // The list is short: the rest moves up. Not collected: the list's own `collect` can panic.
        self.waiting.rotate_left(1);
        let _taken = self.waiting.pop();
        Some(gap)
    }

    /// Gaps that were not fetched in time.
    pub(crate) const fn dropped(&self) -> u16 {
        self.dropped
    }

    /// Number of the last gap; the count goes on after a power cut.
    pub(crate) const fn number(&self) -> u16 {
        self.count
    }

    /// Way in work, mm.
    pub(crate) const fn way_mm(&self) -> u32 {
        self.way_mm
    }

    /// Goes on from counts that were kept.
    pub(crate) const fn resume(&mut self, number: u16, way_mm: u32) {
        self.count = number;
        self.way_mm = way_mm;
    }
}

/// A thousandth of it, without a division.
fn thousandth(whole: u32) -> u32 {
    if whole < 1 << 18 {
        // Way of a tick: an eighth of it has 15 bits, and 33 555 / 2^22 is the 125th part of those.
        return whole.wrapping_shr(3).wrapping_mul(33_555).wrapping_shr(22);
    }
    // For every word of 32 bits: 2^38 / 1 000, rounded up, is 274 877 907.
    u32::try_from(mul_unsigned(whole, 274_877_907).wrapping_shr(38)).unwrap_or(0)
}

/// Micrometres in whole millimetres, held at the end of 32 bits; without a 64-bit division.
fn millimetres(micrometres: u64) -> u32 {
    if let Ok(short) = u32::try_from(micrometres) {
        return thousandth(short);
    }
    // Steps of 1.024 mm: held at 180 km, where nothing is bare for longer.
    let steps = u32::try_from(micrometres.wrapping_shr(10)).unwrap_or(u32::MAX).min(u32::MAX / 24);
    steps.saturating_add(thousandth(steps.wrapping_mul(24)))
}

#[cfg(test)]
mod tests {
    use super::{Cause, GapState, thousandth};
    use crate::quantity::{Micrometres, Micros};

    const LEAST: Micrometres = Micrometres::from_millimetres(500);

    #[test]
    fn a_gap_is_told_as_it_grows_long_and_entered_as_it_ends() {
        let mut state = GapState::default();
        state.begin(1, Cause::Shaft, None);
        for centimetre in 1..=60 {
            let told = state.count(1, Cause::Shaft, 10_000, LEAST);
            assert_eq!(told, centimetre > 50, "at {centimetre} cm");
        }
        assert!(state.fetch().is_none(), "it goes on");
        state.end(1, LEAST);
        let gap = state.fetch().expect("an entry");
        assert_eq!((gap.number, gap.side, gap.cause, gap.length_mm), (1, 1, Cause::Shaft, 600));
        assert!(state.fetch().is_none(), "fetched twice");
        assert!(state.pass(0, true, Micros::from_millis(10)), "no longer shown");
    }

    #[test]
    fn a_thousandth_is_rounded_down() {
        for whole in (0..1 << 18).chain((1 << 18..u32::MAX).step_by(999_983)) {
            assert_eq!(thousandth(whole), whole / 1_000, "of {whole}");
        }
    }

    #[test]
    fn a_short_gap_is_none_and_a_side_switched_off_is_not_told() {
        let mut state = GapState::default();
        state.begin(0, Cause::Shaft, None);
        state.count(0, Cause::Shaft, 500_000, LEAST);
        state.end(0, LEAST);
        assert!(state.fetch().is_none(), "half a metre is within the set length");
        state.begin(0, Cause::SwitchedOff, None);
        assert!(!state.count(0, Cause::SwitchedOff, 5_000_000, LEAST));
        state.end(0, LEAST);
        assert_eq!(state.fetch().map(|gap| gap.cause), Some(Cause::SwitchedOff));
    }
}
