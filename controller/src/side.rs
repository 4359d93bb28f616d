//! One side in a tick: state, shaft speed wanted, command, tally, watch.
//!
//! ```text
//!  speed of the side ─► state ─► wanted at t + τd + θ ─► drive ─► command
//!                         │                                          │
//!                         └──► tally                      watch ◄────┘
//! ```

use crate::blind::Blind;
use crate::drive::{DriveState, Driven, Feedback};
use crate::gap::{Cause, Soil};
use crate::inputs::SideInputs;
use crate::line::{LineState, OpenerState, way_between};
use crate::outputs::SideOutputs;
use crate::quantity::{
    Command, Instant, MetresPerSecond, Micros, RadiansPerSecond, TurnsPerSecond,
};
use crate::run::Turning;
use crate::section::{Asked, SideState, decide};
use crate::sense::{Ahead, Bend, GroundStatus, Lead, Outlook, Travelled, YawState, side_speed};
use crate::settings::{PlacesConfig, Settings, SideSettings};
use crate::state::worse;
use crate::tally::{Happened, SideTally};
use crate::watch::{Flow, Heed, Item, SideSeen, SideWatch};

/// What one side remembers.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(C)] // In this order: the processor reads a byte within the first 32 in one step.
pub(crate) struct Side {
    pub(crate) state: SideState,
    pub(crate) moving: bool,
    /// The shut-off must let oil through to this side.
    pub(crate) oil: bool,
    pub(crate) flow: Flow,
    pub(crate) blind: Blind,
    pub(crate) openers: OpenerState,
    pub(crate) drive: DriveState,
    pub(crate) watch: SideWatch,
    pub(crate) tally: SideTally,
}

/// What became of a side in a tick.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Done {
    /// What the watch says.
    pub(crate) item: Option<Item>,
    /// What happened to the ground under it.
    pub(crate) soil: Soil,
    /// Its own ground speed.
    pub(crate) speed: MetresPerSecond,
}

/// What all sides share in a tick.
#[derive(Clone, Copy)]
#[expect(clippy::struct_excessive_bools, reason = "each is a wish or a posture of its own")]
pub(crate) struct Now {
    pub(crate) at: Instant,
    pub(crate) elapsed: Micros,
    pub(crate) operator: bool,
    pub(crate) lowered: bool,
    /// The hitch is silent or the lift switch chatters.
    pub(crate) lift_unknown: bool,
    pub(crate) ground: GroundStatus,
    /// By the source that is followed, and its scale.
    pub(crate) outlook: Outlook,
    /// Motion of the drill when what is metered now lies.
    pub(crate) due: Ahead,
    /// How fast the drill turns now.
    pub(crate) yaw: RadiansPerSecond,
    pub(crate) speed: MetresPerSecond,
    pub(crate) travelled: Travelled,
    /// Way since the tick before, µm; negative backwards.
    pub(crate) way: i32,
    pub(crate) turning: Option<(usize, Turning)>,
    /// The operator starts by hand.
    pub(crate) by_hand: bool,
    pub(crate) running: Option<usize>,
}

/// One side's work in a tick.
pub(crate) struct Work<'a> {
    pub(crate) settings: &'a Settings,
    pub(crate) side: &'a SideSettings,
    pub(crate) yaw: &'a YawState,
    pub(crate) lines: &'a LineState,
    pub(crate) stopped: bool,
    /// The side of the other product on the same ground is sowing in this tick.
    pub(crate) twin: bool,
    /// The trim of this side learns in this tick.
    pub(crate) learns: bool,
    pub(crate) now: &'a Now,
}

impl Work<'_> {
    pub(crate) fn tick(
        &self,
        memory: &mut Side,
        index: usize,
        read: &SideInputs,
        out: &mut SideOutputs,
    ) -> Done {
        let Self { side, now, .. } = *self;
        let speed = side_speed(now.speed, side.lever, now.yaw);
        memory.moving = self.settings.lowest.moving(memory.moving, speed);
        let asked = Asked {
            operator: now.operator,
            switch: read.switch,
            stopped: self.stopped,
            lowered: now.lowered,
            wanted: self.wanted(memory, speed),
            ground: now.ground,
            moving: memory.moving,
            by_hand: now.by_hand,
        };
        memory.state = decide(asked);
        let turning = now.turning.filter(|(side, _)| *side == index);
        let (driven, wanted) = match (turning, memory.state) {
            (Some((_, turning)), SideState::Off | SideState::Stopped) => {
                memory.state = SideState::Run;
                match turning {
                    Turning::Shaft(shaft) => self.turn(memory, shaft),
                    // With no law between there is nothing that the shaft should follow.
                    Turning::Command(command) => (Driven::by(command), TurnsPerSecond::ZERO),
                }
            }
            (_, SideState::Sowing) => self.sow(memory, speed),
            (_, SideState::ByHand) => {
                self.turn(memory, side.demand.shaft(self.settings.limits.start_speed))
            }
            (_, _) => (side.drive.rest(&mut memory.drive), TurnsPerSecond::ZERO),
        };
        let Driven { command, turn } = driven;
        let (state, measured) = (memory.state, memory.drive.measured());
        *out = SideOutputs { command, turn, state, wanted, measured };
        // A valve that takes its time to shut leaves that to the shut-off.
        memory.oil = state.turns() || (state.is_armed() && side.drive.shuts_at_once());
        self.flow(memory, read.seed_seen);
        let soil = self.soil(memory, wanted);
        self.count(memory, index, wanted);
        let item = self.watch(memory, index, wanted, driven);
        let item = worse(item, memory.flow.is_missing().then_some(Item::NoSeedInTubes));
        Done { item, soil, speed }
    }

    /// Whether seed is wanted where the openers will be when what is metered now lies.
    fn wanted(&self, memory: &mut Side, speed: MetresPerSecond) -> bool {
        let Self { settings, side, now, .. } = *self;
        let PlacesConfig { lowering, lifting, .. } = settings.places;
        if lowering.get() == 0 && lifting.get() == 0 && !self.lines.is_known() {
            return now.lowered;
        }
        let (mut time, mut lead) = side.reach;
        if !memory.state.turns() && !side.drive.shuts_at_once() {
            time = time.saturating_add(side.drive.opens_in(side.demand.shaft(speed)));
            lead = Lead::of(time);
        }
        let then = now.outlook.after(&lead).speed;
        let ahead = way_between(speed, then, time).max(0);
        let in_ground = memory.openers.update(now.lowered, [lowering, lifting], now.way, ahead);
        in_ground && self.lines.wants(ahead)
    }

    /// What the tube sensor says, where there is one.
    fn flow(&self, memory: &mut Side, seen: Option<bool>) {
        if seen != Some(false) {
            memory.flow.passes();
            return;
        }
        let moves = memory.drive.measured() > TurnsPerSecond::ZERO || memory.blind.by_map();
        let turns = memory.state.lays() && moves;
        memory.flow.fails(turns, self.now.elapsed, self.settings.delivery_delay);
    }

    /// What happened to the ground under this side.
    fn soil(&self, memory: &Side, wanted: TurnsPerSecond) -> Soil {
        let Self { now, .. } = *self;
        // The ground is owed where the implement is down and inside, whatever the operator or a fault does.
        if !((now.lowered || now.lift_unknown) && self.lines.wants(0)) {
            return Soil::NotWanted;
        }
        if now.way <= 0 {
            return Soil::Still;
        }
        if !memory.state.lays() {
            return unsown(memory.state, now.lift_unknown);
        }
        if memory.flow.is_missing() {
            return Soil::Bare(Cause::NoSeed);
        }
        let slow = memory.drive.measured().to_bits() < wanted.to_bits() / 2;
        if slow && !memory.blind.by_map() { Soil::Bare(Cause::Shaft) } else { Soil::Sown }
    }

    /// What the valve of a side that turns at a given speed is given.
    fn turn(&self, memory: &mut Side, shaft: TurnsPerSecond) -> (Driven, TurnsPerSecond) {
        let lead = TurnsPerSecond::ZERO;
        let feedback = Feedback { ahead: shaft, lead, wanted: shaft, learns: self.learns };
        (self.drive(memory, feedback), shaft)
    }

    /// What the drive gives its valve. By the map alone the shaft is taken for what is wanted of it.
    fn drive(&self, memory: &mut Side, feedback: Feedback) -> Driven {
        let wanted = if memory.blind.by_map() { memory.drive.measured() } else { feedback.wanted };
        self.side.drive.update(&mut memory.drive, Feedback { wanted, ..feedback }, self.now.at)
    }

    /// What the valve of a side that lays seed is given.
    fn sow(&self, memory: &mut Side, speed: MetresPerSecond) -> (Driven, TurnsPerSecond) {
        let Self { settings, side, now, .. } = *self;
        // A motorised valve is driven to a place, and learns it from the shaft alone.
        let was = if side.drive.shuts_at_once() {
            let age = now.at.since_or_zero(memory.drive.measured_at());
            let measured_for = settings.delivery_delay.saturating_sub(age);
            let was = now.due.before(age);
            let was = was.unwrap_or_else(|| now.outlook.after(&Lead::of(measured_for)).speed);
            let was = side_speed(was, side.lever, self.yaw.rate(Bend::after(measured_for)));
            side.demand.shaft(was)
        } else {
            TurnsPerSecond::ZERO
        };
        let motion = now.outlook.after(&side.lead);
        let ahead = side_speed(motion.speed, side.lever, self.yaw.rate(side.bend));
        // The lead is bounded by half the present speed and never turns a shaft back.
        let half = MetresPerSecond::from_bits(speed.to_bits() / 2);
        let ahead = ahead.max(half).min(speed.saturating_add(half));
        let line = side.demand.line(ahead);
        let wanted = line.shaft(ahead);
        let step = line.gained(motion.over_lag(side.drive.lag_seconds()));
        // `wanted` is never negative: the bounds do not cross.
        let bound = wanted.to_bits() / 2;
        let lead = TurnsPerSecond::from_bits(step.min(bound).max(bound.saturating_neg()));
        let feedback = Feedback { ahead: wanted, lead, wanted: was, learns: self.learns };
        (self.drive(memory, feedback), wanted)
    }

    fn count(&self, memory: &mut Side, index: usize, wanted: TurnsPerSecond) {
        let Self { side, now, .. } = *self;
        if now.running == Some(index) {
            return;
        }
        let by_map = memory.blind.by_map();
        // The command ends at full speed, whatever is wanted.
        let wanted = wanted.min(side.drive.full());
        let (shaft, edges) = if by_map {
            (wanted, memory.blind.edges(wanted, side.edges_per_turn, now.elapsed))
        } else {
            (memory.drive.measured(), memory.drive.edges())
        };
        let happened = Happened {
            sowing: memory.state.lays(),
            twin: self.twin,
            ground: now.travelled,
            yaw: now.yaw,
            edges,
            by_map,
            segment: side.meter.segment(shaft),
            elapsed: now.elapsed,
        };
        memory.tally.count(happened);
    }

    fn watch(
        &self,
        memory: &mut Side,
        index: usize,
        wanted: TurnsPerSecond,
        driven: Driven,
    ) -> Option<Item> {
        let side = self.side;
        let seen = SideSeen {
            driven: driven.command > Command::ZERO || memory.drive.is_driven(),
            edges: memory.drive.edges(),
            wanted: wanted.to_bits(),
            measured: memory.drive.measured().to_bits(),
            full: side.drive.full().to_bits(),
            silent_after: side.silent_after,
            drive: &side.drive,
            elapsed: self.now.elapsed,
            behind: memory.drive.behind(),
            corrected: memory.drive.corrected(),
            way: if memory.state == SideState::Sowing { self.now.way } else { 0 },
            limits: &self.settings.limits,
        };
        let heed = match self.now.turning {
            Some((side, Turning::Command(_))) if side == index => Heed::Nothing,
            _ if memory.blind.by_map() => Heed::ByMap,
            _ => Heed::All,
        };
        let item = memory.watch.update(seen, heed, self.now.at);
        memory.blind.update(item, memory.state.turns(), memory.watch.follows(), self.now.elapsed);
        item
    }
}

/// What happens to the ground under a side that lays no seed.
#[inline(never)]
const fn unsown(state: SideState, lift_unknown: bool) -> Soil {
    Soil::Bare(match state {
        SideState::Lifted if lift_unknown => Cause::LiftUnknown,
        SideState::Outside | SideState::Lifted => return Soil::NotWanted,
        SideState::Off | SideState::Run => Cause::SwitchedOff,
        SideState::Stopped => Cause::Stopped,
        SideState::Lost => Cause::SpeedLost,
        SideState::Slow => Cause::TooSlow,
        SideState::Sowing | SideState::ByHand => return Soil::Sown,
    })
}
