//! One side in a tick: state, shaft speed wanted, command, tally, watch.
//!
//! ```text
//!  speed of the side ─► state ─► wanted at t + τd + θ ─► drive ─► command
//!                         │                                          │
//!                         └──► tally                      watch ◄────┘
//! ```

use crate::drive::{DriveState, Feedback};
use crate::outputs::SideOutputs;
use crate::quantity::{
    Command, Instant, MetresPerSecond, Micros, TurnsPerSecond, clamp_i32, mul_wide, per_million,
};
use crate::section::{Asked, SideState, decide};
use crate::sense::{GroundState, GroundStatus, Travelled, YawState, shaft_accel};
use crate::settings::{Settings, SideSettings};
use crate::tally::{Happened, SideTally};
use crate::watch::{Item, SideSeen, SideWatch};

/// What one side remembers.
#[derive(Clone, Copy, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) struct Side {
    pub(crate) state: SideState,
    pub(crate) moving: bool,
    pub(crate) drive: DriveState,
    pub(crate) watch: SideWatch,
    pub(crate) tally: SideTally,
}

/// What all sides share in a tick.
#[derive(Clone, Copy)]
pub(crate) struct Now {
    pub(crate) at: Instant,
    pub(crate) elapsed: Micros,
    pub(crate) operator: bool,
    pub(crate) lowered: bool,
    pub(crate) ground: GroundStatus,
    pub(crate) speed: MetresPerSecond,
    pub(crate) travelled: Travelled,
    pub(crate) turning: Option<(usize, TurnsPerSecond)>,
    pub(crate) catching: Option<usize>,
}

/// One side's work in a tick.
pub(crate) struct Work<'a> {
    pub(crate) settings: &'a Settings,
    pub(crate) side: &'a SideSettings,
    pub(crate) yaw: &'a YawState,
    pub(crate) ground: &'a GroundState,
    pub(crate) stopped: bool,
    pub(crate) now: Now,
}

impl Work<'_> {
    pub(crate) fn tick(
        &self,
        memory: &mut Side,
        index: usize,
        switch: bool,
        out: &mut SideOutputs,
    ) -> Option<Item> {
        let Self { side, now, .. } = *self;
        let speed = self.yaw.side_speed(now.speed, side.offset, now.at);
        memory.moving = self.settings.lowest.moving(memory.moving, speed);
        let asked = Asked {
            operator: now.operator,
            switch,
            stopped: self.stopped,
            lowered: now.lowered,
            ground: now.ground,
            moving: memory.moving,
        };
        memory.state = decide(asked);
        let turning = now.turning.filter(|(side, _)| *side == index);
        let (command, wanted) = match (turning, memory.state) {
            (Some((_, shaft)), SideState::Off | SideState::Stopped) => {
                memory.state = SideState::Catch;
                let feedback = Feedback { ahead: shaft, lead: TurnsPerSecond::ZERO, wanted: shaft };
                (side.drive.update(&mut memory.drive, feedback, now.at), shaft)
            }
            (_, SideState::Sowing) => self.sow(memory, speed),
            (_, _) => {
                memory.drive.rest();
                (Command::ZERO, TurnsPerSecond::ZERO)
            }
        };
        *out =
            SideOutputs { command, state: memory.state, wanted, measured: memory.drive.measured() };
        self.count(memory, index);
        self.watch(memory, wanted, command)
    }

    /// The command of a side that lays seed.
    fn sow(&self, memory: &mut Side, speed: MetresPerSecond) -> (Command, TurnsPerSecond) {
        let Self { settings, side, now, .. } = *self;
        let lead = settings.delivery_delay.saturating_add(side.drive.reach());
        let then = now.at.plus(lead);
        let motion = settings.ground.motion(self.ground, then);
        let ahead = self.yaw.side_speed(motion.speed, side.offset, then);
        // The lead is bounded by half the present speed and never turns a shaft back.
        let half = MetresPerSecond::from_bits(speed.to_bits() / 2);
        let ahead = ahead.max(half).min(speed.saturating_add(half));
        let wanted = side.demand.shaft(ahead);
        let slope = side.demand.slope(ahead);
        let rising = shaft_accel(motion.accel, slope.to_bits());
        let step = per_million(mul_wide(rising, clamp_i32(i64::from(side.drive.lag().get()))));
        let bound = wanted.to_bits() / 2;
        let lead = TurnsPerSecond::from_bits(clamp_i32(step).clamp(bound.saturating_neg(), bound));
        let measured_for = memory.drive.measured_at().plus(settings.delivery_delay);
        let was = settings.ground.motion(self.ground, measured_for);
        let was = self.yaw.side_speed(was.speed, side.offset, measured_for);
        let feedback = Feedback { ahead: wanted, lead, wanted: side.demand.shaft(was) };
        (side.drive.update(&mut memory.drive, feedback, now.at), wanted)
    }

    fn count(&self, memory: &mut Side, index: usize) {
        let Self { side, now, .. } = *self;
        if now.catching == Some(index) {
            return;
        }
        let happened = Happened {
            sowing: memory.state == SideState::Sowing,
            ground: now.travelled,
            yaw: self.yaw.rate(now.at),
            edges: memory.drive.edges(),
            segment: side.meter.segment(memory.drive.measured()),
            elapsed: now.elapsed,
        };
        memory.tally.count(happened);
    }

    fn watch(&self, memory: &mut Side, wanted: TurnsPerSecond, command: Command) -> Option<Item> {
        let side = self.side;
        let seen = SideSeen {
            driven: command > Command::ZERO,
            edges: memory.drive.edges(),
            wanted: wanted.to_bits(),
            measured: memory.drive.measured().to_bits(),
            full: side.drive.full().to_bits(),
            edges_per_turn: side.edges_per_turn,
            run_out: side.drive.run_out(),
            answer: side.drive.answer(),
            elapsed: self.now.elapsed,
        };
        memory.watch.update(seen, self.now.at)
    }
}
