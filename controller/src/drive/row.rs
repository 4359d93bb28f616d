//! Gains of the loop by SIMC (Skogestad 2003), worked out once for a row of edge intervals.
//!
//! ```text
//!  θt = θ + half a tick + a quarter of the window      Kc = τ1 / (2 θt)      τI = min(τ1, 8 θt)
//! ```

use crate::sense::Quality;

/// Half a tick of 10 ms, µs.
pub(super) const HALF_TICK: u32 = 5_000;

/// Edge intervals up to these lengths have a row of gains each, µs.
pub(super) const INTERVALS: [u32; ROWS] = [
    10_000, 15_000, 20_000, 30_000, 45_000, 70_000, 100_000, 150_000, 220_000, 310_000, 440_000,
    630_000, 900_000,
];

/// A window is this much longer than an edge interval on the mean, µs: it lasts 20 ms at least.
const LONGER: u32 = 10_000;

/// Rows of gains.
pub(super) const ROWS: usize = 13;

/// Gains for an edge interval of the shaft.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct Row {
    /// It holds from this shaft speed on, Q21.
    pub(super) from: u32,
    /// Kc, Q16.
    pub(super) kc: u32,
    /// Kc / τI · 20 ms, Q24: the trim learns in every second tick.
    pub(super) ki: u32,
}

impl Row {
    pub(super) fn new(lag: u32, dead_time: u32, interval: u32, quality: Quality) -> Self {
        // What samples want is noisy: the trim that follows it is a third slower.
        let patience = match quality {
            Quality::Pulses => 3,
            Quality::Samples => 4,
        };
        // The error is taken at the measurement's own instant, so that the feed-forward sees none of its
        // age; a quarter of the window is what the loop was found to feel of it.
        let window = interval.saturating_add(LONGER);
        let dead = dead_time.saturating_add(HALF_TICK).saturating_add(window / 4);
        let (lag, dead) = (u64::from(lag), u64::from(dead.max(1)));
        let integral = lag.min(dead.saturating_mul(8)).max(1);
        // Two edges per τ1 at least, or a model takes the loop's place: no gains.
        let fast = u64::from(interval).saturating_mul(2) <= lag.max(40_000);
        let kc = if fast {
            lag.wrapping_shl(16).checked_div(dead.saturating_mul(2)).unwrap_or(0)
        } else {
            0
        };
        // Kc / τI · 20 ms in Q24.
        let ki = kc
            .saturating_mul(256 * 20_000)
            .checked_div(integral.saturating_mul(patience) / 3)
            .unwrap_or(0);
        Self {
            from: 0,
            kc: u32::try_from(kc).unwrap_or(1 << 22).min(1 << 22),
            ki: u32::try_from(ki).unwrap_or(1 << 24).min(1 << 24),
        }
    }
}
