//! The meter curve: mass per turn against shaft speed, from one to six catches.
//!
//! Mass *flow* is linear between the points and strictly rising; mass per turn is held outside them:
//!
//! ```text
//!  flow │            ╱·  slope q₂ beyond
//!       │        ·╱
//!       │     ╱         linear between
//!       │  ·╱
//!       │╱   slope q₀ below the first point
//!       └──────────────── shaft speed
//! ```

use crate::quantity::{MicrogramsPerTurn, TurnsPerSecond, divide_wide, divide_wide_signed};
use heapless::Vec;

/// Most points of a curve.
pub const MAX_POINTS: usize = 6;

/// One catch: at this shaft speed one turn delivers so much.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct MeterPoint {
    /// Shaft speed of the catch.
    pub shaft: TurnsPerSecond,
    /// Mass per turn: 0.2 g to 5 kg.
    pub mass: MicrogramsPerTurn,
}

/// A checked meter curve.
#[derive(Clone, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct MeterCurve {
    points: Vec<MeterPoint, MAX_POINTS>,
}

/// What is wrong with a curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[non_exhaustive]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum CurveError {
    /// It has no point.
    Empty,
    /// The mass of this point is outside 0.2 g to 5 kg per turn.
    Mass(usize),
    /// The shaft speed of this point is negative or not above the one before.
    Order(usize),
    /// The flow of this point is not above the one before.
    Flow(usize),
}

/// Least and most mass per turn, µg.
pub(crate) const MASS: core::ops::RangeInclusive<u64> = 200_000..=5_000_000_000;

impl MeterCurve {
    /// Checks the points.
    ///
    /// # Errors
    ///
    /// [`CurveError`] names the first point that breaks a rule.
    pub fn new(points: &[MeterPoint]) -> Result<Self, CurveError> {
        let mut before: Option<MeterPoint> = None;
        for (index, point) in points.iter().enumerate() {
            if !MASS.contains(&point.mass.get()) {
                return Err(CurveError::Mass(index));
            }
            if point.shaft < TurnsPerSecond::ZERO {
                return Err(CurveError::Order(index));
            }
            if let Some(before) = before {
                if point.shaft <= before.shaft {
                    return Err(CurveError::Order(index));
                }
                if flow(*point) <= flow(before) {
                    return Err(CurveError::Flow(index));
                }
            }
            before = Some(*point);
        }
        match Vec::from_slice(points) {
            Ok(points) if !points.is_empty() => Ok(Self { points }),
            Ok(_) => Err(CurveError::Empty),
            Err(_) => Err(CurveError::Order(MAX_POINTS)),
        }
    }

    /// The points, in order of shaft speed.
    pub fn points(&self) -> &[MeterPoint] {
        &self.points
    }

    /// The points, as a lot has them.
    pub(crate) const fn catches(&self) -> &Vec<MeterPoint, MAX_POINTS> {
        &self.points
    }

    /// The segment in which a shaft speed lies: 0 below the first point, `len` above the last.
    pub(crate) fn segment(&self, shaft: TurnsPerSecond) -> usize {
        // The points rise. Counting them one by one would have an overflow to check.
        self.points.partition_point(|point| point.shaft < shaft)
    }

    /// Mass of `turns` (Q16) that took `micros` in a segment, µg: the line of flow through its ends.
    pub(crate) fn mass(&self, segment: usize, edges: u64, edges_per_turn: u32, micros: u64) -> u64 {
        let per_turn = u128::from(edges_per_turn.max(1));
        let edges = u128::from(edges);
        let first = segment.checked_sub(1).and_then(|index| self.points.get(index));
        let last = self.points.get(segment);
        let (Some(low), Some(high)) = (first, last) else {
            let held = last.or(first).map_or(0, |point| point.mass.get());
            let mass = divide_wide(u128::from(held).saturating_mul(edges), per_turn);
            return u64::try_from(mass.unwrap_or(0)).unwrap_or(u64::MAX);
        };
        let (low, high) = (*low, *high);
        // flow = f₀ + m (n − n₀) with m = (f₁ − f₀) / (n₁ − n₀); mass = m · turns + (f₀ − m n₀) · time.
        let rise = i128::from(flow(high)).saturating_sub(i128::from(flow(low)));
        let run =
            i128::from(high.shaft.to_bits()).saturating_sub(i128::from(low.shaft.to_bits())).max(1);
        let edges = i128::try_from(edges).unwrap_or(i128::MAX);
        let per_turn = i128::try_from(per_turn).unwrap_or(1);
        let by_turns = divide_wide_signed(rise.saturating_mul(edges), run.saturating_mul(per_turn))
            .unwrap_or(0);
        let intercept = i128::from(flow(low))
            .saturating_mul(run)
            .saturating_sub(rise.saturating_mul(i128::from(low.shaft.to_bits())));
        let over_time = intercept.saturating_mul(i128::from(micros));
        let by_time =
            divide_wide_signed(over_time, run.saturating_mul(1_000_000 << 21)).unwrap_or(0);
        u64::try_from(by_turns.saturating_add(by_time).max(0)).unwrap_or(u64::MAX)
    }
}

/// Mass flow of a point, µg/s Q21.
fn flow(point: MeterPoint) -> i64 {
    let turns = u64::try_from(point.shaft.to_bits()).unwrap_or(0);
    i64::try_from(turns.saturating_mul(point.mass.get())).unwrap_or(i64::MAX)
}

#[cfg(test)]
mod tests {
    use super::{CurveError, MeterCurve, MeterPoint};
    use crate::quantity::{MicrogramsPerTurn, TurnsPerSecond};

    const fn point(shaft: i32, grams: u64) -> MeterPoint {
        MeterPoint {
            shaft: TurnsPerSecond::from_bits(shaft.wrapping_shl(21)),
            mass: MicrogramsPerTurn::new(grams.wrapping_mul(1_000_000)),
        }
    }

    #[test]
    fn a_curve_must_have_a_point_and_rise() {
        assert_eq!(MeterCurve::new(&[]), Err(CurveError::Empty));
        assert_eq!(MeterCurve::new(&[point(1, 0)]), Err(CurveError::Mass(0)));
        assert_eq!(MeterCurve::new(&[point(1, 10), point(1, 11)]), Err(CurveError::Order(1)));
        assert_eq!(MeterCurve::new(&[point(-1, 10)]), Err(CurveError::Order(0)));
        assert_eq!(MeterCurve::new(&[point(1, 10), point(2, 5)]), Err(CurveError::Flow(1)));
        assert!(MeterCurve::new(&[point(1, 10), point(2, 9)]).is_ok());
    }

    #[test]
    fn mass_at_a_point_is_that_of_the_catch_from_either_side() {
        let curve = MeterCurve::new(&[point(1, 10), point(2, 9)]).unwrap();
        // Two turns in one second at 2 turns/s: 18 g, in the segment below and in the one above.
        assert_eq!(curve.mass(1, 200, 100, 1_000_000), 18_000_000);
        assert_eq!(curve.mass(2, 200, 100, 1_000_000), 18_000_000);
        assert_eq!(curve.mass(0, 100, 100, 1_000_000), 10_000_000);
    }
}
