//! The shaft target against the exact rational of the written values and the speed word.
//!
//! ```text
//!  F = v w R           flow wanted, µg/s · 2^21 = v · w · R / 32 768 000  (v Q20 m/s, w µm, R Q16 mg/m²)
//!  n = F / q           below the first and above the last catch
//!  n = n₀ + (F − f₀) (n₁ − n₀) / (f₁ − f₀)     between two, f = n q
//! ```

use controller::demand::Demand;
use controller::quantity::{
    MetresPerSecond, MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre, TurnsPerSecond,
};
use controller::seed::{MeterCurve, MeterPoint};
use proptest::prelude::*;

/// The bound: 50 ppm wherever the target is 0.02 to 10 turns/s.
const PPM: i128 = 50;

/// v · w · R over this is µg/s · 2^21.
const SCALE: i128 = 32_768_000;

/// A catch: shaft speed, Q21, and mass per turn, µg.
type Catch = (i128, i128);

/// Written settings.
#[derive(Clone, Debug)]
struct Written {
    width_um: i32,
    rate_q16: u32,
    catches: Vec<Catch>,
}

impl Written {
    fn demand(&self) -> Option<Demand> {
        let points: Vec<MeterPoint> = self
            .catches
            .iter()
            .map(|&(shaft, mass)| MeterPoint {
                shaft: TurnsPerSecond::from_bits(i32::try_from(shaft).expect("a shaft speed")),
                mass: MicrogramsPerTurn::new(u64::try_from(mass).expect("a mass")),
            })
            .collect();
        let curve = MeterCurve::new(&points).ok()?;
        let rate = MilligramsPerSquareMetre::from_bits(self.rate_q16);
        Demand::new(Micrometres::new(self.width_um), rate, &curve).ok()
    }

    /// The exact target as numerator and denominator, Q21.
    fn exact(&self, speed_q20: i32) -> (i128, i128) {
        let wanted = i128::from(speed_q20) * i128::from(self.width_um) * i128::from(self.rate_q16);
        let flow = |(shaft, mass): Catch| shaft * mass;
        let above = |catch: &&Catch| wanted >= flow(**catch) * SCALE;
        let passed = self.catches.iter().take_while(above).count();
        let held = if passed == 0 { self.catches.first() } else { self.catches.last() };
        match (passed.checked_sub(1).map(|low| self.catches[low]), self.catches.get(passed)) {
            (Some(low), Some(&high)) => {
                let rise = flow(high) - flow(low);
                let run = high.0 - low.0;
                (low.0 * rise * SCALE + (wanted - flow(low) * SCALE) * run, rise * SCALE)
            }
            _ => (wanted, held.expect("a catch").1 * SCALE),
        }
    }

    /// The error in ppm where the target is 0.02 to 10 turns/s.
    fn ppm(&self, demand: &Demand, speed_q20: i32) -> Option<f64> {
        let (top, bottom) = self.exact(speed_q20);
        if top * 50 < bottom << 21 || top > (bottom * 10) << 21 {
            return None;
        }
        let have = i128::from(demand.shaft(MetresPerSecond::from_bits(speed_q20)).to_bits());
        let off = (have * bottom - top).abs();
        let within = off * 1_000_000 <= top * PPM;
        #[expect(clippy::cast_precision_loss, reason = "shown, not judged")]
        let ppm = off as f64 / top as f64 * 1e6;
        assert!(within, "{ppm} ppm off: {self:?} at {speed_q20}, have {have}");
        Some(ppm)
    }
}

/// Speed words over the range and around its ends.
fn speeds() -> impl Iterator<Item = i32> {
    let range = (1..=15 << 20).step_by(34_567);
    range.chain([1, 2, 3, 20_971, 104_858, 157_286, (15 << 20) - 1, 15 << 20])
}

#[test]
fn the_corners_of_the_range_are_within_50_ppm() {
    let (mut tried, mut worst) = (0, 0.0_f64);
    for width_um in [100_000, 100_001, 1_234_567, 4_000_000, 17_999_999, 18_000_000] {
        for rate_q16 in [50 << 16, (50 << 16) + 1, 14_691_713, 11_000 << 16, 50_000 << 16] {
            for mass in [200_000, 200_001, 36_000_000, 120_000_000, 4_999_999_999, 5_000_000_000] {
                let written = Written { width_um, rate_q16, catches: vec![(1 << 21, mass)] };
                let Some(demand) = written.demand() else { continue };
                for error in speeds().filter_map(|speed| written.ppm(&demand, speed)) {
                    tried += 1;
                    worst = worst.max(error);
                }
            }
        }
    }
    assert!(tried > 10_000, "only {tried} targets were within 0.02 to 10 turns/s");
    assert!(worst > 1.0, "a worst error of {worst} ppm in steps of 2^-21 is too good to be true");
}

/// Log-uniform between two numbers.
fn spread(low: f64, high: f64) -> impl Strategy<Value = f64> {
    (low.ln()..high.ln()).prop_map(f64::exp)
}

/// Random settings over the ranges of the settings, and the speed word whose target is near a random one.
fn written() -> impl Strategy<Value = (Written, i32)> {
    let machine = (spread(0.1, 18.0), spread(50.0, 50_000.0), spread(0.001, 50.0));
    let curve = (1..=6_usize, prop::collection::vec((1.05..2.5_f64, 0.75..1.3_f64), 5));
    (machine, curve, spread(0.01, 1.0), spread(0.02, 10.0)).prop_filter_map(
        "a mass per turn of 0.2 g to 5 kg and rising flow",
        |((width, rate, slope), (count, steps), start, target)| {
            let mass = width * rate * 1_000.0 / slope;
            let mut catch = (start, mass);
            let mut catches = vec![catch];
            for &(faster, heavier) in steps.iter().take(count - 1) {
                catch = (catch.0 * faster, catch.1 * heavier);
                catches.push(catch);
            }
            let written = words(width, rate, &catches);
            written.demand()?;
            let speed = target / slope * f64::from(1 << 20);
            (1.0..15.0 * f64::from(1 << 20)).contains(&speed).then(|| (written, whole(speed)))
        },
    )
}

#[expect(clippy::cast_possible_truncation, reason = "numbers of the ranges above")]
const fn whole(value: f64) -> i32 {
    value.round() as i32
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "numbers of the ranges above"
)]
fn words(width: f64, rate: f64, catches: &[(f64, f64)]) -> Written {
    Written {
        width_um: whole(width * 1e6),
        rate_q16: (rate * 65_536.0).round() as u32,
        catches: catches
            .iter()
            .map(|&(n, q)| (i128::from(whole(n * 2_097_152.0)), q.round() as i128))
            .collect(),
    }
}

#[test]
fn advice_heeds_lines_that_begin_beyond_the_range() {
    // Found by the property below: a curve whose last catches would be reached at thousands of m/s.
    let catches = [
        (2_097_152, 19_006_695),
        (3_971_518, 23_693_005),
        (4_828_859, 27_997_659),
        (9_951_111, 29_409_438),
        (21_910_764, 22_057_078),
        (23_755_791, 20_695_909),
    ];
    let written = Written { width_um: 1_000_000, rate_q16: 3_276_800, catches: catches.to_vec() };
    let demand = written.demand().expect("valid");
    let shaft = demand.shaft(MetresPerSecond::from_bits(13_463_928));
    let back = demand.speed_for(shaft).to_bits();
    assert!((back - 13_463_928).abs() < 1_000, "12.84 m/s, have {back}");
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 20_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn random_settings_are_within_50_ppm((written, speed) in written()) {
        let demand = written.demand().expect("filtered");
        // Around the target, and at every junction of the curve.
        for near in [-1, 0, 1] {
            written.ppm(&demand, speed.saturating_add(near).max(1));
        }
        for &(shaft, mass) in &written.catches {
            let top = shaft * mass * SCALE;
            let at = top / (i128::from(written.width_um) * i128::from(written.rate_q16));
            for near in [-1, 0, 1, 2] {
                if let Ok(speed @ 1..=15_728_640) = i32::try_from(at + near) {
                    written.ppm(&demand, speed);
                }
            }
        }
    }

    #[test]
    fn the_speed_that_is_advised_turns_the_shaft_as_asked((written, speed) in written()) {
        let demand = written.demand().expect("filtered");
        let shaft = demand.shaft(MetresPerSecond::from_bits(speed));
        prop_assume!(shaft.to_bits() > 41_943);
        let back = demand.shaft(demand.speed_for(shaft)).to_bits();
        // One speed word turns slope / 2^-20 further: 50 turns/m are 105 steps.
        let step = i64::from(demand.slope(MetresPerSecond::from_bits(speed)).to_bits() >> 24) + 3;
        prop_assert!(i64::from((back - shaft.to_bits()).abs()) <= 2 * step, "{back} for {shaft:?}");
    }
}
