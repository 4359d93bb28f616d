//! A side whose encoder is lost: it may go on by its valve map alone, if the operator says so.
//!
//! ```text
//!  encoder silent in work ──► stop, latched ──► act "by map" with the master off ──► fresh off→on ──► by the map alone
//!        ▲                                                                                              │
//!        └── encoder silent again ◄── loop closed again ◄── the shaft follows by its edges for 2 s ─────┘
//! ```
//!
//! By the map alone the shaft turns at what is wanted as far as map and oil are what they were: the mass is a guess, is
//! counted by the speed that is wanted, and is told apart in the tally.

use crate::quantity::{Micros, TurnsPerSecond, clamp_i32, mul_shift, mul_wide};
use crate::watch::{Item, LOST_FOR, Lasting};

/// What is remembered of a lost encoder.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Blind {
    /// The encoder fell silent in work and has not been seen to follow since.
    lost: bool,
    /// The operator lets the side run by its map.
    by_map: bool,
    follows: Lasting,
    /// Part of an edge, 2^-21.
    rest: u32,
}

impl Blind {
    /// Whether the encoder fell silent in work and has not been seen to follow since.
    pub(crate) const fn is_lost(&self) -> bool {
        self.lost
    }

    /// Whether the side runs by its map alone.
    pub(crate) const fn by_map(&self) -> bool {
        self.by_map
    }

    /// The operator lets the side run by its map; refused while its encoder is well.
    pub(crate) const fn allow(&mut self) -> bool {
        self.by_map = self.lost;
        self.lost
    }

    /// Edges that a shaft at the speed that is wanted gives in a tick; the part of one is kept.
    #[inline(never)]
    pub(crate) fn edges(&mut self, wanted: TurnsPerSecond, per_turn: u32, elapsed: Micros) -> u32 {
        // A tick that came at all in seconds, Q30: 2^30 / 10^6 is 70 368 744 / 2^16.
        let micros = elapsed.get().min(100_000).cast_signed();
        let seconds = mul_shift::<16>(micros, 70_368_744);
        // Q21 · Q30 down to Q30. 25 and 27 bits, and 16 of an encoder: no product wraps.
        let turns = mul_wide(wanted.to_bits().max(0), seconds).wrapping_shr(21);
        let edges = turns.wrapping_mul(i64::from(per_turn & 0xFFFF));
        let sum = edges.saturating_add(i64::from(self.rest));
        self.rest = clamp_i32(sum & ((1 << 30) - 1)).unsigned_abs();
        clamp_i32(sum.wrapping_shr(30)).max(0).unsigned_abs()
    }

    /// Adds a tick: what the watch said, and whether the shaft turns and follows by its edges.
    pub(crate) fn update(
        &mut self,
        item: Option<Item>,
        turns: bool,
        follows: bool,
        elapsed: Micros,
    ) {
        if item == Some(Item::ShaftSilent) {
            self.lost = true;
            self.by_map = false;
            // Only what follows from now on is a repair.
            self.follows = Lasting::default();
        }
        if self.lost && self.follows.update(turns && follows, elapsed, LOST_FOR) {
            self.lost = false;
            self.by_map = false;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Blind;
    use crate::quantity::{Micros, TurnsPerSecond};
    use crate::watch::Item;

    #[test]
    fn no_part_of_an_edge_is_lost() {
        let mut blind = Blind::default();
        // 0.3 turns/s with 7 edges a turn for 1,000 s: 2,100 edges.
        let wanted = TurnsPerSecond::from_bits(629_146);
        let tick = Micros::from_millis(10);
        let edges: u32 = (0..100_000).map(|_| blind.edges(wanted, 7, tick)).sum();
        assert!((2_099..=2_100).contains(&edges), "have {edges}");
    }

    #[test]
    fn only_a_lost_encoder_lets_a_side_run_by_its_map_and_only_until_it_follows() {
        let mut blind = Blind::default();
        let tick = Micros::from_millis(10);
        assert!(!blind.allow() && !blind.by_map(), "the encoder is well");
        blind.update(Some(Item::ShaftSilent), true, false, tick);
        assert!(!blind.by_map(), "nobody let it");
        assert!(blind.allow() && blind.by_map());
        for _ in 0..199 {
            blind.update(None, true, true, tick);
            assert!(blind.by_map(), "a few edges are no repair");
        }
        blind.update(None, true, true, tick);
        assert!(!blind.by_map() && !blind.allow(), "it is repaired");
    }
}
