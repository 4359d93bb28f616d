//! The measured valve map: command to shaft speed, and back.
//!
//! ```text
//!  turns/s │            ╱·
//!          │        ·╱
//!          │     ╱
//!          │  ·                 the command jumps across the dead band:
//!          └──┴────────── u     zero for zero, above the opening command for anything else
//!           opening
//! ```

use crate::quantity::{Command, TurnsPerSecond, mul_shift, mul_unsigned};
use heapless::Vec;

/// Most points of a map.
pub const MAX_MAP_POINTS: usize = 12;

/// At this command the shaft turns so fast.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct MapPoint {
    /// Valve command.
    pub command: Command,
    /// Shaft speed.
    pub shaft: TurnsPerSecond,
}

/// What is wrong with a map.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum MapError {
    /// Fewer than two points.
    TooFew,
    /// The first point, the opening command, is not at zero shaft speed.
    Opening,
    /// The shaft speed of this point is not above the one before.
    Order(usize),
    /// The command of this point is not above the one before.
    Command(usize),
    /// The last point turns outside 0.02 to 10 turns/s.
    Full,
}

/// One piece of the inverse map.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
struct Piece {
    /// Shaft speed from which it holds, Q21.
    from: i32,
    /// Command there, Q16.
    command: u16,
    /// Rise of the command per shaft speed, Q16 per Q21, in Q26.
    slope: u32,
    /// Rise of the shaft speed per command, Q21 per Q16, in Q12.
    back: i32,
}

/// A checked valve map.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct ValveMap {
    pieces: Vec<Piece, MAX_MAP_POINTS>,
    full: MapPoint,
}

/// Slowest and fastest full speed, Q21: 0.02 and 10 turns/s.
pub(crate) const FULL: core::ops::RangeInclusive<i32> = 41_943..=10 << 21;

impl ValveMap {
    /// Checks the points.
    ///
    /// # Errors
    ///
    /// [`MapError`] names the rule that is broken.
    pub fn new(points: &[MapPoint]) -> Result<Self, MapError> {
        let (Some(first), Some(&full)) = (points.first(), points.last()) else {
            return Err(MapError::TooFew);
        };
        if points.len() < 2 {
            return Err(MapError::TooFew);
        }
        if first.shaft != TurnsPerSecond::ZERO {
            return Err(MapError::Opening);
        }
        if !FULL.contains(&full.shaft.to_bits()) {
            return Err(MapError::Full);
        }
        let mut pieces = Vec::new();
        for (index, pair) in (1..usize::MAX).zip(points.windows(2)) {
            let [low, high] = pair else { return Err(MapError::TooFew) };
            let piece = Piece::between(*low, *high, index)?;
            pieces.push(piece).map_err(|_| MapError::Order(MAX_MAP_POINTS))?;
        }
        Ok(Self { pieces, full })
    }

    /// Shaft speed at full command.
    pub const fn full(&self) -> TurnsPerSecond {
        self.full.shaft
    }

    /// The command that turns the shaft at `shaft`: exactly zero for zero, full command above the map.
    #[inline(never)]
    pub fn command(&self, shaft: TurnsPerSecond) -> Command {
        if shaft <= TurnsPerSecond::ZERO {
            return Command::ZERO;
        }
        let bits = shaft.min(self.full.shaft).to_bits();
        let mut held = None;
        for piece in &self.pieces {
            if bits >= piece.from {
                held = Some(piece);
            }
        }
        let Some(piece) = held else { return Command::ZERO };
        let into = bits.saturating_sub(piece.from).unsigned_abs();
        let rise = mul_unsigned(into, piece.slope).saturating_add(1 << 25).wrapping_shr(26);
        // A piece ends where its command does: far below 32 bits.
        let rise = u32::try_from(rise).unwrap_or(u32::MAX);
        let command = u32::from(piece.command).saturating_add(rise);
        let command = command.min(u32::from(self.full.command.to_bits()));
        Command::from_bits(u16::try_from(command).unwrap_or(u16::MAX))
    }

    /// Shaft speed at a command of so many 2^-16, Q21, and the rise of the command per shaft speed there, Q26.
    #[inline(never)]
    pub(super) fn at(&self, command: i32) -> (i32, i32) {
        let mut piece = self.pieces.first().copied().unwrap_or_default();
        for candidate in &self.pieces {
            if command >= i32::from(candidate.command) {
                piece = *candidate;
            }
        }
        let above = command.saturating_sub(i32::from(piece.command)).max(0);
        let shaft = piece.from.saturating_add(mul_shift::<12>(above, piece.back));
        (shaft, i32::try_from(piece.slope).unwrap_or(i32::MAX))
    }
}

impl Piece {
    /// The piece up to the point `index`.
    fn between(low: MapPoint, high: MapPoint, index: usize) -> Result<Self, MapError> {
        let run = high.shaft.to_bits().saturating_sub(low.shaft.to_bits());
        let rise = high.command.to_bits().saturating_sub(low.command.to_bits());
        if run <= 0 {
            return Err(MapError::Order(index));
        }
        if rise == 0 {
            return Err(MapError::Command(index));
        }
        let slope = u64::from(rise).wrapping_shl(26).checked_div(u64::from(run.unsigned_abs()));
        let slope = u32::try_from(slope.unwrap_or(u64::MAX)).unwrap_or(u32::MAX);
        let back = u64::from(run.unsigned_abs()).wrapping_shl(12).checked_div(u64::from(rise));
        let back = i32::try_from(back.unwrap_or(u64::MAX)).unwrap_or(i32::MAX);
        Ok(Self { from: low.shaft.to_bits(), command: low.command.to_bits(), slope, back })
    }
}

#[cfg(test)]
mod tests {
    use super::{MapError, MapPoint, ValveMap};
    use crate::quantity::{Command, TurnsPerSecond};

    const fn point(command: u16, shaft: i32) -> MapPoint {
        MapPoint { command: Command::from_bits(command), shaft: TurnsPerSecond::from_bits(shaft) }
    }

    #[test]
    fn a_map_must_open_at_zero_and_rise() {
        assert_eq!(ValveMap::new(&[]), Err(MapError::TooFew));
        assert_eq!(ValveMap::new(&[point(100, 5), point(200, 1 << 21)]), Err(MapError::Opening));
        assert_eq!(ValveMap::new(&[point(200, 0), point(200, 1 << 21)]), Err(MapError::Command(1)));
        assert_eq!(ValveMap::new(&[point(200, 0), point(300, 5)]), Err(MapError::Full));
    }

    #[test]
    fn the_map_read_backwards_is_the_map() {
        let map =
            ValveMap::new(&[point(13_107, 0), point(40_000, 1 << 21), point(65_535, 3 << 21)])
                .unwrap();
        assert_eq!(map.at(13_107).0, 0, "it stands at the opening command");
        assert_eq!(map.at(5_000).0, 0, "and below it");
        for shaft in (0..3 << 21).step_by(70_001) {
            let command = map.command(TurnsPerSecond::from_bits(shaft)).to_bits();
            let back = map.at(i32::from(command)).0;
            // A command has steps of 2^-16.
            assert!((back - shaft).abs() <= 165, "{shaft} came back as {back}");
        }
    }

    #[test]
    fn the_command_jumps_across_the_dead_band() {
        let map =
            ValveMap::new(&[point(13_107, 0), point(40_000, 1 << 21), point(65_535, 3 << 21)])
                .unwrap();
        assert_eq!(map.command(TurnsPerSecond::ZERO), Command::ZERO);
        assert_eq!(map.command(TurnsPerSecond::from_bits(1)), Command::from_bits(13_107));
        assert_eq!(map.command(TurnsPerSecond::from_bits(1 << 21)), Command::from_bits(40_000));
        assert_eq!(map.command(TurnsPerSecond::from_bits(9 << 21)), Command::from_bits(65_535));
    }
}
