//! What one model believes, carried on and corrected by a measurement.
//!
//! ```text
//!  predict   v += φ a,  a ·= e^(−T/τ)          correct   y = z − v,  v += K_v y,  a += K_a y
//! ```
//!
//! Innovations and accelerations of a tractor are small: then a product of 32 bits does. Beyond, the wide one is taken.

use crate::quantity::{Micros, mul_shift};
use crate::sense::gains::ModelGains;
use crate::sense::outlook::{carry, coarse, gained};

/// Innovations are told apart up to 256 · √2 standard deviations, Q8.
const FARTHEST_OFF: u32 = 65_535;

/// What one model believes at the instant of the last measurement, raw Q20.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(super) struct Belief {
    pub(super) speed: i32,
    pub(super) accel: i32,
}

/// What an acceleration, Q20, adds to a speed: finer where the time is short, as between pulses.
fn gained_of(accel: i32, adds: i32) -> i32 {
    let short = adds.wrapping_shr(5);
    if short < 1 << 11 && (-0x7F_FFFF..=0x7F_FFFF).contains(&accel) {
        // 0.06 s and 8 m/s²: 11 and 20 bits.
        return accel.wrapping_shr(3).wrapping_mul(short).wrapping_add(1 << 11).wrapping_shr(12);
    }
    gained(coarse(accel), adds)
}

/// What is left of an acceleration, Q20; Q16 of it below 1 m/s², where one product does.
fn left_of(accel: i32, left: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        // Q15 of the share; the last four bits of the acceleration are kept as they are.
        let (coarse, fine) = (accel.wrapping_shr(4), accel & 0xF);
        return coarse.wrapping_mul(left.wrapping_shr(1)).wrapping_shr(11).wrapping_add(fine);
    }
    mul_shift::<16>(accel, left)
}

/// A small innovation times a gain of fifteen bits, `/ 2^SHIFT`, rounded half up.
const fn times<const SHIFT: u32>(innovation: i32, gain: u32) -> i32 {
    let gain = if gain > 0x7FFF { 0x7FFF } else { gain.cast_signed() };
    let half = 1_i32.wrapping_shl(SHIFT.wrapping_sub(1));
    innovation.wrapping_mul(gain).wrapping_add(half).wrapping_shr(SHIFT)
}

/// Part of a difference of accelerations, Q20, by a share in Q15.
pub(super) fn part_of(accel: i32, share: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        return accel.wrapping_shr(4).wrapping_mul(share).wrapping_shr(11);
    }
    mul_shift::<15>(accel, share)
}

impl Belief {
    pub(super) fn carried(self, model: usize, interval: Micros) -> Self {
        let (adds, left) = carry(model, interval);
        Self {
            speed: self.speed.saturating_add(gained_of(self.accel, adds)),
            accel: left_of(self.accel, left),
        }
    }

    /// Corrects by a measurement; returns the squared innovation over 2 S, Q16, held at 65 535.
    pub(super) fn correct(&mut self, measured: i32, gains: &ModelGains) -> u32 {
        let innovation = measured.saturating_sub(self.speed);
        let (speed, accel, normal) = if (-0xFFFF..=0xFFFF).contains(&innovation) {
            // Below 0.06 m/s, with fifteen bits of each gain: one product each.
            let accel = if gains.accel < 1 << 19 {
                times::<12>(innovation, gains.accel.wrapping_shr(4))
            } else {
                times::<9>(innovation, gains.accel.wrapping_shr(7))
            };
            let speed = times::<14>(innovation, gains.speed.wrapping_shr(2));
            (speed, accel, times::<16>(innovation, gains.sharpness.wrapping_shr(8)))
        } else {
            (
                mul_shift::<16>(innovation, gains.speed.cast_signed()),
                mul_shift::<16>(innovation, gains.accel.cast_signed()),
                mul_shift::<24>(innovation, gains.sharpness.cast_signed()),
            )
        };
        self.speed = self.speed.saturating_add(speed);
        self.accel = self.accel.saturating_add(accel);
        // Q20 · Q12 down to Q8, held below 2^16 so that the square stays within 32 bits.
        let normal = normal.unsigned_abs().min(FARTHEST_OFF);
        normal.wrapping_mul(normal)
    }
}
