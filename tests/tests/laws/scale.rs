//! The target is linear in rate and in width, and rises with speed.

use controller::demand::Demand;
use controller::quantity::{
    MetresPerSecond, MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre, TurnsPerSecond,
};
use controller::seed::{MeterCurve, MeterPoint};
use proptest::prelude::*;

/// Where two lines of a curve meet their roundings may differ by a step.
const STEP: TurnsPerSecond = TurnsPerSecond::from_bits(1);

/// The target of a drill with one catch of so many µg.
fn shaft(width_um: i32, rate_q16: u32, mass_ug: u64, speed_q20: i32) -> Option<i32> {
    let mass = MicrogramsPerTurn::new(mass_ug);
    let curve = MeterCurve::new(&[MeterPoint { shaft: TurnsPerSecond::ZERO, mass }]).ok()?;
    let rate = MilligramsPerSquareMetre::from_bits(rate_q16);
    let demand = Demand::new(Micrometres::new(width_um), rate, &curve).ok()?;
    Some(demand.shaft(MetresPerSecond::from_bits(speed_q20)).to_bits())
}

/// Whether `many` is `times` `one` to 50 ppm and the step of each.
fn is_multiple(one: i32, many: i32, times: i64) -> Result<(), TestCaseError> {
    let off = (i64::from(many) - i64::from(one) * times).abs();
    let slack = i64::from(many) * 50 / 1_000_000 + times + 1;
    prop_assert!(off <= slack, "{times} times {one} is {many}");
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 20_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn the_target_is_linear_in_rate_and_width(
        width in 100_000..4_500_000_i32,
        rate in (50 << 16)..(12_000_u32 << 16),
        mass in 200_000..5_000_000_000_u64,
        speed in 1..(4 << 20),
        times in 2..=4_i32,
    ) {
        let Some(one) = shaft(width, rate, mass, speed) else { return Ok(()) };
        if !(20_000..5_000_000).contains(&one) {
            return Ok(());
        }
        if let Some(many) = shaft(width * times, rate, mass, speed) {
            is_multiple(one, many, i64::from(times))?;
        }
        if let Some(many) = shaft(width, rate * times.unsigned_abs(), mass, speed) {
            is_multiple(one, many, i64::from(times))?;
        }
        if let Some(many) = shaft(width, rate, mass, speed * times) {
            is_multiple(one, many, i64::from(times))?;
        }
    }

    #[test]
    fn the_target_never_falls_as_speed_rises(
        width in 100_000..18_000_000_i32,
        rate in (50 << 16)..(50_000_u32 << 16),
        masses in prop::array::uniform3(100_000_000..160_000_000_u64),
        speed in 1..(15 << 20),
        further in 1..10_000,
    ) {
        let points = [(500_000, masses[0]), (1_200_000, masses[1]), (3_000_000, masses[2])]
            .map(|(shaft, mass)| MeterPoint {
                shaft: TurnsPerSecond::from_bits(shaft),
                mass: MicrogramsPerTurn::new(mass),
            });
        let curve = MeterCurve::new(&points).expect("flow rises");
        let rate = MilligramsPerSquareMetre::from_bits(rate);
        let Ok(demand) = Demand::new(Micrometres::new(width), rate, &curve) else { return Ok(()) };
        let one = demand.shaft(MetresPerSecond::from_bits(speed));
        let more = demand.shaft(MetresPerSecond::from_bits(speed + further));
        prop_assert!(more >= one.saturating_sub(STEP), "{one:?} falls to {more:?}");
        // Over the junctions of the curve too.
        for point in points {
            let at = demand.speed_for(point.shaft).to_bits();
            // Beyond 15 m/s no drill works, and the step of the slope shows.
            if at > 15 << 20 {
                continue;
            }
            let around = (at - 3..at + 3).map(|at| demand.shaft(MetresPerSecond::from_bits(at)));
            let around: Vec<_> = around.collect();
            let rises = around.is_sorted_by(|a, b| *b >= a.saturating_sub(STEP));
            prop_assert!(rises, "{around:?}");
        }
    }

    #[test]
    fn nothing_is_wanted_at_rest_or_in_reverse(speed in i32::MIN..=0) {
        prop_assert_eq!(shaft(4_000_000, 11_000 << 16, 120_000_000, speed), Some(0));
    }
}
