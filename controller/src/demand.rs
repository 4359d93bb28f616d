//! Demand: the shaft speed that a ground speed asks for.
//!
//! `n = v · w · R / q(n)`: v in m/s, w in m, R in kg/m², q in kg per turn. As q depends on n by a
//! curve whose flow is linear in pieces, `n(v)` is linear in pieces too. The lines are worked out when
//! settings change, from the exact rationals; a tick picks a line and multiplies once:
//!
//! ```text
//!  n (Q21) = (slope (Q26) · v (Q20) + offset (Q46)) / 2^25
//! ```
//!
//! The result is within 50 ppm of the exact rational of the settings and the speed word wherever it
//! is 0.02 to 10 turns/s (tested in `tests/tests/oracle/demand.rs`).

use crate::quantity::{
    MetresPerSecond, Micrometres, MilligramsPerSquareMetre, TurnsPerMetre, TurnsPerSecond,
    clamp_i32, divide_wide, mul_unsigned,
};
use crate::seed::{MAX_POINTS, MeterCurve, MeterPoint};
use heapless::Vec;

/// One straight piece of n(v).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(crate) struct Line {
    /// It holds from this speed on, Q20.
    from: i32,
    /// Turns per metre, Q26.
    slope: u32,
    /// Turns per second at zero speed, Q46.
    offset: i64,
    /// The slope to fifteen bits, and by how much what it makes of a speed in Q13 is to go down to Q21.
    coarse: i16,
    down: u8,
}

/// Demand of one side, worked out for a rate.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Demand {
    lines: Vec<Line, { MAX_POINTS + 1 }>,
}

/// Turns per metre outside 0.001 to 50.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct DemandOutOfRange {
    /// The turns per metre that a line would have, Q26, held at the end of 63 bits.
    pub slope: i64,
}

/// The line of a demand that has none.
const NO_LINE: Line = Line { from: 0, slope: 0, offset: 0, coarse: 0, down: 0 };

/// Least and most turns per metre, Q26.
pub(crate) const SLOPES: core::ops::RangeInclusive<u32> = 67_109..=50 << 26;

impl Line {
    /// Shaft speed wanted at a ground speed on this line; zero at or below zero. Rounded to the nearest step.
    pub(crate) fn shaft(&self, speed: MetresPerSecond) -> TurnsPerSecond {
        if speed <= MetresPerSecond::ZERO {
            return TurnsPerSecond::ZERO;
        }
        let product = mul_unsigned(self.slope, speed.to_bits().unsigned_abs()).cast_signed();
        // No sum wraps: the product is below 2^62.7, and the offset of a line that is reached leaves a shaft speed.
        let bits = product.wrapping_add(self.offset).wrapping_add(1 << 24).wrapping_shr(25);
        TurnsPerSecond::from_bits(clamp_i32(bits).max(0))
    }

    fn new(from: i32, slope: u32, offset: i64) -> Self {
        // Slopes have 17 to 32 bits.
        let spare = 17_u32.wrapping_sub(slope.leading_zeros());
        let rounded = slope.wrapping_shr(spare.wrapping_sub(1)).wrapping_add(1).wrapping_shr(1);
        let coarse = i16::try_from(rounded).unwrap_or(i16::MAX);
        let down = u8::try_from(18_u32.saturating_sub(spare)).unwrap_or(0);
        Self { from, slope, offset, coarse, down }
    }

    /// Shaft speed that a change of ground speed, Q13 and held at 4 m/s either way, adds on this line, Q21.
    pub(crate) fn gained(&self, speed: i16) -> i32 {
        let product = i32::from(speed).wrapping_mul(i32::from(self.coarse));
        product.wrapping_shr(self.down.into())
    }
}

impl Demand {
    /// Works the lines out.
    ///
    /// # Errors
    ///
    /// [`DemandOutOfRange`] when a line would turn outside 0.001 to 50 turns per metre.
    pub fn new(
        width: Micrometres,
        rate: MilligramsPerSquareMetre,
        curve: &MeterCurve,
    ) -> Result<Self, DemandOutOfRange> {
        let area = AreaMass::new(width, rate);
        let mut lines = Vec::new();
        let points = curve.points();
        let mut before: Option<MeterPoint> = None;
        for point in points {
            let line = match before {
                None => area.through_zero(0, *point),
                Some(before) => area.between(before, *point),
            }?;
            // There is room: a curve has as many points at the most.
            let _full = lines.push(line).is_err();
            before = Some(*point);
        }
        let (Some(last), true) = (before, points.len() > 1) else { return Ok(Self { lines }) };
        let _full = lines.push(area.through_zero(area.speed_at(last), last)?).is_err();
        Ok(Self { lines })
    }

    /// The line that holds at a speed.
    pub(crate) fn line(&self, speed: MetresPerSecond) -> &Line {
        let speed = speed.to_bits();
        let mut held = &NO_LINE;
        for (index, line) in self.lines.iter().enumerate() {
            if index == 0 || speed >= line.from {
                held = line;
            }
        }
        held
    }

    /// Shaft speed wanted at a ground speed; zero at or below zero. Rounded to the nearest step.
    pub fn shaft(&self, speed: MetresPerSecond) -> TurnsPerSecond {
        self.line(speed).shaft(speed)
    }

    /// Turns per metre of the line at a ground speed: the slope dn/dv.
    pub fn slope(&self, speed: MetresPerSecond) -> TurnsPerMetre {
        TurnsPerMetre::from_bits(self.line(speed).slope)
    }

    /// The ground speed at which the shaft turns at `shaft`, for advice; divides wide.
    pub fn speed_for(&self, shaft: TurnsPerSecond) -> MetresPerSecond {
        let mut answer = MetresPerSecond::ZERO;
        // Lines that begin at the end of the range are never reached.
        for line in self.lines.iter().filter(|line| line.from < i32::MAX) {
            let wanted = i64::from(shaft.to_bits()).wrapping_shl(25).saturating_sub(line.offset);
            let speed = wanted.checked_div(i64::from(line.slope)).unwrap_or(i64::MAX);
            if speed >= i64::from(line.from) {
                answer = MetresPerSecond::from_bits(clamp_i32(speed));
            }
        }
        answer
    }
}

/// w · R: mass that one metre of travel wants, µg/m · 2^16 (mg/m² Q16 · µm = ng/m · 2^16 ... / 1000).
struct AreaMass {
    nanograms_per_metre_q16: u128,
}

impl AreaMass {
    fn new(width: Micrometres, rate: MilligramsPerSquareMetre) -> Self {
        // mg/m² · µm = 10^-3 g/m² · 10^-6 m = 10^-9 g/m.
        let width = u128::from(width.get().unsigned_abs());
        Self { nanograms_per_metre_q16: width.saturating_mul(u128::from(rate.to_bits())).max(1) }
    }

    /// The line of constant mass per turn: slope wR/q.
    fn through_zero(&self, from: i32, point: MeterPoint) -> Result<Line, DemandOutOfRange> {
        let mass = u128::from(point.mass.get());
        // ng Q16 / (µg · 1000) · 2^26, rounded.
        let top = self.nanograms_per_metre_q16.saturating_mul(1 << 10);
        checked_line(from, round_div(top, mass.saturating_mul(1_000)), 0)
    }

    /// The line between two catches: slope wR (n₁ − n₀) / (f₁ − f₀), through the first of them.
    fn between(&self, low: MeterPoint, high: MeterPoint) -> Result<Line, DemandOutOfRange> {
        let (f0, f1) = (flow(low), flow(high));
        let run =
            u128::from(high.shaft.to_bits().saturating_sub(low.shaft.to_bits()).unsigned_abs());
        let top = self.nanograms_per_metre_q16.saturating_mul(run).saturating_mul(1 << 10);
        let slope = round_div(top, f1.saturating_sub(f0).saturating_mul(1_000));
        // offset = n₀ − slope · v₀ with v₀ = f₀ / (wR), all Q46.
        let travelled = slope.saturating_mul(self.speed_q20_q20(low)).wrapping_shr(20);
        let start = i128::from(low.shaft.to_bits()).saturating_mul(1 << 25);
        let offset = start.saturating_sub(i128::try_from(travelled).unwrap_or(i128::MAX));
        // An offset below 64 bits belongs to a line that starts above 2 600 m/s: it is never reached.
        checked_line(self.speed_at(low), slope, i64::try_from(offset).unwrap_or(i64::MIN))
    }

    /// Ground speed at a catch, Q40.
    fn speed_q20_q20(&self, point: MeterPoint) -> u128 {
        // µg/s Q21 · 1000 · 2^16 / (ng/m Q16) = m/s Q21; to Q40.
        let top = flow(point).saturating_mul(1_000).saturating_mul(1 << 35);
        round_div(top, self.nanograms_per_metre_q16)
    }

    /// Ground speed at a catch, Q20, rounded up: every speed word at or above it is on the next line.
    fn speed_at(&self, point: MeterPoint) -> i32 {
        let up = self.speed_q20_q20(point).saturating_add((1 << 20) - 1).wrapping_shr(20);
        i32::try_from(up).unwrap_or(i32::MAX)
    }
}

fn checked_line(from: i32, slope: u128, offset: i64) -> Result<Line, DemandOutOfRange> {
    match u32::try_from(slope) {
        Ok(slope) if SLOPES.contains(&slope) => Ok(Line::new(from, slope, offset)),
        Ok(_) | Err(_) => Err(DemandOutOfRange { slope: i64::try_from(slope).unwrap_or(i64::MAX) }),
    }
}

fn round_div(top: u128, bottom: u128) -> u128 {
    divide_wide(top.saturating_add(bottom / 2), bottom).unwrap_or(u128::MAX)
}

/// Mass flow of a catch, µg/s Q21.
fn flow(point: MeterPoint) -> u128 {
    u128::from(point.shaft.to_bits().unsigned_abs()).saturating_mul(u128::from(point.mass.get()))
}

#[cfg(test)]
mod tests {
    use super::Demand;
    use crate::quantity::{
        MetresPerSecond, MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre, TurnsPerSecond,
    };
    use crate::seed::{MeterCurve, MeterPoint};

    fn demand(points: &[(i32, u64)]) -> Demand {
        let points: heapless::Vec<MeterPoint, 6> = points
            .iter()
            .map(|&(bits, micrograms)| MeterPoint {
                shaft: TurnsPerSecond::from_bits(bits),
                mass: MicrogramsPerTurn::new(micrograms),
            })
            .collect();
        let curve = MeterCurve::new(&points).unwrap();
        Demand::new(
            Micrometres::from_millimetres(4_000),
            MilligramsPerSquareMetre::from_whole(11_000),
            &curve,
        )
        .unwrap()
    }

    #[test]
    fn the_reference_drill_turns_its_shaft_0_36667_times_a_metre() {
        let demand = demand(&[(1 << 21, 120_000_000)]);
        let shaft = demand.shaft(MetresPerSecond::from_bits(3 << 20)).to_bits();
        assert!((shaft - 2_306_867).abs() <= 1, "1.1 turns/s at 3 m/s, have {shaft}");
        let back = demand.speed_for(TurnsPerSecond::from_bits(shaft)).to_bits();
        assert!((back - (3 << 20)).abs() <= 4, "and back, have {back}");
    }

    #[test]
    fn a_curve_passes_through_its_catches_without_a_jump() {
        let demand =
            demand(&[(1 << 20, 120_000_000), (1 << 21, 110_000_000), (3 << 20, 105_000_000)]);
        let mut last = 0;
        for speed in (0..5 << 20).step_by(501) {
            let shaft = demand.shaft(MetresPerSecond::from_bits(speed)).to_bits();
            assert!(shaft >= last && shaft - last < 900, "jump at {speed}: {last} to {shaft}");
            last = shaft;
        }
        // At the second catch one metre wants 0.044 kg and a turn gives 0.11 kg: 2.5 m/s.
        let shaft = demand.shaft(MetresPerSecond::from_bits(2_621_440)).to_bits();
        assert!((shaft - (1 << 21)).abs() <= 2, "second catch, have {shaft}");
    }
}
