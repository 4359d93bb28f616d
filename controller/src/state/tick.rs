//! What the controller remembers between ticks, and the tick itself.
//!
//! ```text
//!  beat, ground, yaw, lift, master ──► each side ──► worst item of the watch
//!                                                          │
//!           latch: everything at rest in the same tick ◄───┘
//! ```

use super::bare::{Held, stands};
use super::hand::HandStart;
use crate::MAX_SIDES;
use crate::drive::Driven;
use crate::gap::GapState;
use crate::inputs::Inputs;
use crate::line::{Going, LineState, way};
use crate::outputs::{Outputs, SideOutputs};
use crate::quantity::{MetresPerSecond, Micros, TurnsPerSecond};
use crate::run::{Around, RunState, Turning};
use crate::section::{MasterState, SideState};
use crate::seed::MAX_PRODUCTS;
use crate::sense::{
    CourseState, DebounceState, GroundState, GroundStatus, HitchSample, PositionSample, YawState,
};
use crate::settings::Settings;
use crate::side::{Now, Side, Work};
use crate::tally::{Beat, Hopper};
use crate::watch::{Class, Item, LATE, LOST_FOR, Lasting, PAUSED_FOR, STALE};

/// What the controller remembers, apart from the settings: these are never moved or copied in a tick.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[repr(C)] // In this order: small things are read in fewer steps near the front.
pub(crate) struct State {
    pub(crate) ground: GroundState,
    pub(crate) latched: Option<Item>,
    pub(crate) at_rest: bool,
    pub(crate) standstill: bool,
    pub(crate) lowered: bool,
    pub(crate) arming: Arming,
    pub(crate) beat: Beat,
    pub(crate) master: MasterState,
    pub(crate) lift: DebounceState,
    pub(crate) hitch: Option<HitchSample>,
    pub(crate) lines: LineState,
    /// The last speed that was believed, for the ground passed while it is lost.
    pub(crate) held: Held,
    pub(crate) empty: Lasting,
    pub(crate) road: Lasting,
    pub(crate) raised: Lasting,
    pub(crate) lost: Lasting,
    pub(crate) paused: Lasting,
    pub(crate) hand: HandStart,
    pub(crate) run: RunState,
    pub(crate) antenna: Option<PositionSample>,
    pub(crate) course: CourseState,
    pub(crate) yaw: YawState,
    pub(crate) sides: [Side; MAX_SIDES],
    pub(crate) gaps: GapState,
    /// By product.
    pub(crate) hoppers: [Hopper; MAX_PRODUCTS],
}

/// Whether the drive may be armed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub(crate) enum Arming {
    Free,
    /// The correction of a map came to its limit.
    Barred,
}

impl Arming {
    /// Once it came to its limit it stays barred.
    const fn after(self, at_limit: bool) -> Self {
        if at_limit { Self::Barred } else { self }
    }
}

impl State {
    pub(crate) fn unconfigured() -> Self {
        Self {
            ground: GroundState::default(),
            course: CourseState::default(),
            yaw: YawState::default(),
            lift: DebounceState::default(),
            hitch: None,
            lines: LineState::default(),
            gaps: GapState::default(),
            antenna: None,
            held: Held::default(),
            empty: Lasting::default(),
            lowered: false,
            master: MasterState::default(),
            run: RunState::default(),
            hand: HandStart::default(),
            road: Lasting::default(),
            raised: Lasting::default(),
            arming: Arming::Free,
            beat: Beat::default(),
            lost: Lasting::default(),
            paused: Lasting::default(),
            sides: [Side::default(); MAX_SIDES],
            hoppers: [Hopper::default(); MAX_PRODUCTS],
            latched: Some(Item::SettingsInvalid),
            at_rest: true,
            standstill: true,
        }
    }

    pub(crate) fn tick(&mut self, settings: &Settings, inputs: &Inputs, outputs: &mut Outputs) {
        let at = inputs.now;
        let elapsed = self.beat.elapsed(at);
        let mut worst = self.weigh_beat(elapsed);
        self.sense(settings, inputs, elapsed);
        let now = self.now(settings, inputs, elapsed);
        outputs.speed = now.speed;
        outputs.ground = now.ground;
        outputs.followed = self.ground.followed();
        worst = worse(worst, self.weigh_sources(settings, outputs.followed));
        worst = worse(worst, self.weigh_inputs(settings, inputs, &now));
        let asked = now.ground == GroundStatus::Lost && now.operator && now.lowered;
        let too_long = self.lost.update(asked, elapsed, LOST_FOR);
        let mut bare = self.gaps.pass(now.way, now.lowered, elapsed);
        for index in 0..MAX_SIDES {
            let Some(out) = outputs.sides.get_mut(index) else { break };
            let twin = settings.sides.get(index).and_then(|side| side.twin);
            let twin = twin.is_some_and(|twin| self.lays(twin));
            let (Some(side), Some(memory), Some(read)) =
                (settings.sides.get(index), self.sides.get_mut(index), inputs.sides.get(index))
            else {
                *out = SideOutputs::default();
                continue;
            };
            let work = Work {
                settings,
                side,
                yaw: &self.yaw,
                lines: &self.lines,
                stopped: self.master.stopped(),
                twin,
                learns: self.beat.is_odd() != (index % 2 == 1),
                now: &now,
            };
            let done = work.tick(memory, index, read, out);
            self.arming = self.arming.after(memory.watch.is_at_limit());
            worst = worse(worst, done.item);
            bare |= self.pass(index, done, settings, &now);
        }
        worst = worse(worst, bare.then_some(Item::Gap));
        self.finish(worst, too_long, elapsed, outputs);
    }

    /// What the watch says of the time since the tick before.
    const fn weigh_beat(&mut self, elapsed: Micros) -> Option<Item> {
        if elapsed.get() > STALE.get() {
            // Nothing is sown in this tick, and no ground counted.
            self.master.stop();
            return Some(Item::InputsStale);
        }
        if elapsed.get() > LATE.get() { Some(Item::TickLate) } else { None }
    }

    /// Whether a side that has worked in this tick lays seed.
    fn lays(&self, side: u8) -> bool {
        self.sides.get(usize::from(side)).is_some_and(|side| side.state.lays())
    }

    /// Ground, yaw and shafts.
    fn sense(&mut self, settings: &Settings, inputs: &Inputs, elapsed: Micros) {
        let before = (self.held.speed(), self.ground.status() == GroundStatus::Lost);
        self.course.update(inputs.course, before, elapsed, inputs.now);
        settings.ground.update(&mut self.ground, &mut self.course, inputs, elapsed);
        self.yaw.update(inputs.yaw.or_else(|| self.course.yaw()));
        for index in 0..MAX_SIDES {
            let (Some(side), Some(memory), Some(read)) =
                (settings.sides.get(index), self.sides.get_mut(index), inputs.sides.get(index))
            else {
                break;
            };
            side.drive.measure(&mut memory.drive, read.shaft, (inputs.now, elapsed));
        }
    }

    /// What the operator, the lift and a run want in this tick.
    fn now(&mut self, settings: &Settings, inputs: &Inputs, elapsed: Micros) -> Now {
        let at = inputs.now;
        let lowered = self.lower(settings, inputs);
        let lift_unknown = self.lift_is_unknown(settings);
        if self.master.reads_on() && !inputs.master {
            self.ground.set_by_hand(None);
        }
        let operator = self.arm(settings, inputs);
        let outlook = self.ground.outlook(at);
        let [speed, free] = settings.ground.now(&self.ground, &outlook);
        let ground = self.ground.status();
        self.standstill = stands(ground, speed);
        let by_hand = self.by_hand(settings, inputs, operator && lowered, speed);
        let running = self.run.side();
        let turning =
            running.and_then(|index| self.turning(index, settings, inputs, elapsed > STALE));
        let travelled = settings.ground.travelled(&self.ground, speed, elapsed);
        let passing = self.held.update(ground, [speed, free], elapsed);
        // Nobody saw what passed while no tick came.
        let way = way(passing, elapsed.min(STALE));
        if inputs.line.is_some() || self.lines.is_known() {
            let going = Going { now: at, way, speed };
            self.lines.update(inputs.line, settings.places.antenna_to_opener, going);
        }
        self.keep_place(inputs.position, at);
        Now {
            at,
            elapsed,
            operator,
            lowered,
            lift_unknown,
            ground,
            outlook,
            due: outlook.after(&settings.delivery),
            yaw: self.yaw.now(),
            speed,
            travelled,
            way,
            turning,
            by_hand,
            running,
        }
    }

    /// Whether the operator starts by hand: the button is held down and `may` be.
    fn by_hand(
        &mut self,
        settings: &Settings,
        inputs: &Inputs,
        may: bool,
        speed: MetresPerSecond,
    ) -> bool {
        if !inputs.hold {
            self.hand.let_go();
            return false;
        }
        let may = may
            && !self.master.stopped()
            && speed >= MetresPerSecond::ZERO
            && settings.limits.start_speed > MetresPerSecond::ZERO;
        self.hand.press(may, inputs.now)
    }

    /// Whether the operator wants to work and may. A drive whose correction is at its limit goes on until it is
    /// switched off, and is not armed again.
    fn arm(&mut self, settings: &Settings, inputs: &Inputs) -> bool {
        if self.arming == Arming::Barred && !inputs.master {
            self.master.stop();
            self.latched = self.latched.or(Some(Item::CorrectionAtLimit));
        }
        let stopped = self.master.stopped();
        let fresh = inputs.master && !self.master.reads_on();
        let operator = self.master.update(inputs.master, settings.lift.steady_for, inputs.now);
        if self.arming == Arming::Barred && stopped {
            self.master.stop();
            if fresh {
                // Another stop was answered: this is what is left.
                self.latched = Some(Item::CorrectionAtLimit);
            }
            return false;
        }
        if operator {
            self.latched = None;
        }
        operator
    }

    /// Whether the implement is in work, as believed; lifting it ends the lines behind.
    fn lower(&mut self, settings: &Settings, inputs: &Inputs) -> bool {
        let reads = self.reads_lowered(settings, inputs);
        let steady = settings.lift.update(&mut self.lift, reads, inputs.now);
        let lowered = steady && !self.lift.chatters();
        if self.lowered && !lowered {
            self.lines.lift();
        }
        self.lowered = lowered;
        lowered
    }

    /// The side that a run turns in this tick, and how.
    #[inline(never)]
    fn turning(
        &mut self,
        index: usize,
        settings: &Settings,
        inputs: &Inputs,
        stale: bool,
    ) -> Option<(usize, Turning)> {
        let (side, set) = (self.sides.get(index)?, settings.sides.get(index)?);
        let around = Around {
            hold: inputs.hold,
            standstill: self.standstill,
            master: inputs.master,
            fault: self.latched.is_some() || stale || self.run.spills(self.lowered),
            edges: side.drive.edges(),
            coming: set.drive.edges_to_come(&side.drive, set.edges_per_turn),
        };
        self.run.update(around, inputs.now)
    }

    /// Latches, pauses and the shut-off.
    fn finish(
        &mut self,
        worst: Option<Item>,
        too_long: bool,
        elapsed: Micros,
        outputs: &mut Outputs,
    ) {
        let latches = worst.is_some_and(|item| item.class() == Class::Latch);
        if latches || too_long {
            self.latch(worst, &mut outputs.sides);
        }
        // Why it does not arm comes before what else there is to tell.
        let refused = self.latched.filter(|item| *item == Item::CorrectionAtLimit && !latches);
        outputs.alarm = refused.or(worse(worst, self.latched));
        let turns = outputs.sides.iter().any(|side| side.state.turns());
        let paused = self.paused.update(!turns, elapsed, PAUSED_FOR);
        outputs.supply = !paused && self.sides.iter().any(|side| side.oil);
        self.at_rest = outputs.at_rest();
    }

    /// Everything at rest, until the operator answers.
    #[inline(never)]
    fn latch(&mut self, item: Option<Item>, sides: &mut [SideOutputs; MAX_SIDES]) {
        self.latched = item;
        self.master.stop();
        self.ground.set_by_hand(None);
        for (out, side) in sides.iter_mut().zip(&mut self.sides) {
            Driven { command: out.command, turn: out.turn } = side.drive.stop();
            out.wanted = TurnsPerSecond::ZERO;
            out.state = SideState::Stopped;
            side.state = SideState::Stopped;
            side.oil = false;
        }
    }

    /// Forgets what was learnt of the maps, and that a correction was at its limit.
    pub(crate) fn forget_corrections(&mut self) {
        self.sides.iter_mut().for_each(|side| side.drive.forget());
        self.arming = Arming::Free;
        // No longer told either; the master is stopped all the same.
        self.latched = self.latched.filter(|item| *item != Item::CorrectionAtLimit);
    }

    /// Whether a run may be armed: all stands, the master is off and no shaft turns or runs out.
    pub(crate) const fn may_run(&self) -> bool {
        self.at_rest && self.standstill && !self.master.reads_on() && !self.run.is_running()
    }
}

/// The worse of two items: a latch before a pause before an alarm, then the lower number.
#[inline]
pub(crate) fn worse(a: Option<Item>, b: Option<Item>) -> Option<Item> {
    // Most often there is nothing to tell.
    if b.is_none() { a } else { worse_of(a, b) }
}

#[inline(never)]
fn worse_of(a: Option<Item>, b: Option<Item>) -> Option<Item> {
    let rank = |item: Item| match item.class() {
        Class::Latch => 0_u8,
        Class::Pause => 1,
        Class::Alarm => 2,
    };
    match (a, b) {
        (Some(a), Some(b)) => Some(if (rank(b), b) < (rank(a), a) { b } else { a }),
        (one, other) => one.or(other),
    }
}
