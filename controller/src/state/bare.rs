//! Ground left bare: the way that passes, also while the speed is lost, and the gaps of every side.

use super::tick::{State, worse};
use crate::gap::{Cause, Here, Soil};
use crate::line::way;
use crate::outputs::Outputs;
use crate::quantity::{MetresPerSecond, Micrometres, Micros};
use crate::section::SideState;
use crate::sense::GroundStatus;
use crate::settings::Settings;
use crate::side::Now;
use crate::watch::Item;

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

/// Slower than 0.05 m/s is standing: noise of a receiver at rest is no way. Q20.
const CREEP: i32 = 52_429;

impl Held {
    /// The speed at which ground passes under the drill, as far as it is known.
    pub(super) fn update(
        &mut self,
        ground: GroundStatus,
        [speed, unbounded]: [MetresPerSecond; 2],
        elapsed: Micros,
    ) -> MetresPerSecond {
        if ground == GroundStatus::Lost {
            self.lost = self.lost.saturating_add(elapsed);
            return if self.lost > HELD_FOR { MetresPerSecond::ZERO } else { self.speed };
        }
        self.lost = Micros::ZERO;
        let creeps = |speed: MetresPerSecond| speed.to_bits().saturating_abs() < CREEP;
        self.speed = unbounded;
        if creeps(speed) { MetresPerSecond::ZERO } else { speed }
    }
}

impl State {
    /// Ground left bare, by what every side did in this tick.
    pub(super) fn enter_gaps(&mut self, settings: &Settings, now: Now, outputs: &mut Outputs) {
        let course = self.course.course();
        let mut told = self.gaps.pass(now.way, now.lowered, now.elapsed);
        let back =
            self.antenna.map_or(0, |antenna| way(now.speed, now.at.since_or_zero(antenna.at)));
        let back = settings.places.antenna_to_opener.get().saturating_sub(back);
        for (index, side) in settings.sides.iter().enumerate() {
            let Some(memory) = self.sides.get(index) else { continue };
            let turned = self.yaw.side_speed(now.speed, side.offset, now.at);
            let along =
                if now.ground == GroundStatus::Lost { now.way } else { way(turned, now.elapsed) };
            let here = Here {
                way: along,
                antenna: self.antenna.map(|antenna| antenna.position),
                course,
                back: Micrometres::new(back),
                left: side.offset,
            };
            let soil = match memory.state {
                SideState::Stopped if matches!(memory.soil, Soil::Sown | Soil::Bare(_)) => {
                    Soil::Bare(Cause::Stopped)
                }
                _ => memory.soil,
            };
            told |= self.gaps.count(index, soil, here, settings.least_gap);
        }
        if told {
            outputs.alarm = worse(outputs.alarm, Some(Item::Gap));
        }
    }
}
