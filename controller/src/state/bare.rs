//! Ground left bare: the way that passes, also while the speed is lost, and the gaps of every side.

use super::tick::State;
use crate::gap::{Cause, Soil};
use crate::line::way;
use crate::place::opener;
use crate::quantity::{MetresPerSecond, Micrometres, Micros};
use crate::sense::GroundStatus;
use crate::settings::Settings;
use crate::side::{Done, Now};
use crate::watch::STALE;

/// The speed by which ground is counted that passes while the speed is lost: the last one, for ten seconds.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Held {
    speed: MetresPerSecond,
    lost: Micros,
}

/// So long is the last speed held for the gaps.
const HELD_FOR: Micros = Micros::from_millis(10_000);

/// Whether it is slower than 0.05 m/s: slower than any receiver's noise at rest. A drill that reverses moves too.
const fn creeps(speed: MetresPerSecond) -> bool {
    speed.to_bits().unsigned_abs() < 52_429
}

/// Whether the drill stands: not known while the speed is lost.
pub(super) const fn stands(ground: GroundStatus, speed: MetresPerSecond) -> bool {
    match ground {
        GroundStatus::Standing => true,
        GroundStatus::Moving => creeps(speed),
        GroundStatus::Lost => false,
    }
}

impl Held {
    /// The last speed that was believed.
    pub(super) const fn speed(&self) -> MetresPerSecond {
        self.speed
    }

    /// The speed at which ground passes under the drill, as far as it is known.
    pub(super) fn update(
        &mut self,
        ground: GroundStatus,
        [speed, free]: [MetresPerSecond; 2],
        elapsed: Micros,
    ) -> MetresPerSecond {
        if ground == GroundStatus::Lost {
            self.lost = self.lost.saturating_add(elapsed);
            return if self.lost > HELD_FOR { MetresPerSecond::ZERO } else { self.speed };
        }
        self.lost = Micros::ZERO;
        // Not bounded by the wait for a pulse: the last bound before a loss says nothing of the speed.
        self.speed = free;
        if creeps(speed) { MetresPerSecond::ZERO } else { speed }
    }
}

impl State {
    /// Counts the ground that a side of the drill passed; whether the person is to be told of a gap.
    pub(super) fn pass(
        &mut self,
        index: usize,
        done: Done,
        settings: &Settings,
        now: &Now,
    ) -> bool {
        let Soil::Bare(cause) = done.soil else {
            // In odd ticks, as all that can wait: what begins anew before it is the same gap.
            if done.soil != Soil::Still && self.beat.is_odd() {
                self.gaps.end(index, settings.least_gap);
            }
            return false;
        };
        // While the speed is lost the drill's held way is the best that is known of a side's.
        let passed = now.elapsed.min(STALE);
        let along =
            if now.ground == GroundStatus::Lost { now.way } else { way(done.speed, passed) };
        if !self.gaps.is_open(index) {
            self.begin_gap(index, cause, settings, now);
        }
        self.gaps.count(index, cause, along, settings.least_gap)
    }

    /// A gap of a side begins where its opener is, if that is known; where the antenna is without a course.
    #[inline(never)]
    fn begin_gap(&mut self, index: usize, cause: Cause, settings: &Settings, now: &Now) {
        let opener = self.antenna.map(|antenna| {
            let Some(course) = self.course.course() else { return antenna.position };
            // The drill went so far since the antenna's place.
            let since = way(now.speed, now.at.since_or_zero(antenna.at));
            let back = settings.places.antenna_to_opener.get().saturating_sub(since);
            let left = settings.sides.get(index).map_or_else(Micrometres::default, |it| it.offset);
            opener(antenna.position, course, Micrometres::new(back), left)
        });
        self.gaps.begin(index, cause, opener);
    }
}
