//! What the watch sees of one side.

use super::{
    BACK_EDGES, CORRECTED_FOR, Item, LOST_FOR, Lasting, REST_EDGES, REST_WITHIN, SILENT_EDGES,
    SILENT_FOR,
};
use crate::drive::{Corrected, Drive};
use crate::quantity::{Instant, Micrometres, Micros, Reciprocal};
use crate::settings::LimitsConfig;

/// What the watch remembers of one side.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own")]
pub(crate) struct SideWatch {
    /// What should have been turned since the last edge: turns in Q16 times a second in steps of 256 µs.
    missing: u32,
    silent: Micros,
    off: Lasting,
    above: Lasting,
    below: Lasting,
    rest_since: Option<Instant>,
    rested: bool,
    rest: RestEdges,
    /// How far back the shaft stood when it stood least so, since that was told last.
    least_behind: u32,
    too_far: Lasting,
    limited: Lasting,
    /// Way with the rate outside its band, µm.
    off_way: u32,
    follows: bool,
    at_limit: bool,
    /// Nothing that must last to be told is under way: nor was it in the tick before.
    calm: bool,
}

/// Ages of the last edges of a shaft at rest, the youngest first. Ages saturate: clocks wrap.
#[derive(Clone, Copy, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct RestEdges([Micros; REST_EDGES]);

impl Default for RestEdges {
    fn default() -> Self {
        Self([Micros::new(u32::MAX); REST_EDGES])
    }
}

impl RestEdges {
    /// Takes the edges of a tick; `true` when one edge more than [`REST_EDGES`] came within [`REST_WITHIN`].
    fn update(&mut self, edges: u32, elapsed: Micros) -> bool {
        self.0 = self.0.map(|age| age.saturating_add(elapsed));
        for _ in 0..edges.min(3) {
            let [young, old] = self.0;
            if old <= REST_WITHIN {
                // Told; the next telling needs as many edges again.
                *self = Self::default();
                return true;
            }
            self.0 = [Micros::ZERO, young];
        }
        false
    }
}

/// One side in a tick, as the watch sees it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SideSeen<'a> {
    pub(crate) driven: bool,
    pub(crate) edges: u32,
    /// Shaft speed wanted, measured and at full command, Q21.
    pub(crate) wanted: i32,
    pub(crate) measured: i32,
    pub(crate) full: i32,
    /// So much turned without an edge is silence, see [`silent_after`].
    pub(crate) silent_after: u32,
    /// Its times: looked up when they matter.
    pub(crate) drive: &'a Drive,
    pub(crate) elapsed: Micros,
    /// Edges by which the shaft stands behind its furthest count.
    pub(crate) behind: u32,
    pub(crate) corrected: Corrected,
    /// Way in work in this tick, µm.
    pub(crate) way: i32,
    pub(crate) limits: &'a LimitsConfig,
}

/// What a shaft turns with [`SILENT_EDGES`] edges of so many a turn: turns in Q16 times a second in steps of 256 µs.
pub(crate) fn silent_after(edges_per_turn: u32) -> u32 {
    // 2^16 · 10^6 / 256 is 256 · 10^6.
    Reciprocal::of(edges_per_turn).times(SILENT_EDGES * 256_000_000, 0)
}

/// What a side shows that is told only once it lasts.
#[derive(Clone, Copy, Debug, Default)]
#[expect(clippy::struct_excessive_bools, reason = "each is a condition of its own")]
struct Shown {
    /// Any of them.
    any: bool,
    off: bool,
    above: bool,
    below: bool,
    limited: bool,
    too_far: bool,
    rate_off: bool,
    elapsed: Micros,
    /// Time in which the valve crosses its travel.
    travel: Micros,
    /// Way in work in this tick, µm, and the most that may pass with the rate off.
    way: i32,
    most: Micrometres,
}

impl SideSeen<'_> {
    /// How far the shaft is off what is wanted: further than [`OFF`], and further than the rate's band.
    fn off(&self) -> [bool; 2] {
        // Q15, held at 16 and 64 turns/s: in thousandths they fit 32 bits.
        let apart = self.wanted.abs_diff(self.measured).min(1 << 27);
        let apart = apart.wrapping_shr(6).wrapping_mul(1_000);
        let wanted = self.wanted.unsigned_abs().min(1 << 25).wrapping_shr(6);
        // A band is half of it at most: checked settings.
        let band = self.limits.rate_band.get();
        [OFF, band].map(|most| apart > wanted.wrapping_mul(most.into()))
    }
}

/// What the watch heeds of a shaft that is driven.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Heed {
    /// Everything.
    All,
    /// Its encoder is lost: it runs by the map alone, and that is told.
    ByMap,
    /// A drive that is being measured follows nothing, and runs out as it will.
    Nothing,
}

/// A shaft that is off by more than this for two seconds does not follow.
const OFF: u16 = 150;

/// More than the drive can turn is told after so long.
const ABOVE_FOR: Micros = Micros::from_millis(500);

impl SideWatch {
    /// The item that matters most of those that a side shows in this tick.
    pub(crate) fn update(&mut self, seen: SideSeen<'_>, heed: Heed, now: Instant) -> Option<Item> {
        let backwards = self.turns_back(seen.behind);
        let [off, rate_off] = seen.off();
        self.follows = seen.driven && seen.measured > 0 && !off;
        let item = if seen.driven || heed == Heed::Nothing {
            self.rest_since = None;
            self.rested = false;
            match heed {
                Heed::All => self.driven(&seen, [off, rate_off]),
                Heed::ByMap => Some(self.by_map(seen.wanted > seen.full, seen.elapsed)),
                Heed::Nothing => None,
            }
        } else {
            self.rest();
            self.resting(&seen, now)
        };
        if backwards { Some(Item::ShaftBackwards) } else { item }
    }

    /// Whether the shaft follows by its edges.
    pub(crate) const fn follows(&self) -> bool {
        self.follows
    }

    /// Whether the correction of the map has been at its limit for long.
    pub(crate) const fn is_at_limit(&self) -> bool {
        self.at_limit
    }

    /// Whether the shaft turned back by too many edges since that was told last.
    fn turns_back(&mut self, behind: u32) -> bool {
        self.least_behind = self.least_behind.min(behind);
        let turns = behind.saturating_sub(self.least_behind) >= BACK_EDGES;
        if turns {
            self.least_behind = behind;
        }
        turns
    }

    /// A shaft at rest shows nothing of what is looked at while it is driven.
    fn rest(&mut self) {
        self.missing = 0;
        self.silent = Micros::ZERO;
        if !self.calm {
            let _nothing = self.last(&Shown::default());
        }
    }

    fn driven(&mut self, seen: &SideSeen<'_>, [off, rate_off]: [bool; 2]) -> Option<Item> {
        if seen.edges > 0 {
            self.missing = 0;
            self.silent = Micros::ZERO;
        } else if self.is_silent(seen) {
            return Some(Item::ShaftSilent);
        }
        let above = seen.wanted > seen.full;
        let below = seen.wanted < seen.full.wrapping_shr(6);
        let (limited, too_far) = (seen.corrected.is_limited(), seen.corrected.is_too_far());
        let any = off | above | below | limited | too_far | rate_off;
        if self.calm && !any {
            return None;
        }
        self.last(&Shown {
            any,
            off,
            above,
            below,
            limited,
            too_far,
            rate_off,
            elapsed: seen.elapsed,
            travel: seen.drive.shut_in(),
            way: seen.way,
            most: seen.limits.rate_way,
        })
    }

    /// Counts a tick without an edge; whether too many should have come.
    fn is_silent(&mut self, seen: &SideSeen<'_>) -> bool {
        // Q21 down to Q16, and steps of 256 µs: 20 and 11 bits at the most, and held.
        let speed = seen.wanted.max(0).unsigned_abs().wrapping_shr(5).min(1 << 20);
        let turned = speed.wrapping_mul(seen.elapsed.get().wrapping_shr(8).min(1 << 11));
        self.missing = self.missing.saturating_add(turned);
        self.silent = self.silent.saturating_add(seen.elapsed);
        self.missing >= seen.silent_after && self.silent >= SILENT_FOR.max(seen.drive.answer())
    }

    /// By the map alone no edge would tell that the shaft turns at full speed only.
    fn by_map(&mut self, above: bool, elapsed: Micros) -> Item {
        self.calm = false;
        let above = self.above.update(above, elapsed, ABOVE_FOR);
        if above { Item::TargetAbove } else { Item::ByMap }
    }

    /// Adds a tick to what must last; what has lasted.
    #[inline(never)]
    fn last(&mut self, shown: &Shown) -> Option<Item> {
        let Shown { elapsed, .. } = *shown;
        let off = self.off.count(shown.off, elapsed, LOST_FOR.saturating_add(shown.travel));
        let above = self.above.count(shown.above, elapsed, ABOVE_FOR);
        let below = self.below.count(shown.below, elapsed, LOST_FOR);
        // Looked at behind the others too: a map at its limit is what makes a shaft lag.
        self.at_limit = self.limited.count(shown.limited, elapsed, CORRECTED_FOR);
        let too_far = self.too_far.count(shown.too_far, elapsed, CORRECTED_FOR);
        let way = self.off_way.saturating_add(shown.way.max(0).unsigned_abs());
        self.off_way = if shown.rate_off { way } else { 0 };
        self.calm = !shown.any;
        Some(match () {
            () if above => Item::TargetAbove,
            () if off => Item::ShaftDoesNotFollow,
            () if below => Item::TargetBelow,
            () if self.off_way > shown.most.get().unsigned_abs() => Item::RateOff,
            () if self.at_limit => Item::CorrectionAtLimit,
            () if too_far => Item::OpenedTooFar,
            () => return None,
        })
    }

    fn resting(&mut self, seen: &SideSeen<'_>, now: Instant) -> Option<Item> {
        let since = *self.rest_since.get_or_insert(now);
        if !self.rested && now.since(since) >= seen.drive.run_out() {
            self.rested = true;
            self.rest = RestEdges::default();
        }
        let turns = self.rested && self.rest.update(seen.edges, seen.elapsed);
        turns.then_some(Item::ShaftTurnsAtRest)
    }
}
