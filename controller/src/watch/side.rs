//! What the watch sees of one side.

use super::{
    BACK_EDGES, CORRECTED_FOR, Item, LOST_FOR, Lasting, REST_EDGES, REST_WITHIN, SILENT_EDGES,
    SILENT_FOR,
};
use crate::drive::{Corrected, Drive};
use crate::quantity::{Instant, Micros, Reciprocal};
use crate::settings::LimitsConfig;

/// What the watch remembers of one side.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[expect(clippy::struct_excessive_bools, reason = "each is a condition of its own")]
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
    /// Something was amiss since the timers of a driven shaft were at nothing.
    amiss: bool,
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

/// How far the shaft is off what is wanted, in thousandths of turns/s, and what is wanted, Q15.
#[derive(Clone, Copy, Debug)]
struct Apart {
    by: u32,
    of: u32,
}

impl SideSeen<'_> {
    fn apart(&self) -> Apart {
        // Held at 16 and 64 turns/s: in thousandths they fit 32 bits.
        let by = self.wanted.saturating_sub(self.measured).unsigned_abs().min(1 << 27);
        let of = self.wanted.unsigned_abs().min(1 << 25);
        Apart { by: by.wrapping_shr(6).wrapping_mul(1_000), of: of.wrapping_shr(6) }
    }
}

impl Apart {
    /// Whether the shaft is further off what is wanted than a share of it.
    fn is_beyond(self, per_mille: u16) -> bool {
        self.by > self.of.wrapping_mul(per_mille.into())
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

impl SideWatch {
    /// The item that matters most of those that a side shows in this tick.
    pub(crate) fn update(&mut self, seen: SideSeen<'_>, heed: Heed, now: Instant) -> Option<Item> {
        let backwards = self.turns_back(seen.behind).then_some(Item::ShaftBackwards);
        let apart = seen.apart();
        let off = apart.is_beyond(OFF);
        self.follows = seen.driven && seen.measured > 0 && !off;
        let item = if seen.driven || heed == Heed::Nothing {
            self.rest_since = None;
            self.rested = false;
            match heed {
                Heed::All => self.driven(seen, apart, off),
                // No edge would tell that the shaft turns at full speed only.
                Heed::ByMap if self.is_above(&seen) => Some(Item::TargetAbove),
                Heed::ByMap => Some(Item::ByMap),
                Heed::Nothing => None,
            }
        } else {
            self.rest(seen, now)
        };
        backwards.or(item)
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

    fn rest(&mut self, seen: SideSeen<'_>, now: Instant) -> Option<Item> {
        self.settle();
        self.resting(seen, now)
    }

    /// Nothing is amiss of a driven shaft.
    fn settle(&mut self) {
        if !self.amiss {
            return;
        }
        self.amiss = false;
        self.missing = 0;
        self.silent = Micros::ZERO;
        self.off = Lasting::default();
        self.above = Lasting::default();
        self.below = Lasting::default();
        self.too_far = Lasting::default();
        self.limited = Lasting::default();
        self.off_way = 0;
        self.at_limit = false;
    }

    fn driven(&mut self, seen: SideSeen<'_>, apart: Apart, off: bool) -> Option<Item> {
        let rate_off = apart.is_beyond(seen.limits.rate_band.get());
        let fits = seen.wanted <= seen.full && seen.wanted >= seen.full / 64;
        let corrected = seen.corrected.is_limited() || seen.corrected.is_too_far();
        if seen.edges > 0 && !off && !rate_off && fits && !corrected {
            self.settle();
            return None;
        }
        self.amiss = true;
        if seen.edges > 0 {
            self.missing = 0;
            self.silent = Micros::ZERO;
        } else {
            // Q21 down to Q16, and steps of 256 µs: held at 20 and 11 bits.
            let speed = seen.wanted.max(0).unsigned_abs().wrapping_shr(5).min(1 << 20);
            let turned = speed.wrapping_mul(seen.elapsed.get().wrapping_shr(8).min(1 << 11));
            self.missing = self.missing.saturating_add(turned);
            self.silent = self.silent.saturating_add(seen.elapsed);
            let enough = self.missing >= seen.silent_after;
            if enough && self.silent >= SILENT_FOR.max(seen.drive.answer()) {
                return Some(Item::ShaftSilent);
            }
        }
        let off = self.off.update(off, seen.elapsed, LOST_FOR.saturating_add(seen.drive.shut_in()));
        let above = self.is_above(&seen);
        let below = self.below.update(seen.wanted < seen.full / 64, seen.elapsed, LOST_FOR);
        // Looked at behind the others too: a map at its limit is what makes a shaft lag.
        let slow = self.slow(seen, rate_off);
        match (above, off, below) {
            (true, _, _) => Some(Item::TargetAbove),
            (false, true, _) => Some(Item::ShaftDoesNotFollow),
            (false, false, true) => Some(Item::TargetBelow),
            (false, false, false) => slow,
        }
    }

    /// Whether more is wanted than the drive can turn.
    fn is_above(&mut self, seen: &SideSeen<'_>) -> bool {
        self.amiss = true;
        self.above.update(seen.wanted > seen.full, seen.elapsed, Micros::from_millis(500))
    }

    /// What shows slowly: the correction, and a rate that is off for long.
    fn slow(&mut self, seen: SideSeen<'_>, rate_off: bool) -> Option<Item> {
        let SideSeen { corrected, elapsed, limits, .. } = seen;
        self.at_limit = self.limited.update(corrected.is_limited(), elapsed, CORRECTED_FOR);
        let too_far = self.too_far.update(corrected.is_too_far(), elapsed, CORRECTED_FOR);
        let passed = self.off_way.saturating_add(seen.way.max(0).unsigned_abs());
        self.off_way = if rate_off { passed } else { 0 };
        let off = self.off_way > limits.rate_way.get().unsigned_abs();
        let off = off.then_some(Item::RateOff);
        let too_far = too_far.then_some(Item::OpenedTooFar);
        off.or(self.at_limit.then_some(Item::CorrectionAtLimit)).or(too_far)
    }

    fn resting(&mut self, seen: SideSeen<'_>, now: Instant) -> Option<Item> {
        let since = *self.rest_since.get_or_insert(now);
        if !self.rested && now.since(since) >= seen.drive.run_out() {
            self.rested = true;
            self.rest = RestEdges::default();
        }
        let turns = self.rested && self.rest.update(seen.edges, seen.elapsed);
        turns.then_some(Item::ShaftTurnsAtRest)
    }
}
