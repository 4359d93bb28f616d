//! Watch: what can go wrong, how it is told and what it does. A fault may only take output away.
//!
//! | no. | item | class | told after |
//! |---|---|---|---|
//! | 1 | speed source lost | pause, latches after 2 s | pulses: at least 100 ms, once the silence implies 6 m/s²; samples: their limit |
//! | 2 | speed implausible | alarm | the tick of the jump |
//! | 3 | shaft silent while driven | latch | 12 edges that should have come and 500 ms (or dead time and twice the lag, and the time in which a motorised valve shuts, if that is longer) |
//! | 4 | shaft turns while at rest | latch | the tick of the third edge within 10 s, after the run-out |
//! | 5 | shaft does not follow | alarm | 2 s outside ±15 % (and the time in which a motorised valve shuts) |
//! | 6 | target above what the drive can turn | alarm | 0.5 s |
//! | 7 | target below what the drive can turn smoothly | alarm | 2 s |
//! | 8 | inputs stale | latch | the tick after more than 250 ms without one |
//! | 9 | settings invalid | latch | power-up |
//! | 10 | tick late | alarm | the tick after more than 20 ms |
//! | 11 | speed set by hand in use | alarm | the tick in which the last source is lost |
//! | 12 | a speed source is missing | alarm | the tick in which it is lost, while another is followed |
//! | 13 | speed sources disagree | alarm | 3 s more than a fifth apart |
//! | 14 | gap | alarm | the tick in which the ground left bare is longer than the set length |
//! | 15 | hopper empty | alarm | 1 s of the level switch |
//! | 16 | no seed in the tubes | alarm | delivery delay and 1 s after seed was metered |
//! | 17 | lift unknown | pause | the hitch's limit; a switch that chatters: eight changes within 0.25 s |
//! | 18 | stop button | latch | the tick that reads it; the button itself cuts the oil without the processor |
//! | 19 | road speed | latch | 1 s above the set speed |
//! | 20 | raised for long | latch | the set time with the implement lifted |
//! | 21 | shaft turns backwards | latch | 12 edges of a two-channel encoder |
//! | 22 | valve opened too far | alarm | 5 s with the map's correction beyond the told limit |
//! | 23 | correction at its limit | alarm; arms no more | 5 s with the correction at its limit |
//! | 24 | rate off | alarm | the set way with the shaft outside the set band |
//! | 25 | by the map alone | alarm | while a side runs without its encoder |
//! | 26 | box low | alarm | seed left below the set mass (found by the panel) |
//! | 27 | box will not last | alarm | seed left below what this pass still takes (found by the panel) |
//!
//! The numbers are stable: they may be written in a log or on a card.

use crate::quantity::{Instant, Micros};

/// An item of the watch; the value is its stable number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(u8)]
#[non_exhaustive]
pub enum Item {
    /// The ground speed source fell silent.
    SpeedLost = 1,
    /// The ground speed jumped as no tractor does.
    SpeedImplausible = 2,
    /// The valve is driven and the shaft shows no edges.
    ShaftSilent = 3,
    /// The shaft turns although the valve is at rest.
    ShaftTurnsAtRest = 4,
    /// The shaft speed stays off what is wanted.
    ShaftDoesNotFollow = 5,
    /// The ground speed asks for more than the drive can turn.
    TargetAbove = 6,
    /// The ground speed asks for less than the drive can turn smoothly.
    TargetBelow = 7,
    /// No tick came for too long.
    InputsStale = 8,
    /// The settings do not match their check sum or break a rule.
    SettingsInvalid = 9,
    /// A tick came late.
    TickLate = 10,
    /// No source lives: the speed that was set by hand is used.
    SpeedByHand = 11,
    /// A speed source is missing; another is followed.
    SourceMissing = 12,
    /// Two speed sources disagree.
    SourcesDisagree = 13,
    /// Ground was left bare.
    Gap = 14,
    /// The hopper's level switch reads empty.
    HopperEmpty = 15,
    /// Seed is metered and none passes the tube sensor.
    NoSeedInTubes = 16,
    /// The hitch says nothing of the lift, or its switch chatters.
    LiftUnknown = 17,
    /// The hard-wired stop is pressed.
    StopPressed = 18,
    /// Faster than the set road speed: disarmed.
    RoadSpeed = 19,
    /// The implement was lifted for longer than set: disarmed.
    RaisedLong = 20,
    /// The shaft turns backwards.
    ShaftBackwards = 21,
    /// The valve must open further than its map says: stiff shaft, wet seed, wrong oil.
    OpenedTooFar = 22,
    /// The correction of the map is at its limit: the drive will not arm again.
    CorrectionAtLimit = 23,
    /// The rate was outside its band for longer than the set way.
    RateOff = 24,
    /// A side runs by its valve map alone, without its encoder.
    ByMap = 25,
    /// The box holds less than the set mass.
    BoxLow = 26,
    /// The box will be empty before this pass ends.
    BoxWillNotLast = 27,
}

/// What an item does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Class {
    /// The person is told.
    Alarm,
    /// Output is taken away and comes back by itself.
    Pause,
    /// Output is taken away until a fresh off→on of the operator.
    Latch,
}

impl Item {
    /// The stable number.
    #[must_use]
    pub const fn number(self) -> u8 {
        #[expect(clippy::as_conversions, reason = "the enum is repr(u8)")]
        let number = self as u8;
        number
    }

    /// What it does.
    pub const fn class(self) -> Class {
        match self {
            Self::SpeedLost | Self::LiftUnknown => Class::Pause,
            Self::SpeedImplausible
            | Self::ShaftDoesNotFollow
            | Self::TargetAbove
            | Self::TargetBelow
            | Self::TickLate
            | Self::SpeedByHand
            | Self::SourceMissing
            | Self::SourcesDisagree
            | Self::Gap
            | Self::HopperEmpty
            | Self::NoSeedInTubes
            | Self::OpenedTooFar
            | Self::CorrectionAtLimit
            | Self::RateOff
            | Self::ByMap
            | Self::BoxLow
            | Self::BoxWillNotLast => Class::Alarm,
            Self::StopPressed
            | Self::RoadSpeed
            | Self::RaisedLong
            | Self::ShaftBackwards
            | Self::ShaftSilent
            | Self::ShaftTurnsAtRest
            | Self::InputsStale
            | Self::SettingsInvalid => Class::Latch,
        }
    }
}

/// A tick later than this after the one before is told.
pub const LATE: Micros = Micros::from_millis(20);

/// Without a tick for so long the inputs are stale: the next tick finds a latched stop.
pub const STALE: Micros = Micros::from_millis(250);

/// A lost source is a pause for so long.
pub const LOST_FOR: Micros = Micros::from_millis(2_000);

/// The shut-off stays on in a pause for the length of a turn on the headland: a minute, common practice.
pub const PAUSED_FOR: Micros = Micros::from_millis(60_000);

/// The hopper's level switch must read empty for so long: seed moves.
pub const EMPTY_FOR: Micros = Micros::from_millis(1_000);

/// Edges that should have come from a shaft that is driven, before silence is told.
pub const SILENT_EDGES: u32 = 12;

/// The least time for it; a drive whose dead time and twice its lag last longer has so long.
pub const SILENT_FOR: Micros = Micros::from_millis(500);

/// So many edges of a shaft at rest within [`REST_WITHIN`] are put down to a tooth standing at the sensor.
pub const REST_EDGES: usize = 2;

/// A shaft at rest that gives one edge more within this time turns.
pub const REST_WITHIN: Micros = Micros::from_millis(10_000);

/// Counts how long a condition has lasted; saturates.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Lasting(Micros);

impl Lasting {
    /// Adds a tick; `true` once the condition has lasted for `limit`.
    #[inline(never)]
    pub(crate) fn update(&mut self, holds: bool, elapsed: Micros, limit: Micros) -> bool {
        self.0 = if holds { self.0.saturating_add(elapsed) } else { Micros::ZERO };
        holds && self.0 >= limit
    }
}

/// Whether seed passes the tube sensor when it should: none where there is no sensor.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Flow {
    without: Lasting,
    missing: bool,
}

/// A tube sensor is given so long beyond the delivery delay.
const FLOW_WITHIN: Micros = Micros::from_millis(1_000);

impl Flow {
    /// Adds a tick of a shaft that `turns` for the soil or not.
    pub(crate) fn update(
        &mut self,
        turns: bool,
        seen: Option<bool>,
        elapsed: Micros,
        delivery: Micros,
    ) {
        let without = turns && seen == Some(false);
        self.missing = self.without.update(without, elapsed, delivery.saturating_add(FLOW_WITHIN));
    }

    /// Seed should have passed and has not.
    pub(crate) const fn is_missing(&self) -> bool {
        self.missing
    }
}

/// What the watch remembers of one side.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct SideWatch {
    /// Edges that should have come since the last one, Q21 · µs/s.
    missing: u64,
    silent: Micros,
    off: Lasting,
    above: Lasting,
    below: Lasting,
    rest_since: Option<Instant>,
    rested: bool,
    rest: RestEdges,
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
pub(crate) struct SideSeen {
    pub(crate) driven: bool,
    pub(crate) edges: u32,
    /// Shaft speed wanted, measured and at full command, Q21.
    pub(crate) wanted: i32,
    pub(crate) measured: i32,
    pub(crate) full: i32,
    pub(crate) edges_per_turn: u32,
    pub(crate) run_out: Micros,
    /// Time in which a drive that was told to turn must show it.
    pub(crate) answer: Micros,
    /// Time in which its valve crosses its travel.
    pub(crate) travel: Micros,
    pub(crate) elapsed: Micros,
}

impl SideWatch {
    /// The items that a side shows in this tick, worst first.
    pub(crate) fn update(&mut self, seen: SideSeen, now: Instant) -> Option<Item> {
        if seen.driven {
            self.rest_since = None;
            self.rested = false;
            return self.driven(seen);
        }
        self.missing = 0;
        self.silent = Micros::ZERO;
        self.off = Lasting::default();
        self.above = Lasting::default();
        self.below = Lasting::default();
        self.resting(seen, now)
    }

    fn driven(&mut self, seen: SideSeen) -> Option<Item> {
        if seen.edges > 0 {
            self.missing = 0;
            self.silent = Micros::ZERO;
        } else {
            let edges = u64::from(seen.wanted.max(0).unsigned_abs())
                .saturating_mul(u64::from(seen.elapsed.get()))
                .saturating_mul(u64::from(seen.edges_per_turn));
            self.missing = self.missing.saturating_add(edges);
            self.silent = self.silent.saturating_add(seen.elapsed);
        }
        let enough = self.missing >= u64::from(SILENT_EDGES).saturating_mul(1_000_000 << 21);
        if enough && self.silent >= SILENT_FOR.max(seen.answer) {
            return Some(Item::ShaftSilent);
        }
        // 15 % are 3 in 20.
        let apart = u64::from(seen.wanted.saturating_sub(seen.measured).unsigned_abs());
        let off =
            apart.saturating_mul(20) > u64::from(seen.wanted.unsigned_abs()).saturating_mul(3);
        let off = self.off.update(off, seen.elapsed, LOST_FOR.saturating_add(seen.travel));
        let above =
            self.above.update(seen.wanted > seen.full, seen.elapsed, Micros::from_millis(500));
        let below = self.below.update(seen.wanted < seen.full / 64, seen.elapsed, LOST_FOR);
        match (above, off, below) {
            (true, _, _) => Some(Item::TargetAbove),
            (false, true, _) => Some(Item::ShaftDoesNotFollow),
            (false, false, true) => Some(Item::TargetBelow),
            (false, false, false) => None,
        }
    }

    fn resting(&mut self, seen: SideSeen, now: Instant) -> Option<Item> {
        let since = *self.rest_since.get_or_insert(now);
        if !self.rested && now.since(since) >= seen.run_out {
            self.rested = true;
            self.rest = RestEdges::default();
        }
        let turns = self.rested && self.rest.update(seen.edges, seen.elapsed);
        turns.then_some(Item::ShaftTurnsAtRest)
    }
}
