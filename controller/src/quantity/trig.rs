//! Sine, cosine and arc tangent of binary angles, in integers.
//!
//! ```text
//!  sin(π x / 2) = x (1.5707963 − 0.6459640 x² + 0.0796926 x⁴ − 0.0046737 x⁶ + 0.0001513 x⁸)   (Taylor)
//!  atan(r) = r (0.9998660 − 0.3302995 r² + 0.1801410 r⁴ − 0.0851330 r⁶ + 0.0208351 r⁸)
//!            (Abramowitz & Stegun 4.4.49, |error| ≤ 10⁻⁵)
//! ```

use super::{Course, Reciprocal, mul_shift};

/// One in Q30.
const ONE: i32 = 1 << 30;

/// Coefficients of the sine, Q30, the highest power first.
const SINE: [i32; 5] = [162_457, -5_018_351, 85_569_306, -693_598_342, 1_686_629_713];

/// Coefficients of the arc tangent, Q30, the highest power first.
const ARC: [i32; 5] = [22_371_520, -91_410_863, 193_424_924, -354_656_390, 1_073_597_943];

/// An odd polynomial of x (Q30, up to one).
fn odd(coefficients: [i32; 5], x: i32) -> i32 {
    let square = mul_shift::<30>(x, x);
    let sum =
        coefficients.iter().fold(0_i32, |sum, c| mul_shift::<30>(sum, square).saturating_add(*c));
    mul_shift::<30>(sum, x)
}

/// Sine and cosine of a course, Q30: its parts to the east and to the north.
pub(crate) fn sin_cos(course: Course) -> (i32, i32) {
    let bits = course.to_bits();
    // Within a quarter turn, Q30.
    let part = bits & 0x3FFF_FFFF;
    let part = i32::try_from(part).unwrap_or(ONE);
    let (rising, falling) = (odd(SINE, part), odd(SINE, ONE.saturating_sub(part)));
    match bits.wrapping_shr(30) {
        0 => (rising, falling),
        1 => (falling, rising.saturating_neg()),
        2 => (rising.saturating_neg(), falling.saturating_neg()),
        _ => (falling.saturating_neg(), rising),
    }
}

/// The course of a way north and east; north for no way.
pub(crate) fn course_of(north: i32, east: i32) -> Course {
    let (n, e) = (north.unsigned_abs(), east.unsigned_abs());
    let (small, large) = (n.min(e), n.max(e));
    let ratio = Reciprocal::of(large.max(1)).times(small, 30).min(1 << 30);
    let arc = odd(ARC, i32::try_from(ratio).unwrap_or(ONE)).max(0);
    // Radians Q30 to 2^32 a turn: 2^32 / 2π / 2^30 = 0.636620 is 41 721 / 2^16.
    let steps = mul_shift::<16>(arc, 41_722).unsigned_abs();
    let quarter = 1_u32 << 30;
    let within = if e > n { quarter.wrapping_sub(steps) } else { steps };
    let bits = match (north < 0, east < 0) {
        (false, false) => within,
        (true, false) => (quarter << 1).wrapping_sub(within),
        (true, true) => (quarter << 1).wrapping_add(within),
        (false, true) => within.wrapping_neg(),
    };
    Course::from_bits(bits)
}

#[cfg(test)]
mod tests {
    use super::{course_of, sin_cos};
    use crate::quantity::Course;

    #[test]
    fn the_quarters_have_their_signs() {
        // Millionths: sin 30° and cos 30°, sin 45°.
        for (degrees, east, north) in [
            (0, 0, 1_000_000),
            (30, 500_000, 866_025),
            (135, 707_107, -707_107),
            (210, -500_000, -866_025),
            (300, -866_025, 500_000),
        ] {
            let (sin, cos) = sin_cos(Course::from_millidegrees(degrees * 1_000));
            let off = |have: i32, want: i64| (i64::from(have) * 1_000_000 / (1 << 30) - want).abs();
            assert!(off(sin, east) < 4 && off(cos, north) < 4, "{degrees}°: {sin} {cos}");
        }
    }

    #[test]
    fn a_way_has_its_course() {
        for degrees in (0..360).step_by(7) {
            let course = Course::from_millidegrees(degrees * 1_000);
            let (sin, cos) = sin_cos(course);
            let back = course_of(cos >> 8, sin >> 8);
            let off = back.turned_from(course).unsigned_abs();
            // 2e-5 rad of 2^32 a turn.
            assert!(off < 14_000, "{degrees}° came back {off} steps off");
        }
    }
}
