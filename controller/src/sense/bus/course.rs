//! Course and speed over ground of a receiver on the bus (NMEA 2000, 129026).
//!
//! ```text
//!  1     2                3  4            5  6            7  8
//!  count  reference (2)   course          speed           –
//!                         0.0001 rad/bit  0.01 m/s/bit
//! ```
//!
//! Fields and vectors: canboat repository, docs/canboat.json and its tests. Reference 0 is true north by its vectors;
//! 1 is magnetic (from memory). A course is one turn at most: larger words are out of range.

use super::{Reading, speed};
use crate::quantity::{Course, Instant, MetresPerSecond};
use crate::sense::{CourseSample, SpeedReport};

/// 2^32 / (2π · 10^4), steps of a course in 0.0001 rad, Q16.
const STEPS: u64 = 4_479_813_390;

/// The last word within a turn: 2π · 10^4 less one step.
const LAST: u16 = 62_831;

/// What a receiver on the bus says of its way over ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct CourseAndSpeed {
    /// Course over ground, clockwise from north.
    pub course: Reading<Course>,
    /// The course counts from true north; not available where the message does not say.
    pub true_north: Reading<bool>,
    /// Speed over ground, never negative.
    pub speed: Reading<MetresPerSecond>,
    /// The speed stands in for the ground-based speed, which nobody sends.
    pub stands_in: bool,
    /// The instant at which it was true.
    pub at: Instant,
}

impl CourseAndSpeed {
    /// Reads the eight bytes.
    pub(super) fn read(bytes: [u8; 8], at: Instant) -> Self {
        let [_, reference, c, d, e, f, _, _] = bytes;
        Self {
            course: course(u16::from_le_bytes([c, d])),
            true_north: match reference & 3 {
                0 => Reading::Value(true),
                1 => Reading::Value(false),
                2 => Reading::Error,
                _ => Reading::NotAvailable,
            },
            // Centimetres per second.
            speed: Reading::of_marine_word(u16::from_le_bytes([e, f]))
                .map(|word| MetresPerSecond::from_millimetres(u32::from(word).saturating_mul(10))),
            stands_in: true,
            at,
        }
    }

    /// The speed as the controller takes it.
    pub const fn report(&self) -> SpeedReport {
        speed::report(self.speed, None, self.at)
    }

    /// The course as the controller takes it: from true north, with its speed.
    pub fn sample(&self) -> Option<CourseSample> {
        let (course, speed) = (self.course.value()?, self.speed.value()?);
        let true_north = matches!(self.true_north, Reading::Value(true));
        true_north.then_some(CourseSample { course, speed, at: self.at })
    }
}

fn course(word: u16) -> Reading<Course> {
    let within = |word: u16| {
        // Below one turn: the product over 2^16 fits 32 bits.
        let bits = u64::from(word).saturating_mul(STEPS).saturating_add(1 << 15).wrapping_shr(16);
        Course::from_bits(u32::try_from(bits).unwrap_or(0))
    };
    match Reading::of_marine_word(word) {
        Reading::Value(word) if word > LAST => Reading::OutOfRange,
        read => read.map(within),
    }
}
