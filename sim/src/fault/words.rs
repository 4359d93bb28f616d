//! From the fault bench's numbers to the controller's words, rounded to the nearest.

use controller::quantity::{Instant, MetresPerSecond, RadiansPerSecond};
use controller::sense::Pulses;

use crate::machine::Edges;

/// Scaled and rounded, held at the ends of 32 bits.
#[expect(clippy::cast_possible_truncation, reason = "a float cast to an integer holds at the ends")]
fn whole(value: f64, scale: f64) -> i32 {
    libm::round(value * scale) as i32
}

/// A speed in steps of `step_mps`.
pub(super) fn speed(mps: f64, step_mps: f64) -> MetresPerSecond {
    MetresPerSecond::from_bits(whole(libm::round(mps / step_mps) * step_mps, 1_048_576.0))
}

pub(super) fn yaw(rad_per_s: f64) -> RadiansPerSecond {
    RadiansPerSecond::from_bits(whole(rad_per_s, 16_777_216.0))
}

/// The instant of `t` seconds, `start` µs after the clock's zero; wraps as the clock does.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "the counter wraps")]
pub(super) fn instant(t: f64, start: u32) -> Instant {
    let micros = libm::floor(t * 1e6 + 1e-3) as i64;
    Instant::from_micros((micros as u32).wrapping_add(start))
}

pub(super) fn pulses(edges: Edges, start: u32) -> Pulses {
    #[expect(clippy::cast_possible_truncation, reason = "the capture counter wraps")]
    let count = edges.count as u32;
    Pulses { count, edge_at: instant(edges.last_s, start) }
}

/// A valve command, 0..1.
pub(super) fn command(word: controller::quantity::Command) -> f64 {
    f64::from(word.to_bits()) / 65_535.0
}
