//! Lines across the path: where sowing begins and ends, and where the openers are in the ground.
//!
//! ```text
//!    antenna          openers            line
//!   ────●─────────────────┼───────────────┃────►
//!       │ antenna_to_opener (to the rear) ┃
//!       │ distance, as sampled ───────────┃     left = distance + antenna_to_opener − way since the sample
//!
//!  seed wanted where the openers will be when what is metered now lies:
//!    left − ∫v over (τd + θ + τ1 ln 2) ≤ 0
//! ```
//!
//! A sample is late and noisy: it corrects what is left by a third, at its own instant. A line stays the present
//! one until the openers have crossed it, though the input already tells of the next. A line that falls silent is
//! reckoned on; what was decided holds until the implement is lifted. Without the input the lift alone decides.
//!
//! The lift is a line too: the switch reads "in work" some way before the openers reach the ground, and
//! "lifted" some way before they leave it.

use crate::quantity::{
    Instant, MetresPerSecond, Micrometres, Micros, clamp_i32, mul_shift, mul_wide,
};
use crate::sense::LineSample;

/// Part of a sample's correction that is believed: a third, Q16.
const BELIEVED: i32 = 21_845;

/// A sample further off than this from what was reckoned is of another line: 2 m, µm.
const ANOTHER: u32 = 2_000_000;

/// A line that the openers crossed so long ago is forgotten: 50 m, µm.
const FAR_BEHIND: i32 = -50_000_000;

/// Motion of the drill as the lines want it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Going {
    pub(crate) now: Instant,
    /// Way since the tick before, µm.
    pub(crate) way: i32,
    /// Ground speed, for the age of a sample.
    pub(crate) speed: MetresPerSecond,
}

impl Going {
    /// Way travelled since an instant not long ago, µm.
    fn since(&self, at: Instant) -> i32 {
        way(self.speed, self.now.since_or_zero(at))
    }
}

/// Way at a speed in a time, µm: m/s Q20 · µs.
#[inline(never)]
pub(crate) fn way(speed: MetresPerSecond, time: Micros) -> i32 {
    let (bits, micros) = (speed.to_bits(), time.get());
    if (0..1 << 24).contains(&bits) && micros < 1 << 14 {
        // Below 16 m/s and 16 ms the product fits 32 bits.
        return (bits.unsigned_abs().wrapping_shr(6).wrapping_mul(micros).wrapping_shr(14))
            .cast_signed();
    }
    clamp_i32(mul_wide(speed.to_bits(), clamp_i32(i64::from(time.get()))).wrapping_shr(20))
}

/// One line that is being reckoned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
struct Line {
    /// From the openers to the line, µm; negative once they crossed it.
    left: i32,
    sow_beyond: bool,
}

/// What is remembered of the lines; `Default` knows none.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct LineState {
    present: Option<Line>,
    next: Option<Line>,
}

impl LineState {
    /// Moves on and takes a sample, if one came: not needed while no line is known and none comes.
    #[inline(never)]
    pub(crate) fn update(
        &mut self,
        sample: Option<LineSample>,
        antenna_to_opener: Micrometres,
        going: Going,
    ) {
        for line in [&mut self.present, &mut self.next].into_iter().flatten() {
            line.left = line.left.saturating_sub(going.way);
        }
        if let Some(sample) = sample {
            let left = sample.distance.get().saturating_add(antenna_to_opener.get());
            let left = left.saturating_sub(going.since(sample.at));
            self.take(Line { left, sow_beyond: sample.sow_beyond });
        }
        let crossed = self.present.is_some_and(|line| line.left <= 0);
        if crossed && self.next.is_some() {
            self.present = self.next.take();
        }
        if self.present.is_some_and(|line| line.left < FAR_BEHIND && line.sow_beyond) {
            self.present = None;
        }
    }

    const fn take(&mut self, seen: Line) {
        let slot = match self.present {
            Some(present) if !present.is_seen_as(seen) => &mut self.next,
            Some(_) | None => &mut self.present,
        };
        match slot {
            Some(line) if line.is_seen_as(seen) => {
                let off = seen.left.saturating_sub(line.left);
                line.left = line.left.saturating_add(mul_shift::<16>(off, BELIEVED));
            }
            Some(_) | None => *slot = Some(seen),
        }
    }

    /// Whether a line is known.
    pub(crate) const fn is_known(&self) -> bool {
        self.present.is_some()
    }

    /// Whether seed is wanted where the openers will be `ahead` (µm) further on; true where no line is known.
    pub(crate) fn wants(&self, ahead: i32) -> bool {
        let Some(present) = self.present else { return true };
        let after = present.left.saturating_sub(ahead) <= 0;
        let beyond = self.next.filter(|next| after && next.left.saturating_sub(ahead) <= 0);
        match beyond {
            Some(next) => next.sow_beyond,
            None => after == present.sow_beyond,
        }
    }

    /// The implement was lifted: what is behind is done with, and so is an end of sowing that it was lifted before.
    #[inline(never)]
    pub(crate) fn lift(&mut self) {
        if self.present.is_some_and(|line| line.left <= 0 || !line.sow_beyond) {
            self.present = self.next.take();
        }
    }
}

impl Line {
    /// Whether a sample is of this line.
    const fn is_seen_as(self, seen: Self) -> bool {
        self.sow_beyond == seen.sow_beyond && self.left.abs_diff(seen.left) <= ANOTHER
    }
}

/// Whether the openers are in the ground, from the lift and the ways of lowering and lifting.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct OpenerState {
    lowered: bool,
    /// Way until the openers follow the switch, µm.
    left: i32,
    /// The drill has moved since power-up. One that has not is taken to stand as its switch reads.
    moved: bool,
}

impl OpenerState {
    /// Moves on; returns whether seed may be wanted of openers that are `ahead` (µm) further on.
    #[inline(never)]
    pub(crate) fn update(
        &mut self,
        lowered: bool,
        ways: [Micrometres; 2],
        way: i32,
        ahead: i32,
    ) -> bool {
        let [lowering, lifting] = ways;
        self.moved |= way != 0;
        if lowered == self.lowered {
            self.left = self.left.saturating_sub(way.max(0)).max(0);
        } else {
            self.lowered = lowered;
            let follows = if lowered { lowering.get() } else { lifting.get() };
            self.left = if self.moved { follows } else { 0 };
        }
        let there = self.left == 0 || self.left.saturating_sub(ahead) <= 0;
        there == lowered
    }
}

/// τd + θ + τ1 ln 2: the time from a command to half the rate on the soil.
#[inline(never)]
pub(crate) fn reach(delivery: Micros, drive: Micros, lag: Micros) -> Micros {
    // ln 2 = 0.693147 is 45 426 / 2^16.
    let half = mul_shift::<16>(clamp_i32(i64::from(lag.get())), 45_426);
    let half = Micros::new(half.max(0).unsigned_abs());
    delivery.saturating_add(drive).saturating_add(half)
}

/// Way of a drill that changes its speed evenly from `now` to `then` over `time`, µm.
pub(crate) fn way_between(now: MetresPerSecond, then: MetresPerSecond, time: Micros) -> i32 {
    let mean = i64::from(now.to_bits()).saturating_add(i64::from(then.to_bits())) / 2;
    way(MetresPerSecond::from_bits(clamp_i32(mean)), time)
}

#[cfg(test)]
mod tests {
    use super::{Going, LineSample, LineState, OpenerState};
    use crate::quantity::{Instant, MetresPerSecond, Micrometres};

    fn metres(metres: i32) -> Micrometres {
        Micrometres::from_millimetres(metres.saturating_mul(1_000))
    }

    fn drive(state: &mut LineState, metres: i32) {
        let speed = MetresPerSecond::from_millimetres(2_000);
        for _ in 0..metres.saturating_mul(50) {
            state.update(
                None,
                Micrometres::new(0),
                Going { now: Instant::default(), way: 20_000, speed },
            );
        }
    }

    fn sees(state: &mut LineState, distance: i32, sow_beyond: bool, behind: i32) {
        let sample = LineSample { distance: metres(distance), sow_beyond, at: Instant::default() };
        let going = Going {
            now: Instant::default(),
            way: 0,
            speed: MetresPerSecond::from_millimetres(2_000),
        };
        state.update(Some(sample), metres(behind), going);
    }

    #[test]
    fn the_present_line_holds_until_the_openers_crossed_it() {
        let mut state = LineState::default();
        sees(&mut state, 1, true, 3);
        drive(&mut state, 2);
        // The antenna is across and tells of the end of the pass; the openers have two metres to go.
        sees(&mut state, 200, false, 3);
        assert!(!state.wants(0), "sown before the line");
        assert!(state.wants(2_000_000), "wanted two metres on");
        drive(&mut state, 2);
        assert!(state.wants(0), "inside");
        drive(&mut state, 201);
        assert!(!state.wants(0), "beyond the end");
        drive(&mut state, 60);
        assert!(!state.wants(0), "a line that ended sowing was forgotten");
    }

    #[test]
    fn an_end_of_sowing_that_the_drill_was_lifted_before_is_done_with() {
        let mut state = LineState::default();
        sees(&mut state, 100, false, 3);
        drive(&mut state, 101);
        assert!(state.wants(0), "two metres to go");
        state.lift();
        drive(&mut state, 10);
        assert!(state.wants(0), "the next pass waits for a line of the last");
    }

    #[test]
    fn without_a_line_the_lift_alone_decides() {
        assert!(LineState::default().wants(0));
    }

    #[test]
    fn openers_follow_the_switch_after_their_ways() {
        let mut state = OpenerState::default();
        let ways = [metres(2), metres(1)];
        assert!(state.update(true, ways, 0, 0), "at power-up it stands as it reads");
        assert!(!state.update(false, [metres(0); 2], 10, 0), "lifted");
        assert!(!state.update(true, ways, 0, 0), "in work at once");
        assert!(!state.update(true, ways, 1_000_000, 500_000), "half a metre too soon");
        assert!(state.update(true, ways, 500_000, 500_000), "as the seed will lie there");
        assert!(state.update(true, ways, 500_000, 0), "in the ground");
        assert!(state.update(false, ways, 0, 0), "still in the ground");
        assert!(!state.update(false, ways, 1_000_000, 0), "out of it");
    }
}
