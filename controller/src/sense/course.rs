//! Yaw rate from the course of a receiver, and whether the drill goes backwards.
//!
//! ```text
//!  ψ += ω T          e = course − ψ            α = 1 − e^(−2T/τ)
//!  ψ += α e          ω += β e / T              β = (1 − e^(−T/τ))²        τ = 0.5 s
//!  yaw rate = −ω (a compass turns clockwise; ISO 8855 counts anticlockwise)
//! ```
//!
//! The course of a 10 Hz receiver at 1.5 m/s scatters by about 0.013 rad: differences would give 0.19 rad/s of
//! noise, this tracker gives 0.006. Below 0.5 m/s there is no course. A course that jumps round by more than 120°
//! while the antenna moved less than 2 m belongs to a drill that began to go backwards, or forwards again: no
//! tractor turns in its own length.

use super::CourseSample;
use super::decay::decay;
use crate::line::way;
use crate::quantity::{
    Course, Instant, MetresPerSecond, Micros, RadiansPerSecond, Reciprocal, clamp_i32, mul_shift,
};

/// No course below this speed: 0.5 m/s, Q20.
const SLOWEST: i32 = 1 << 19;

/// A tracker without a sample for so long knows no yaw.
const STALE: Micros = Micros::from_millis(500);

/// After so many samples of speed a course goes first: 0.2 s beside pulses, before the tracker would be stale.
const PASSED_OVER: u8 = 8;

/// 1/τ in Q16 per µs · 2^20: 65 536 · 2^20 / 500 000, rounded down so that a second of 32 µs fits 32 bits with it.
const RATE: u32 = 137_438;

/// 2π / 2^8 in Q30: steps of a course to radians in Q24.
const RADIANS: i32 = 26_353_589;

/// 120° of a turn of 2^32.
const ROUND: u32 = 1_431_655_765;

/// A drill that moved further than this between two courses may have turned: 2 m, µm.
const TURNING_ROOM: u32 = 2_000_000;

/// Nobody backs a drill further than this: 25 m, µm.
const FARTHEST_BACK: u32 = 25_000_000;

/// What is remembered of the course.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct CourseState {
    course: Course,
    /// Clockwise, Q24 rad/s.
    turning: i32,
    at: Instant,
    live: bool,
    /// A course was seen since power-up; it is remembered through a standstill.
    known: bool,
    /// Way since the last course, µm.
    moved: u32,
    reversing: bool,
    /// Way backwards, µm.
    back: u32,
    /// Samples of the tracker since it began.
    samples: u8,
    /// A sample that came and has not had its turn.
    waiting: Option<CourseSample>,
    /// Samples of speed that went before it.
    passed_over: u8,
}

impl CourseState {
    /// Keeps a sample, if one came, and ages what is known. The speed moves the drill for `elapsed`, unless it is lost.
    pub(crate) fn update(
        &mut self,
        sample: Option<CourseSample>,
        (speed, lost): (MetresPerSecond, bool),
        elapsed: Micros,
        now: Instant,
    ) {
        if sample.is_some_and(|sample| sample.speed.to_bits() >= SLOWEST) {
            self.waiting = sample;
        }
        if !self.known {
            return;
        }
        let way = way(speed, elapsed).unsigned_abs();
        // Where the speed is lost the way is not known: the drill may have turned.
        self.moved = if lost { u32::MAX } else { self.moved.saturating_add(way) };
        self.back = if self.reversing { self.back.saturating_add(way) } else { 0 };
        if self.back > FARTHEST_BACK {
            self.reversing = false;
        }
        if self.live && now.since_or_zero(self.at) > STALE {
            self.live = false;
        }
    }

    /// Takes the sample that waits, if one does.
    pub(crate) fn take_waiting(&mut self) -> bool {
        self.passed_over = 0;
        let Some(sample) = self.waiting.take() else { return false };
        self.take(sample);
        true
    }

    /// A sample of speed went first.
    pub(crate) const fn pass_over(&mut self) {
        if self.waiting.is_some() {
            // At the bound it goes first: no further.
            self.passed_over = self.passed_over.wrapping_add(1);
        }
    }

    /// Whether it is the turn of a sample that was passed over too often.
    pub(crate) const fn presses(&self) -> bool {
        self.passed_over >= PASSED_OVER
    }

    fn take(&mut self, sample: CourseSample) {
        let jumped = sample.course.turned_from(self.course).unsigned_abs() > ROUND;
        if self.known && jumped && self.moved < TURNING_ROOM {
            self.reversing = !self.reversing;
            self.live = false;
        } else if self.moved == u32::MAX {
            self.reversing = false;
        }
        let moved_on = !self.live || self.at.is_before(sample.at);
        if !moved_on {
            return;
        }
        if self.live {
            self.track(sample);
        } else {
            self.course = sample.course;
            self.turning = 0;
            self.samples = 0;
        }
        self.at = sample.at;
        self.live = true;
        self.known = true;
        self.moved = 0;
        self.samples = self.samples.saturating_add(1);
    }

    fn track(&mut self, sample: CourseSample) {
        let interval = sample.at.since(self.at).get().min(1_000_000);
        let x = interval.wrapping_shr(5).wrapping_mul(RATE).wrapping_shr(15);
        let left = decay(x).min(65_536);
        let gone = 65_536_u32.saturating_sub(left);
        // 1 − left² and gone², Q16.
        let alpha = 65_536_u32.saturating_sub(square(left));
        let beta = square(gone);
        // Foretold: course + turning · T. rad/s Q24 · µs / 10^6 · 2^32 / 2π = Q24 · µs · 4.0743e-5.
        let ahead = mul_shift::<8>(self.turning, clamp_i32(i64::from(interval)));
        let steps = mul_shift::<30>(ahead, 11_199_488);
        let foretold = Course::from_bits(self.course.to_bits().wrapping_add(steps.cast_unsigned()));
        let missed = sample.course.turned_from(foretold);
        let word = |share: u32| i32::try_from(share).unwrap_or(65_536);
        let corrected = mul_shift::<16>(missed, word(alpha));
        self.course = Course::from_bits(foretold.to_bits().wrapping_add(corrected.cast_unsigned()));
        // β e / T: e in rad Q24, over T by its reciprocal (10^6 / µs, Q10).
        let radians = mul_shift::<30>(missed, RADIANS);
        let step = mul_shift::<16>(radians, word(beta));
        let per_second = Reciprocal::of(interval.max(1_000)).times(1_000_000, 10);
        let change = mul_shift::<10>(step, i32::try_from(per_second).unwrap_or(i32::MAX));
        self.turning = self.turning.saturating_add(change);
    }

    /// Yaw rate, anticlockwise positive; none while there is no course, and none backwards.
    pub(crate) fn yaw(&self) -> Option<RadiansPerSecond> {
        let known = self.live && !self.reversing && self.samples > 3;
        known.then(|| RadiansPerSecond::from_bits(self.turning.saturating_neg()))
    }

    /// The course, while it is known.
    pub(crate) fn course(&self) -> Option<Course> {
        self.live.then_some(self.course)
    }

    /// The course jumped round: the drill goes backwards.
    pub(crate) const fn reversing(&self) -> bool {
        self.reversing
    }
}

/// The square of a share, Q16.
const fn square(share: u32) -> u32 {
    // At most 2^16: half of it squared is a quarter of 2^32.
    let half = share.wrapping_shr(1);
    half.wrapping_mul(half).wrapping_shr(14)
}

#[cfg(test)]
mod tests {
    use super::{CourseSample, CourseState};
    use crate::quantity::{Course, Instant, MetresPerSecond, Micros};

    fn circle(state: &mut CourseState, millidegrees_per_sample: u32, samples: u32) {
        for k in 0..samples {
            let at =
                Instant::from_micros((u32::MAX - 1_000_000).wrapping_add(k.wrapping_mul(100_000)));
            let course = Course::from_millidegrees(
                350_000_u32.wrapping_add(k.wrapping_mul(millidegrees_per_sample)),
            );
            let speed = MetresPerSecond::from_millimetres(1_500);
            let sample = Some(CourseSample { course, speed, at });
            state.update(sample, (speed, false), Micros::from_millis(100), at);
            assert!(state.take_waiting(), "no sample waits");
        }
    }

    #[test]
    fn a_right_hand_circle_is_a_negative_yaw_rate() {
        let mut state = CourseState::default();
        // 0.6° in 0.1 s: 0.104720 rad/s clockwise.
        circle(&mut state, 600, 60);
        let yaw = state.yaw().map_or(0, crate::quantity::RadiansPerSecond::to_bits);
        assert!((yaw + 1_756_899).abs() < 2_000, "−0.10472 rad/s in Q24, have {yaw}");
    }

    #[test]
    fn a_course_that_jumps_round_in_place_is_a_drill_going_backwards() {
        let mut state = CourseState::default();
        circle(&mut state, 0, 20);
        let speed = MetresPerSecond::from_millimetres(600);
        let mut at = Instant::from_micros((u32::MAX - 1_000_000).wrapping_add(2_500_000));
        let back = Course::from_millidegrees(171_000);
        state.update(
            Some(CourseSample { course: back, speed, at }),
            (speed, false),
            Micros::from_millis(100),
            at,
        );
        assert!(state.take_waiting());
        assert!(state.reversing(), "350° to 171° in place");
        assert!(state.yaw().is_none(), "a course backwards was used");
        at = at.plus(Micros::from_millis(100));
        let forth = Course::from_millidegrees(349_000);
        state.update(
            Some(CourseSample { course: forth, speed, at }),
            (speed, false),
            Micros::from_millis(100),
            at,
        );
        assert!(state.take_waiting());
        assert!(!state.reversing(), "and back again");
    }
}
