//! Sources, lift, hopper and place, as the tick weighs them.

use super::tick::{State, worse};
use crate::inputs::Inputs;
use crate::quantity::{Instant, Micros};
use crate::sense::{Followed, HitchSample, PositionSample};
use crate::settings::{LiftSource, Settings};
use crate::side::Now;
use crate::watch::{EMPTY_FOR, Item, LOST_FOR, ROAD_FOR};

impl State {
    /// What the watch says of the sources of speed.
    pub(super) fn weigh_sources(&self, settings: &Settings, followed: Followed) -> Option<Item> {
        let item = match followed {
            // A pause: worse than what else there may be.
            Followed::Nothing => Item::SpeedLost,
            _ if self.ground.doubted() => Item::SpeedImplausible,
            Followed::Hand => Item::SpeedByHand,
            // One that is followed is not lost.
            Followed::Source(_) if settings.ground.is_alone() => return None,
            Followed::Source(_) if settings.ground.lacks_one(&self.ground) => Item::SourceMissing,
            Followed::Source(_) if self.ground.disagree() => Item::SourcesDisagree,
            Followed::Source(_) => return None,
        };
        Some(item)
    }

    /// What the watch says of the lift and the hopper.
    pub(super) fn weigh_inputs(
        &mut self,
        settings: &Settings,
        inputs: &Inputs,
        now: &Now,
    ) -> Option<Item> {
        let posture = self.weigh_posture(settings, inputs, now);
        let unknown = (now.lift_unknown && now.operator).then_some(Item::LiftUnknown);
        let empty = inputs.hopper_empty == Some(true);
        let empty = self.empty.update(empty, now.elapsed, EMPTY_FOR);
        worse(posture, worse(unknown, empty.then_some(Item::HopperEmpty)))
    }

    /// The stop button, and a drill on the road.
    fn weigh_posture(&mut self, settings: &Settings, inputs: &Inputs, now: &Now) -> Option<Item> {
        if inputs.stop == Some(true) {
            return Some(Item::StopPressed);
        }
        let fast = now.operator && now.speed > settings.limits.road_speed;
        let raised = now.operator && !now.lowered;
        let fast = self.road.update(fast, now.elapsed, ROAD_FOR);
        let raised = self.raised.update(raised, now.elapsed, settings.limits.raised_for);
        fast.then_some(Item::RoadSpeed).or(raised.then_some(Item::RaisedLong))
    }

    /// Whether nothing is known of the lift.
    pub(super) fn lift_is_unknown(&self, settings: &Settings) -> bool {
        let silent = settings.lift_from != LiftSource::Switch && self.hitch.is_none();
        silent || self.lift.chatters()
    }

    /// The antenna's last place; one older than two seconds says nothing.
    pub(super) fn keep_place(&mut self, position: Option<PositionSample>, at: Instant) {
        if position.is_some() {
            self.antenna = position;
        }
        if self.antenna.is_some_and(|kept| at.since_or_zero(kept.at) > LOST_FOR) {
            self.antenna = None;
        }
    }

    /// Whether the lift reads "in work". A hitch that says nothing is not in work.
    pub(super) fn reads_lowered(&mut self, settings: &Settings, inputs: &Inputs) -> bool {
        match settings.lift_from {
            LiftSource::Switch => inputs.lift == settings.lowered_level,
            LiftSource::Hitch { limit } => self.hitch_reads_lowered(inputs, limit),
        }
    }

    #[inline(never)]
    fn hitch_reads_lowered(&mut self, inputs: &Inputs, limit: Micros) -> bool {
        // One that is stamped ahead came while the tick was read: it is of now.
        let fresh = inputs.hitch.map(|hitch| HitchSample {
            at: if inputs.now.is_before(hitch.at) { inputs.now } else { hitch.at },
            ..hitch
        });
        let kept = fresh.or(self.hitch);
        self.hitch = kept.filter(|kept| inputs.now.since_or_zero(kept.at) <= limit);
        self.hitch.is_some_and(|hitch| hitch.in_work)
    }
}
