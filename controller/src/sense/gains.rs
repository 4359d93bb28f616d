//! Gains of the two models for a source and a sample interval.
//!
//! Each model is a steady-state Kalman filter of speed and acceleration:
//!
//! ```text
//!  dv = a dt      da = −a/τ dt + noise of density q      z = v + noise of variance r
//! ```
//!
//! | | steady model | manoeuvre model | r |
//! |---|---|---|---|
//! | τ | 0.4 s | 3 s | |
//! | pulses: q | 0.0005 m²/s⁵ | 0.1 m²/s⁵ | 10⁻⁷ m²/s² |
//! | samples: q | 0.002 m²/s⁵ | 0.2 m²/s⁵ | (0.02 m/s)² |
//!
//! The gains are the fixed point of the Riccati recursion at the interval of the row; the test
//! `the_gain_table_is_the_fixed_point_of_the_riccati_recursion` in `tests/` computes it anew. The
//! innovation variance of samples is taken 1.3 times as large: noise comes in bursts. The numbers q and τ were
//! tuned on the frozen profiles and recorded tracks (`docs/decisions/002-two-models-with-fixed-gains.md`).

use crate::quantity::Micros;

/// Where a speed measurement comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Quality {
    /// Time between whole pulses: hardly any noise.
    Pulses,
    /// Timed speed samples, about 0.02 m/s rms.
    Samples,
}

/// Gains of one model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct ModelGains {
    /// Share of the innovation that goes to the speed, Q16.
    pub speed: u32,
    /// Innovation to acceleration, 1/s, Q16.
    pub accel: u32,
    /// One over the innovation's √2 · standard deviation, s/m, Q12.
    pub sharpness: u32,
}

/// Gains of both models, `[steady, manoeuvre]`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Gains {
    /// The models' gains.
    pub models: [ModelGains; 2],
    /// ½ ln(S manoeuvre / S steady), Q16: what the steady model has in advance.
    pub advance: u32,
}

/// Sample intervals of the rows, µs: √2 apart.
pub const INTERVALS: [u32; 15] = [10000, 14142, 20000, 28284, 40000, 56569, 80000, 113137, 160000, 226274, 320000, 452548, 640000, 905097, 1280000];

/// Rows for pulses: speed, acceleration, sharpness of the steady model, the same of the manoeuvre model, advance.
#[rustfmt::skip]
const PULSES: [[u32; 7]; 15] = [
    [19_548, 344_185, 7_672_331, 49_558, 3_224_842, 4_522_401, 34_641],
    [24_076, 385_908, 7_284_874, 55_010, 3_112_386, 3_670_552, 44_922],
    [29_286, 426_431, 6_811_774, 59_380, 2_830_213, 2_807_048, 58_099],
    [35_085, 462_420, 6_243_147, 62_407, 2_398_867, 2_001_274, 74_560],
    [41_266, 489_268, 5_573_606, 64_156, 1_893_216, 1_328_998, 93_954],
    [47_483, 501_125, 4_807_040, 64_991, 1_413_235, 835_248, 114_695],
    [53_265, 491_575, 3_963_173, 65_334, 1_021_741, 508_810, 134_527],
    [58_099, 455_641, 3_085_434, 65_463, 728_029, 305_773, 151_493],
    [61_597, 393_821, 2_245_283, 65_510, 515_656, 182_894, 164_343],
    [63_712, 316_287, 1_527_956, 65_527, 364_289, 109_297, 172_859],
    [64_771, 239_935, 989_521, 65_533, 256_986, 65_370, 178_072],
    [65_231, 177_154, 624_983, 65_535, 181_091, 39_170, 181_522],
    [65_417, 130_526, 390_948, 65_536, 127_487, 23_536, 184_158],
    [65_490, 96_765, 242_756, 65_536, 89_689, 14_196, 186_063],
    [65_519, 71_580, 149_022, 65_536, 63_109, 8_605, 186_894],
];

/// Rows for samples: speed, acceleration, sharpness of the steady model, the same of the manoeuvre model, advance.
#[rustfmt::skip]
const SAMPLES: [[u32; 7]; 15] = [
    [2_996, 7_006, 124_075, 12_325, 128_157, 114_446, 5_294],
    [3_755, 7_832, 123_319, 15_502, 147_461, 110_978, 6_910],
    [4_697, 8_727, 122_376, 19_337, 168_138, 106_640, 9_020],
    [5_861, 9_700, 121_199, 23_872, 189_475, 101_270, 11_773],
    [7_302, 10_766, 119_727, 29_095, 210_309, 94_710, 15_361],
    [9_083, 11_953, 117_881, 34_906, 228_897, 86_832, 20_035],
    [11_293, 13_304, 115_551, 41_086, 242_858, 77_579, 26_110],
    [14_043, 14_891, 112_584, 47_286, 249_268, 67_024, 33_990],
    [17_476, 16_825, 108_767, 53_047, 245_053, 55_445, 44_160],
    [21_763, 19_267, 103_803, 57_884, 227_932, 43_399, 57_150],
    [27_068, 22_447, 97_309, 61_434, 198_065, 31_775, 73_348],
    [33_460, 26_654, 88_857, 63_628, 159_814, 21_669, 92_480],
    [40_750, 32_105, 78_110, 64_748, 120_943, 13_931, 112_983],
    [48_339, 38_354, 65_062, 65_232, 87_869, 8_652, 132_220],
    [55_266, 42_930, 50_280, 65_422, 62_624, 5_304, 147_405],
];

impl Gains {
    /// The gains for a measurement `interval` after the one before, linear between the rows.
    pub fn at(quality: Quality, interval: Micros) -> Self {
        let rows = match quality {
            Quality::Pulses => &PULSES,
            Quality::Samples => &SAMPLES,
        };
        let wanted = interval.get();
        let mut low = (INTERVALS[0], &rows[0]);
        for (&at, row) in INTERVALS.iter().zip(rows) {
            if wanted <= at {
                return Self::between(low, (at, row), wanted);
            }
            low = (at, row);
        }
        Self::of(*low.1)
    }

    fn between(low: (u32, &[u32; 7]), high: (u32, &[u32; 7]), wanted: u32) -> Self {
        let span = high.0.saturating_sub(low.0);
        let into = wanted.saturating_sub(low.0);
        // Q12 share of the way; spans are below 2^20 µs.
        let share = into.wrapping_shl(12).checked_div(span).unwrap_or(0);
        let mut row = [0; 7];
        for (value, (&a, &b)) in row.iter_mut().zip(low.1.iter().zip(high.1)) {
            let part = i64::from(b).wrapping_sub(i64::from(a)).wrapping_mul(i64::from(share)).wrapping_shr(12);
            *value = u32::try_from(i64::from(a).wrapping_add(part)).unwrap_or(a);
        }
        Self::of(row)
    }

    const fn of(row: [u32; 7]) -> Self {
        let [speed, accel, sharpness, speed_m, accel_m, sharpness_m, advance] = row;
        Self {
            models: [
                ModelGains { speed, accel, sharpness },
                ModelGains { speed: speed_m, accel: accel_m, sharpness: sharpness_m },
            ],
            advance,
        }
    }
}
