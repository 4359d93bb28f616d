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
//! | τ | 0.4 s | 2 s | |
//! | pulses: q | 0.0005 m²/s⁵ | 0.1 m²/s⁵ | 10⁻⁷ m²/s² |
//! | samples: q | 0.002 m²/s⁵ | 0.25 m²/s⁵ | (0.02 m/s)² |
//!
//! Over an interval T the noise is carried as if acceleration did not die out in it: q [T³/3 T²/2; T²/2 T].
//! The gains are the fixed point of the Riccati recursion at the interval of the row; the test
//! `the_gain_table_is_the_fixed_point_of_the_riccati_recursion` in `tests/` computes it anew. The
//! innovation variance of samples is taken 1.2 times as large: noise comes in bursts. The numbers q and τ were
//! tuned on the frozen profiles and recorded tracks (`docs/decisions/002-two-models-with-fixed-gains.md`).

use crate::quantity::Micros;

/// Where a speed measurement comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Quality {
    /// Time between whole pulses: hardly any noise.
    Pulses,
    /// Timed speed samples, about 0.02 m/s rms.
    Samples,
}

/// Gains of one model.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
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
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Gains {
    /// The models' gains.
    pub models: [ModelGains; 2],
    /// ½ ln(S manoeuvre / S steady), Q16: what the steady model has in advance.
    pub advance: u32,
}

/// Sample intervals of the rows, µs: √2 apart.
pub const INTERVALS: [u32; 15] = [
    10_000, 14_142, 20_000, 28_284, 40_000, 56_569, 80_000, 113_137, 160_000, 226_274, 320_000,
    452_548, 640_000, 905_097, 1_280_000,
];

/// 2^30 over the span between an interval and the one before; zero for the first.
const OVER_SPANS: [u32; 15] = over_spans();

#[expect(
    clippy::arithmetic_side_effects,
    clippy::indexing_slicing,
    reason = "worked out while compiling: what goes wrong does not compile"
)]
const fn over_spans() -> [u32; 15] {
    let mut over = [0; 15];
    let mut index = 1;
    while index < over.len() {
        over[index] = (1 << 30) / (INTERVALS[index] - INTERVALS[index - 1]);
        index += 1;
    }
    over
}

/// Rows for pulses: speed, acceleration, sharpness of the steady model, the same of the manoeuvre model, advance.
#[rustfmt::skip]
const PULSES: [[u32; 7]; 15] = [
    [19_548, 344_185, 7_672_331, 49_540, 3_221_105, 4_524_931, 34_604],
    [24_076, 385_908, 7_284_874, 54_995, 3_109_112, 3_673_132, 44_876],
    [29_286, 426_431, 6_811_774, 59_369, 2_827_535, 2_809_479, 58_042],
    [35_085, 462_420, 6_243_147, 62_400, 2_396_742, 2_003_407, 74_491],
    [41_266, 489_268, 5_573_606, 64_152, 1_891_476, 1_330_793, 93_865],
    [47_483, 501_125, 4_807_040, 64_989, 1_411_707, 836_740, 114_578],
    [53_265, 491_575, 3_963_173, 65_333, 1_020_322, 510_053, 134_367],
    [58_099, 455_641, 3_085_434, 65_462, 726_679, 306_811, 151_271],
    [61_597, 393_821, 2_245_283, 65_510, 514_371, 183_760, 164_034],
    [63_712, 316_287, 1_527_956, 65_527, 363_083, 110_019, 172_427],
    [64_771, 239_935, 989_521, 65_533, 255_885, 65_969, 177_473],
    [65_231, 177_154, 624_983, 65_535, 180_134, 39_666, 180_698],
    [65_417, 130_526, 390_948, 65_536, 126_725, 23_943, 183_034],
    [65_490, 96_765, 242_756, 65_536, 89_186, 14_527, 184_552],
    [65_519, 71_580, 149_022, 65_536, 62_940, 8_870, 184_905],
];

/// Rows for samples: speed, acceleration, sharpness of the steady model, the same of the manoeuvre model, advance.
#[rustfmt::skip]
const SAMPLES: [[u32; 7]; 15] = [
    [2_996, 7_006, 129_141, 12_886, 140_775, 118_490, 5_641],
    [3_755, 7_832, 128_354, 16_178, 161_597, 114_726, 7_356],
    [4_697, 8_727, 127_373, 20_138, 183_744, 110_028, 9_593],
    [5_861, 9_700, 126_148, 24_799, 206_382, 104_227, 12_509],
    [7_302, 10_766, 124_616, 30_135, 228_178, 97_161, 16_310],
    [9_083, 11_953, 122_695, 36_030, 247_164, 88_704, 21_260],
    [11_293, 13_304, 120_270, 42_242, 260_701, 78_814, 27_698],
    [14_043, 14_891, 117_182, 48_401, 265_599, 67_598, 36_055],
    [17_476, 16_825, 113_208, 54_032, 258_620, 55_388, 46_849],
    [21_763, 19_267, 108_041, 58_655, 237_620, 42_836, 60_630],
    [27_068, 22_447, 101_283, 61_947, 203_483, 30_937, 77_724],
    [33_460, 26_654, 92_485, 63_907, 161_833, 20_845, 97_645],
    [40_750, 32_105, 81_300, 64_871, 121_213, 13_317, 118_561],
    [48_339, 38_354, 67_719, 65_279, 87_661, 8_273, 137_777],
    [55_266, 42_930, 52_333, 65_439, 62_530, 5_097, 152_637],
];

impl Gains {
    /// The gains for a measurement `interval` after the one before, linear between the rows.
    pub fn at(quality: Quality, interval: Micros) -> Self {
        let rows = match quality {
            Quality::Pulses => &PULSES,
            Quality::Samples => &SAMPLES,
        };
        let wanted = interval.get();
        // From the middle, for samples.
        let mut index = if wanted > INTERVALS[6] { 7_usize } else { 1 };
        while INTERVALS.get(index).is_some_and(|at| *at < wanted) {
            index = index.wrapping_add(1);
        }
        let below = index.wrapping_sub(1);
        let (Some(&at), Some(low), Some(high), Some(&over)) =
            (INTERVALS.get(below), rows.get(below), rows.get(index), OVER_SPANS.get(index))
        else {
            return Self::of(rows[14]);
        };
        // Q11 share of the way.
        let into = wanted.max(INTERVALS[0]).saturating_sub(at);
        let share = into.wrapping_mul(over).wrapping_add(1 << 18).wrapping_shr(19);
        Self::between(low, high, share.cast_signed())
    }

    fn between(low: &[u32; 7], high: &[u32; 7], share: i32) -> Self {
        let mut row = [0; 7];
        for (value, (&a, &b)) in row.iter_mut().zip(low.iter().zip(high)) {
            // Gains of neighbours are less than 2^20 apart.
            let part = b.wrapping_sub(a).cast_signed().wrapping_mul(share).wrapping_shr(11);
            *value = a.wrapping_add(part.cast_unsigned());
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
