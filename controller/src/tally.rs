//! Tally: raw counts of ground and shaft, converted when read.
//!
//! ```text
//!  ground passed while sowing ───┐                  area  = distance × width
//!  shaft edges, time, by segment ┴─► raw counts ──► mass  = Σ segments of the meter curve × outlets open / outlets
//!                                        │          rate  = mass / area
//!     another lot, other outlets ────────┴─ fold ─► totals, to which new counts are added when read
//! ```
//!
//! Nothing is rounded while counting. Counts convert by what is in force, so before that changes they are folded into
//! totals: each fold rounds down, by less than 2 µm of distance, 2 µm × width + 1 mm² of area and 15 µg of mass.

use crate::passed::{Passed, area};
use crate::quantity::{
    Instant, Micrometres, Micros, PulsesPerMetre, RadiansPerSecond, divide_wide,
};
use crate::seed::{MAX_POINTS, MeterCurve, Share};
use crate::sense::Travelled;

/// Segments of a curve: between, below and above its points.
const SEGMENTS: usize = MAX_POINTS + 1;

/// Shaft edges and time in one segment of the meter curve.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Turned {
    /// Encoder edges.
    pub edges: u64,
    /// Time in which they came, µs.
    pub micros: u64,
}

/// What a side has sown by one instant, whatever it was counted by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Totals {
    /// Distance sown, µm.
    pub distance_um: u64,
    /// Area sown, mm².
    pub area_mm2: u64,
    /// Of it sown at the same time by the side of the other product on the same ground, mm²; counted by one of the two.
    pub shared_mm2: u64,
    /// Mass metered, µg.
    pub mass_ug: u64,
    /// Edges of the shaft that were not counted but taken from the map while the encoder was lost.
    pub by_map: u64,
}

impl Totals {
    /// Both together.
    #[must_use]
    pub const fn plus(self, other: Self) -> Self {
        Self {
            distance_um: self.distance_um.saturating_add(other.distance_um),
            area_mm2: self.area_mm2.saturating_add(other.area_mm2),
            shared_mm2: self.shared_mm2.saturating_add(other.shared_mm2),
            mass_ug: self.mass_ug.saturating_add(other.mass_ug),
            by_map: self.by_map.saturating_add(other.by_map),
        }
    }

    /// Whether none of them is below that of `earlier`.
    #[must_use]
    pub const fn follows(&self, earlier: &Self) -> bool {
        self.distance_um >= earlier.distance_um
            && self.area_mm2 >= earlier.area_mm2
            && self.shared_mm2 >= earlier.shared_mm2
            && self.mass_ug >= earlier.mass_ug
            && self.by_map >= earlier.by_map
    }
}

/// Raw counts of one side since the last fold, and the totals before. Counts only grow between two folds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SideTally {
    /// Ground passed while sowing.
    pub passed: Passed,
    /// Ground passed while the side of the other product on the same ground was sowing too.
    pub shared: Passed,
    /// Shaft turns by segment of the meter curve, `[segment]`.
    pub turned: [Turned; SEGMENTS],
    /// Edges, of those, that were not counted but taken from the map while the encoder was lost.
    pub by_map: u64,
    /// What was counted by other lots or outlets, and before the last power cut.
    pub totals: Totals,
    /// Time since the last edge that belongs to no segment yet, µs.
    waiting: u32,
}

/// What happened on a side in a tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Happened {
    pub(crate) sowing: bool,
    /// The side of the other product on the same ground is sowing.
    pub(crate) twin: bool,
    pub(crate) ground: Travelled,
    pub(crate) yaw: RadiansPerSecond,
    pub(crate) edges: u32,
    /// The edges are those that the shaft is taken to have given: it runs by the map alone.
    pub(crate) by_map: bool,
    pub(crate) segment: usize,
    pub(crate) elapsed: Micros,
}

/// What the counts of a side convert by.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Conversion<'a> {
    pub(crate) per_metre: Option<PulsesPerMetre>,
    pub(crate) offset: Micrometres,
    pub(crate) width: Micrometres,
    /// How much of the width is sown ...
    pub(crate) sown: Share,
    /// ... and how much of it by the side of the other product too.
    pub(crate) shared: Share,
    pub(crate) curve: &'a MeterCurve,
    pub(crate) edges_per_turn: u32,
    /// How much of the catch a turn delivers.
    pub(crate) delivered: Share,
}

impl SideTally {
    /// Counts what happened in a tick.
    pub(crate) fn count(&mut self, happened: Happened) {
        let Happened { ground, yaw, elapsed, .. } = happened;
        if happened.sowing {
            self.passed.count(ground, yaw, elapsed);
            if happened.twin {
                self.shared.count(ground, yaw, elapsed);
            }
        }
        self.waiting = self.waiting.saturating_add(elapsed.get());
        let edges = happened.edges;
        if happened.by_map {
            self.by_map = self.by_map.saturating_add(u64::from(edges));
        }
        if edges > 0 {
            if let Some(turned) = self.turned.get_mut(happened.segment) {
                // They begin at nothing: no drill lives to see 64 bits of them wrap.
                turned.edges = turned.edges.wrapping_add(u64::from(edges));
                // A standstill belongs to no flow: no more than 4 s count for an edge.
                turned.micros = turned.micros.wrapping_add(self.waiting.min(4_000_000).into());
            }
            self.waiting = 0;
        }
    }

    /// All that was sown: the totals, and the counts since.
    pub(crate) fn read(&self, by: &Conversion<'_>) -> Totals {
        let distance = |passed: &Passed| passed.distance(by.per_metre, by.offset);
        let distance_um = distance(&self.passed);
        let area_mm2 = area(distance_um, by.width, by.sown);
        self.totals.plus(Totals {
            distance_um,
            area_mm2,
            // Rounded apart: never more than the side sowed.
            shared_mm2: area(distance(&self.shared), by.width, by.shared).min(area_mm2),
            mass_ug: self.mass(by),
            by_map: self.by_map,
        })
    }

    /// Folds the counts into the totals; to be called before what they convert by changes.
    pub(crate) fn fold(&mut self, by: &Conversion<'_>) {
        *self = Self { waiting: self.waiting, ..Self::of(self.read(by)) };
    }

    /// Nothing counted since these totals.
    pub(crate) fn of(totals: Totals) -> Self {
        Self { totals, ..Self::default() }
    }

    /// Mass metered since the last fold, µg.
    fn mass(&self, by: &Conversion<'_>) -> u64 {
        let mass = self.turned.iter().enumerate().fold(0_u64, |sum, (segment, turned)| {
            let Turned { edges, micros } = *turned;
            if edges == 0 {
                return sum;
            }
            sum.saturating_add(by.curve.mass(segment, edges, by.edges_per_turn, micros))
        });
        let Conversion { delivered, .. } = by;
        let mass = divide_wide(u128::from(mass).saturating_mul(delivered.open()), delivered.of());
        u64::try_from(mass.unwrap_or(0)).unwrap_or(u64::MAX)
    }
}

/// Area and mass of a side, of a product or of all, as read from the counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Account {
    /// Distance sown, µm; of all sides the longest.
    pub distance_um: u64,
    /// Area sown, mm². Ground that two products are sown on counts once for each, and once in all.
    pub area_mm2: u64,
    /// Mass metered, µg.
    pub mass_ug: u64,
}

impl Account {
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            distance_um: self.distance_um.max(other.distance_um),
            area_mm2: self.area_mm2.saturating_add(other.area_mm2),
            mass_ug: self.mass_ug.saturating_add(other.mass_ug),
        }
    }

    /// Mean rate, mg/m² (100 are 1 kg/ha); none before any ground is sown.
    #[must_use]
    pub const fn rate(&self) -> Option<u64> {
        // µg / mm² = 1 000 mg/m².
        self.mass_ug.saturating_mul(1_000).checked_div(self.area_mm2)
    }
}

/// Seed left in the hopper, counted down from a fill.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Hopper {
    pub(crate) filled_ug: u64,
    pub(crate) metered_before_ug: u64,
}

impl Hopper {
    /// The hopper holds `filled` (µg) now that `metered` (µg) have been metered in all.
    #[must_use]
    pub const fn filled(filled_ug: u64, metered_ug: u64) -> Self {
        Self { filled_ug, metered_before_ug: metered_ug }
    }

    /// Seed left, µg.
    #[must_use]
    pub const fn left(&self, metered_ug: u64) -> u64 {
        self.filled_ug.saturating_sub(metered_ug.saturating_sub(self.metered_before_ug))
    }
}

/// Time of a tick since the one before; zero for the first.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Beat {
    last: Option<Instant>,
    odd: bool,
}

impl Beat {
    pub(crate) fn elapsed(&mut self, now: Instant) -> Micros {
        // Not `since_or_zero`: a silence of more than half the clock must not look like no time at all.
        let elapsed = self.last.map_or(Micros::ZERO, |last| now.since(last));
        self.last = Some(now);
        self.odd = !self.odd;
        elapsed
    }

    /// Whether this tick is an odd one, counted from the first: what need not be done in every tick takes turns.
    pub(crate) const fn is_odd(&self) -> bool {
        self.odd
    }
}

#[cfg(test)]
mod tests {
    use super::{Conversion, Hopper, SideTally, Turned};
    use crate::passed::Passed;
    use crate::quantity::{MicrogramsPerTurn, Micrometres, PulsesPerMetre, TurnsPerSecond};
    use crate::seed::{MeterCurve, MeterPoint, Share};

    #[test]
    fn a_fold_changes_nothing_that_is_read() {
        let point = MeterPoint {
            shaft: TurnsPerSecond::from_bits(1 << 21),
            mass: MicrogramsPerTurn::new(120_000_001),
        };
        let curve = MeterCurve::new(&[point]).unwrap();
        let by = Conversion {
            per_metre: Some(PulsesPerMetre::from_bits(130 << 16)),
            offset: Micrometres::from_millimetres(1_500),
            width: Micrometres::from_millimetres(3_000),
            sown: Share::new(23, 24),
            shared: Share::WHOLE,
            curve: &curve,
            edges_per_turn: 180,
            delivered: Share::new(23, 24),
        };
        let mut tally = SideTally {
            passed: Passed { pulses: 1_234_567, angle: 9_876_543_210, ..Passed::default() },
            shared: Passed { pulses: 234_567, ..Passed::default() },
            ..SideTally::default()
        };
        tally.turned[1] = Turned { edges: 987_654, micros: 3_600_000_000 };
        let before = tally.read(&by);
        assert!(before.distance_um > 9_000_000_000 && before.mass_ug > 600_000_000_000);
        tally.fold(&by);
        assert_eq!(tally.read(&by), before);
        assert_eq!(tally.read(&Conversion { delivered: Share::WHOLE, ..by }), before, "fixed");
    }

    #[test]
    fn the_hopper_counts_down_to_nothing_and_no_further() {
        let hopper = Hopper::filled(1_000, 50);
        assert_eq!(hopper.left(50), 1_000);
        assert_eq!(hopper.left(650), 400);
        assert_eq!(hopper.left(5_000), 0);
    }
}
