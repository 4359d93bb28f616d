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
    if adds < 1 << 11 && (-0x7F_FFFF..=0x7F_FFFF).contains(&accel) {
        // 0.06 s and 8 m/s²: 11 and 20 bits.
        return accel.wrapping_shr(3).wrapping_mul(adds).wrapping_add(1 << 11).wrapping_shr(12);
    }
    gained(coarse(accel), adds)
}

/// What is left of an acceleration, Q20, by one product below 8 m/s².
fn left_of(accel: i32, left: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        // Q15 of the share; the last four bits of the acceleration are kept as they are.
        let (coarse, fine) = (accel.wrapping_shr(4), accel & 0xF);
        return coarse.wrapping_mul(left.wrapping_shr(1)).wrapping_shr(11).wrapping_add(fine);
    }
    if (-0x7F_FFFF..=0x7F_FFFF).contains(&accel) {
        let (coarse, fine) = (accel.wrapping_shr(8), accel & 0xFF);
        let fine = fine.wrapping_mul(left).wrapping_shr(16);
        return coarse.wrapping_mul(left).wrapping_shr(8).wrapping_add(fine);
    }
    mul_shift::<16>(accel, left)
}

/// An innovation of seventeen bits times a gain of fifteen, `/ 2^SHIFT`, rounded half up.
const fn times<const SHIFT: u32>(innovation: i32, gain: u32) -> i32 {
    let gain = if gain > 0x7FFF { 0x7FFF } else { gain.cast_signed() };
    let half = 1_i32.wrapping_shl(SHIFT.wrapping_sub(1));
    innovation.wrapping_mul(gain).wrapping_add(half).wrapping_shr(SHIFT)
}

/// Part of a difference of accelerations, Q20, by a share in Q15, or of two speeds.
pub(super) fn part_of(accel: i32, share: i32) -> i32 {
    if (-0xFFFF..=0xFFFF).contains(&accel) {
        return accel.wrapping_mul(share).wrapping_add(1 << 14).wrapping_shr(15);
    }
    part_of_great(accel, share)
}

#[inline(never)]
fn part_of_great(accel: i32, share: i32) -> i32 {
    if (-0xF_FFFF..=0xF_FFFF).contains(&accel) {
        return accel.wrapping_shr(4).wrapping_mul(share).wrapping_shr(11);
    }
    if (-0xFF_FFFF..=0xFF_FFFF).contains(&accel) {
        return accel.wrapping_shr(8).wrapping_mul(share).wrapping_shr(7);
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
        let (speed, accel, normal) = if (-0xF_FFFF..=0xF_FFFF).contains(&innovation) {
            // Below 1 m/s, with seventeen bits of it and fifteen of each gain: one product each.
            let up = if (-0xFFFF..=0xFFFF).contains(&innovation) { 0 } else { 4 };
            let y = innovation.wrapping_shr(up);
            let accel = if gains.accel < 1 << 19 {
                times::<12>(y, gains.accel.wrapping_shr(4))
            } else {
                times::<9>(y, gains.accel.wrapping_shr(7))
            };
            let speed = times::<14>(y, gains.speed.wrapping_shr(2));
            // The weights stand on a difference of squares: of a great one no bit is dropped that fits.
            let sharp = gains.sharpness;
            let normal = match up {
                0 => times::<16>(y, sharp.wrapping_shr(8)),
                _ if sharp < 1 << 19 => times::<16>(y, sharp.wrapping_shr(4)),
                _ => times::<12>(y, sharp.wrapping_shr(8)),
            };
            (speed.wrapping_shl(up), accel.wrapping_shl(up), normal)
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

#[cfg(test)]
mod tests {
    use super::{Belief, gained_of, left_of, part_of};
    use crate::quantity::Micros;
    use crate::sense::gains::{Gains, Quality};

    /// Words of every size below 2^30, with both signs.
    fn words() -> impl Iterator<Item = i32> {
        let sizes = (0..30).flat_map(|bit| {
            let size = 1_i32.wrapping_shl(bit);
            [size, size.wrapping_sub(1), size.wrapping_add(size.wrapping_shr(2))]
        });
        sizes.flat_map(|size| [size, size.wrapping_neg()])
    }

    /// `a · b / 2^shift` in wide words.
    fn wide(a: i32, b: i32, shift: u32) -> i64 {
        i64::from(a).wrapping_mul(i64::from(b)).wrapping_shr(shift)
    }

    fn near(have: i32, want: i64, within: i64) -> bool {
        i64::from(have).wrapping_sub(want).saturating_abs() <= within
    }

    #[test]
    fn every_way_to_a_product_comes_to_the_same() {
        for word in words() {
            // A part in 2^12 of great ones.
            let part = i64::from(word).saturating_abs().wrapping_shr(12);
            for share in [0, 77, 16_384, 32_700, 32_768] {
                let want = wide(word, share, 15);
                let have = part_of(word, share);
                assert!(near(have, want, part.saturating_add(1)), "{share} of {word}: {have}");
                let have = left_of(word, share.wrapping_mul(2));
                assert!(
                    near(have, want, part.saturating_add(16)),
                    "{share} left of {word}: {have}"
                );
            }
            // 0.02 and 0.5 s, Q15; below 8 m/s².
            for adds in [655, 16_384] {
                if word.unsigned_abs() < 1 << 23 {
                    let have = gained_of(word, adds);
                    let want = wide(word, adds, 15);
                    assert!(
                        near(have, want, part.saturating_add(80)),
                        "{word} over {adds}: {have}"
                    );
                }
            }
        }
    }

    #[test]
    fn corrections_go_by_the_gains_however_far_off() {
        for quality in [Quality::Pulses, Quality::Samples] {
            let gains = Gains::at(quality, Micros::from_millis(100));
            for off in words().filter(|off| off.unsigned_abs() < 1 << 26) {
                // Great ones are corrected in steps of 2^-16.
                let step = if off.unsigned_abs() < 1 << 16 { 2 } else { 16 };
                for model in gains.models {
                    let mut belief = Belief::default();
                    belief.correct(off, &model);
                    for (have, gain) in [(belief.speed, model.speed), (belief.accel, model.accel)] {
                        let want = wide(off, gain.cast_signed(), 16);
                        let within = want.saturating_abs() / 200;
                        assert!(near(have, want, within.saturating_add(step)), "{off}: {have}");
                    }
                }
            }
        }
    }
}
