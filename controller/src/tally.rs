//! Tally: raw counts of ground and shaft, converted when read.
//!
//! ```text
//!  ground pulses while sowing ─┐                  area  = distance × width
//!  µm beyond their length ─────┼─► raw counts ──► mass  = Σ segments of the meter curve
//!  ∫ ω dt while sowing ────────┤                  rate  = mass / area
//!  shaft edges, time, by segment ┘
//! ```
//!
//! Nothing is rounded while counting: what is read after a season is as exact as after a minute. A side
//! on a curve travels `∫ v dt − y ∫ ω dt`. Beyond the pulses' own length comes what slip adds or takes, and the
//! whole way where samples are followed.

use crate::quantity::{
    Instant, Micrometres, Micros, PulsesPerMetre, RadiansPerSecond, divide_wide,
    divide_wide_signed, mul_wide,
};
use crate::seed::{MAX_POINTS, MeterCurve};
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

/// Raw counts of one side. They only grow.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct SideTally {
    /// Ground pulses while sowing.
    pub pulses: u64,
    /// Distance while sowing beyond the pulses' own length, µm: slip, and all of it where samples are followed ...
    pub beyond: i64,
    /// ... and its remainder, 2^-20 µm, below one.
    pub(crate) rest: i64,
    /// Angle turned while sowing, 2^-24 rad · µs.
    pub angle: i64,
    /// Shaft turns by segment of the meter curve, `[segment]`.
    pub turned: [Turned; SEGMENTS],
    /// Edges, of those, that were not counted but taken from the map while the encoder was lost.
    pub by_map: u64,
    /// Time since the last edge that belongs to no segment yet, µs.
    waiting: u32,
}

/// What happened on a side in a tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Happened {
    pub(crate) sowing: bool,
    pub(crate) ground: Travelled,
    pub(crate) yaw: RadiansPerSecond,
    pub(crate) edges: u32,
    /// Edges that the shaft is taken to have given, while it runs by the map alone.
    pub(crate) by_map: Option<u32>,
    pub(crate) segment: usize,
    pub(crate) elapsed: Micros,
}

impl SideTally {
    /// Counts what happened in a tick.
    pub(crate) fn count(&mut self, happened: Happened) {
        if happened.sowing {
            self.count_ground(happened);
        }
        self.waiting = self.waiting.saturating_add(happened.elapsed.get());
        let edges = happened.by_map.unwrap_or(happened.edges);
        if let Some(guessed) = happened.by_map {
            self.by_map = self.by_map.saturating_add(u64::from(guessed));
        }
        if edges > 0 {
            if let Some(turned) = self.turned.get_mut(happened.segment) {
                turned.edges = turned.edges.saturating_add(u64::from(edges));
                // A standstill belongs to no flow: no more than 4 s count for an edge.
                turned.micros =
                    turned.micros.saturating_add(u64::from(self.waiting.min(4_000_000)));
            }
            self.waiting = 0;
        }
    }

    fn count_ground(&mut self, happened: Happened) {
        self.pulses = self.pulses.saturating_add(u64::from(happened.ground.pulses));
        self.add(happened.ground.beyond);
        // A tick is short: its angle fits 64 bits many times over.
        let micros = i32::try_from(happened.elapsed.get()).unwrap_or(i32::MAX);
        self.angle = self.angle.saturating_add(mul_wide(happened.yaw.to_bits(), micros));
    }

    /// Adds µm Q20; the remainder is carried.
    const fn add(&mut self, travelled: i64) {
        let sum = self.rest.saturating_add(travelled);
        self.beyond = self.beyond.saturating_add(sum.wrapping_shr(20));
        self.rest = sum & ((1 << 20) - 1);
    }

    /// Distance travelled while sowing, µm, of a side `offset` to the left.
    #[must_use]
    pub fn distance(&self, per_metre: Option<PulsesPerMetre>, offset: Micrometres) -> u64 {
        let pulses = per_metre.map_or(0, |per_metre| {
            let pulses = u128::from(self.pulses).saturating_mul(1_000_000 << 16);
            divide_wide(pulses, u128::from(per_metre.to_bits())).unwrap_or(0)
        });
        // 2^-24 rad · µs · µm / 10^6 = 2^-24 µm.
        let inside = i128::from(self.angle).saturating_mul(i128::from(offset.get()));
        let inside = divide_wide_signed(inside.wrapping_shr(24), 1_000_000).unwrap_or(0);
        let pulses = i128::try_from(pulses).unwrap_or(i128::MAX);
        let centre = pulses.saturating_add(i128::from(self.beyond));
        u64::try_from(centre.saturating_sub(inside).max(0)).unwrap_or(u64::MAX)
    }

    /// Area sown, mm² · 1000 / 1000 = µm · µm / 10^6, in square millimetres.
    #[must_use]
    pub fn area(
        &self,
        per_metre: Option<PulsesPerMetre>,
        offset: Micrometres,
        width: Micrometres,
    ) -> u64 {
        let distance = u128::from(self.distance(per_metre, offset));
        let area = distance.saturating_mul(u128::from(width.get().unsigned_abs()));
        let area = divide_wide(area, 1_000_000).unwrap_or(0);
        u64::try_from(area).unwrap_or(u64::MAX)
    }

    /// The counts without the time that belongs to no segment yet: what a snapshot keeps.
    pub(crate) const fn settled(self) -> Self {
        Self { waiting: 0, ..self }
    }

    /// Whether none of the counts that only grow is below that of `earlier`.
    #[must_use]
    pub fn follows(&self, earlier: &Self) -> bool {
        let turned = self.turned.iter().zip(&earlier.turned);
        self.pulses >= earlier.pulses
            && self.by_map >= earlier.by_map
            && turned
                .into_iter()
                .all(|(now, then)| now.edges >= then.edges && now.micros >= then.micros)
    }

    /// Mass metered, µg.
    #[must_use]
    pub fn mass(&self, curve: &MeterCurve, edges_per_turn: u32) -> u64 {
        self.turned.iter().enumerate().fold(0_u64, |sum, (segment, turned)| {
            sum.saturating_add(curve.mass(segment, turned.edges, edges_per_turn, turned.micros))
        })
    }
}

/// Area and mass of a side or of all, as read from the counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Account {
    /// Distance sown, µm; of all sides the longest.
    pub distance_um: u64,
    /// Area sown, mm².
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
}

impl Beat {
    pub(crate) fn elapsed(&mut self, now: Instant) -> Micros {
        // Not `since_or_zero`: a silence of more than half the clock must not look like no time at all.
        let elapsed = self.last.map_or(Micros::ZERO, |last| now.since(last));
        self.last = Some(now);
        elapsed
    }
}

#[cfg(test)]
mod tests {
    use super::{Hopper, SideTally};
    use crate::quantity::{MetresPerSecond, Micros};
    use crate::sense::Travelled;

    #[test]
    fn the_distance_integral_loses_nothing_in_a_million_ticks() {
        let mut tally = SideTally::default();
        let speed = MetresPerSecond::from_bits(1_048_577);
        for _ in 0..1_000_000 {
            tally.add(Travelled::at(speed, Micros::new(10_001)).beyond);
        }
        let exact = 1_048_577_i64 * 10_001 * 1_000_000 / (1 << 20);
        assert_eq!(tally.beyond, exact, "10 km in a million ticks");
    }

    #[test]
    fn the_hopper_counts_down_to_nothing_and_no_further() {
        let hopper = Hopper::filled(1_000, 50);
        assert_eq!(hopper.left(50), 1_000);
        assert_eq!(hopper.left(650), 400);
        assert_eq!(hopper.left(5_000), 0);
    }
}
