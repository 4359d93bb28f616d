//! The gain table: each entry is the fixed point of the Riccati recursion.
//!
//! ```text
//!  x = (v, a):  F = [1 φ; 0 E],  E = e^(−T/τ),  φ = τ (1 − E)
//!  Q = q [T³/3 T²/2; T²/2 T]       P ← F (P − P h hᵀ P / S) Fᵀ + Q,  S = P₁₁ + r,  h = (1, 0)
//! ```

use controller::quantity::Micros;
use controller::sense::{Gains, INTERVALS, Quality};

/// τ (s) and q (m²/s⁵) of `[steady, manoeuvre]`, r (m²/s²) and the factor on S, as `gains.rs` documents them.
#[derive(Debug)]
pub(crate) struct Told {
    pub(crate) lags: [f64; 2],
    pub(crate) densities: [f64; 2],
    pub(crate) variance: f64,
    pub(crate) bursts: f64,
}

pub(crate) const PULSES: Told =
    Told { lags: [0.4, 2.0], densities: [0.000_5, 0.1], variance: 1e-7, bursts: 1.0 };

pub(crate) const SAMPLES: Told =
    Told { lags: [0.4, 2.0], densities: [0.002, 0.25], variance: 0.000_4, bursts: 1.2 };

/// Gains of a model in units of its own: `K_v`, `K_a` (1/s) and the innovation's variance.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fixed {
    pub(crate) speed: f64,
    pub(crate) accel: f64,
    pub(crate) variance: f64,
}

impl Told {
    /// The fixed point at an interval, s.
    pub(crate) fn fixed(&self, model: usize, interval: f64) -> Fixed {
        let (tau, density, variance) = (self.lags[model], self.densities[model], self.variance);
        let left = (-interval / tau).exp();
        let gone = 1.0 - left;
        let adds = tau * gone;
        let noise = [interval * interval * interval / 3.0, interval * interval / 2.0, interval]
            .map(|time| density * time);
        let mut p = [1.0, 0.0, 1.0];
        let mut fixed = Fixed { speed: 0.0, accel: 0.0, variance: 0.0 };
        for _ in 0..100_000 {
            let s = p[0] + variance;
            fixed = Fixed { speed: p[0] / s, accel: p[1] / s, variance: s };
            let c =
                [p[0] - fixed.speed * p[0], p[1] - fixed.speed * p[1], p[2] - fixed.accel * p[1]];
            let next = [
                c[0] + 2.0 * adds * c[1] + adds * adds * c[2] + noise[0],
                left * (c[1] + adds * c[2]) + noise[1],
                left * left * c[2] + noise[2],
            ];
            let moved = (next[0] - p[0]).abs() / next[0];
            p = next;
            if moved < 1e-15 {
                break;
            }
        }
        fixed.variance *= self.bursts;
        fixed
    }

    /// A row as the table has it.
    fn row(&self, interval: f64) -> [f64; 7] {
        let [s, m] = [0, 1].map(|model| self.fixed(model, interval));
        let sharp = |variance: f64| 4_096.0 / (2.0 * variance).sqrt();
        [
            s.speed * 65_536.0,
            s.accel * 65_536.0,
            sharp(s.variance),
            m.speed * 65_536.0,
            m.accel * 65_536.0,
            sharp(m.variance),
            0.5 * (m.variance / s.variance).ln() * 65_536.0,
        ]
    }
}

/// A row of the table in the core.
fn table(quality: Quality, interval: u32) -> [u32; 7] {
    let Gains { models: [s, m], advance } = Gains::at(quality, Micros::new(interval));
    [s.speed, s.accel, s.sharpness, m.speed, m.accel, m.sharpness, advance]
}

/// The largest distance of a table from the fixed point, in units of the last place.
fn worst(quality: Quality, told: &Told) -> (f64, String) {
    let mut worst = (0.0, String::new());
    for interval in INTERVALS {
        let want = told.row(f64::from(interval) * 1e-6);
        let have = table(quality, interval);
        for (column, (have, want)) in have.iter().zip(want).enumerate() {
            let off = (f64::from(*have) - want).abs();
            if off > worst.0 {
                worst = (off, format!("{interval} µs, column {column}: have {have}, want {want}"));
            }
        }
    }
    worst
}

#[test]
fn the_gain_table_is_the_fixed_point_of_the_riccati_recursion() {
    for (quality, told) in [(Quality::Pulses, &PULSES), (Quality::Samples, &SAMPLES)] {
        let (off, place) = worst(quality, told);
        assert!(off <= 0.51, "{quality:?}: {off} off at {place}");
    }
}

#[test]
fn a_table_of_other_numbers_is_told_apart() {
    // The same check turns red when q, τ or r were 1 % off: the table is tied to what is documented.
    let wrong = [
        Told { densities: [0.000_505, 0.1], ..PULSES },
        Told { densities: [0.000_5, 0.101], ..PULSES },
        Told { lags: [0.404, 2.0], ..PULSES },
        Told { lags: [0.4, 2.02], ..PULSES },
        Told { variance: 1.01e-7, ..PULSES },
    ];
    for (index, told) in wrong.iter().enumerate() {
        let (off, _) = worst(Quality::Pulses, told);
        assert!(off > 20.0, "wrong number {index} is only {off} off");
    }
    let (off, _) = worst(Quality::Samples, &Told { bursts: 1.0, ..SAMPLES });
    assert!(off > 20.0, "the factor on the variance is only {off} off");
}

#[test]
fn between_the_rows_gains_are_linear_and_beyond_them_held() {
    for quality in [Quality::Pulses, Quality::Samples] {
        for pair in INTERVALS.windows(2) {
            let [low, high] = [table(quality, pair[0]), table(quality, pair[1])];
            for step in 0..=16_u32 {
                let at = pair[0] + (pair[1] - pair[0]) * step / 16;
                let share = f64::from(at - pair[0]) / f64::from(pair[1] - pair[0]);
                for ((low, high), have) in low.iter().zip(high).zip(table(quality, at)) {
                    let (low, high) = (f64::from(*low), f64::from(high));
                    let want = low + (high - low) * share;
                    let slack = (high - low).abs() / 4_000.0 + 2.0;
                    assert!(
                        (f64::from(have) - want).abs() <= slack,
                        "{at} µs: {have}, want {want}"
                    );
                }
            }
        }
        assert_eq!(table(quality, 0), table(quality, INTERVALS[0]));
        assert_eq!(table(quality, u32::MAX), table(quality, INTERVALS[14]));
    }
}
