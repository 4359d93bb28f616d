//! The controller: one tick from inputs to outputs.
//!
//! ```text
//!  beat, ground, yaw, lift, master ──► for each side: state ─► wanted ─► command ─► tally ─► watch
//!                                                                                      │
//!                                  latch: everything at rest in the same tick ◄────────┘
//! ```

use crate::MAX_SIDES;
use crate::catch_run::{Around, CatchError, CatchReport, CatchRun, CatchState};
use crate::drive::{DriveState, Feedback};
use crate::inputs::Inputs;
use crate::outputs::{Outputs, SideOutputs};
use crate::quantity::{
    Command, Instant, MetresPerSecond, Micros, MilligramsPerSquareMetre, TurnsPerSecond, clamp_i32,
    mul_wide, per_million,
};
use crate::section::{Asked, MasterState, SideState, decide};
use crate::sense::{DebounceState, GroundState, GroundStatus, YawState, shaft_accel};
use crate::settings::{Settings, SettingsError, SideSettings};
use crate::tally::{Account, Beat, Happened, Hopper, SideTally};
use crate::watch::{Class, Item, LATE, LOST_FOR, Lasting, PAUSED_FOR, STALE, SideSeen, SideWatch};

/// An act of the operator between two ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Act {
    /// A new seeding rate.
    Rate(MilligramsPerSquareMetre),
    /// First act of a catch run; the second is a fresh press of the hold button.
    ArmCatch(CatchRun),
    /// The hopper was filled and now holds so much, µg.
    Filled(u64),
}

/// Why an act is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
pub enum Refusal {
    /// The new rate breaks a rule.
    Settings(SettingsError),
    /// The catch run is not possible.
    Catch(CatchError),
    /// There are no valid settings.
    Unconfigured,
}

/// What one side remembers.
#[derive(Clone, Copy, Debug, Default)]
struct Side {
    state: SideState,
    moving: bool,
    drive: DriveState,
    watch: SideWatch,
    tally: SideTally,
}

/// The controller of one drill: its settings, and what it remembers.
#[derive(Clone, Debug)]
pub struct Controller {
    settings: Option<Settings>,
    state: State,
}

/// What the controller remembers, apart from the settings: these are never moved or copied in a tick.
#[derive(Clone, Debug)]
struct State {
    ground: GroundState,
    yaw: YawState,
    lift: DebounceState,
    master: MasterState,
    catch: CatchState,
    beat: Beat,
    lost: Lasting,
    paused: Lasting,
    sides: [Side; MAX_SIDES],
    hopper: Hopper,
    latched: Option<Item>,
    at_rest: bool,
    standstill: bool,
}

/// What all sides share in a tick.
#[derive(Clone, Copy)]
struct Now {
    at: Instant,
    elapsed: Micros,
    operator: bool,
    lowered: bool,
    ground: GroundStatus,
    speed: MetresPerSecond,
    pulses: u32,
    turning: Option<(usize, TurnsPerSecond)>,
    catching: Option<usize>,
}

impl Controller {
    /// A controller for checked settings, stopped: only a fresh off→on of the master starts it.
    pub fn new(settings: Settings) -> Self {
        Self { settings: Some(settings), state: State { latched: None, ..State::unconfigured() } }
    }

    /// A controller whose settings are missing or wrong: it runs nothing and says so.
    pub fn unconfigured() -> Self {
        Self { settings: None, state: State::unconfigured() }
    }

    /// An act of the operator.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why nothing was changed.
    pub fn act(&mut self, act: Act, now: Instant) -> Result<(), Refusal> {
        let Some(settings) = &self.settings else { return Err(Refusal::Unconfigured) };
        match act {
            Act::Rate(rate) => {
                self.settings = Some(settings.with_rate(rate).map_err(Refusal::Settings)?);
                for side in &mut self.state.sides {
                    side.drive.restart(now);
                }
            }
            Act::ArmCatch(run) => {
                let side =
                    settings.sides.get(run.side).ok_or(Refusal::Catch(CatchError::NoSuchSide))?;
                run.check(side.drive.full()).map_err(Refusal::Catch)?;
                if self.state.master.stopped() && self.state.latched.is_some() {
                    return Err(Refusal::Catch(CatchError::Stopped));
                }
                if !self.state.may_catch() {
                    return Err(Refusal::Catch(CatchError::NotAtRest));
                }
                self.state.catch.arm(run, now);
            }
            Act::Filled(micrograms) => {
                self.state.hopper = Hopper::filled(micrograms, self.account().mass_ug);
            }
        }
        Ok(())
    }

    /// One tick: reads `inputs`, returns what to drive. To be called every 10 ms.
    pub fn tick(&mut self, inputs: &Inputs) -> Outputs {
        let Some(settings) = &self.settings else {
            return Outputs { alarm: Some(Item::SettingsInvalid), ..Outputs::default() };
        };
        self.state.tick(settings, inputs)
    }

    /// Area, mass and distance of one side.
    pub fn side_account(&self, index: usize) -> Account {
        let (Some(settings), Some(memory)) = (&self.settings, self.state.sides.get(index)) else {
            return Account::default();
        };
        let Some(side) = settings.sides.get(index) else { return Account::default() };
        let source = settings.ground.source();
        Account {
            distance_um: memory.tally.distance(source, side.offset),
            area_mm2: memory.tally.area(source, side.offset, side.width),
            mass_ug: memory.tally.mass(&side.meter, side.edges_per_turn),
        }
    }

    /// Area, mass and distance of all sides.
    pub fn account(&self) -> Account {
        (0..MAX_SIDES).fold(Account::default(), |sum, side| sum.plus(self.side_account(side)))
    }

    /// Seed left in the hopper, µg.
    #[must_use]
    pub fn hopper_left(&self) -> u64 {
        self.state.hopper.left(self.account().mass_ug)
    }

    /// Raw counts of a side.
    #[must_use]
    pub fn tally(&self, index: usize) -> Option<&SideTally> {
        self.state.sides.get(index).map(|side| &side.tally)
    }

    /// Takes the report of a catch run that is over.
    pub const fn take_catch_report(&mut self) -> Option<CatchReport> {
        self.state.catch.take_report()
    }

    /// The ground speeds at which a side's drive turns smoothly: from 1/64 of full speed to full speed.
    pub fn speed_range(&self, index: usize) -> Option<(MetresPerSecond, MetresPerSecond)> {
        let side = self.settings.as_ref()?.sides.get(index)?;
        let full = side.drive.full();
        let low = TurnsPerSecond::from_bits(full.to_bits() / 64);
        Some((side.demand.speed_for(low), side.demand.speed_for(full)))
    }
}

impl State {
    fn unconfigured() -> Self {
        Self {
            ground: GroundState::default(),
            yaw: YawState::default(),
            lift: DebounceState::default(),
            master: MasterState::default(),
            catch: CatchState::default(),
            beat: Beat::default(),
            lost: Lasting::default(),
            paused: Lasting::default(),
            sides: [Side::default(); MAX_SIDES],
            hopper: Hopper::default(),
            latched: Some(Item::SettingsInvalid),
            at_rest: true,
            standstill: true,
        }
    }

    fn tick(&mut self, settings: &Settings, inputs: &Inputs) -> Outputs {
        let at = inputs.now;
        let elapsed = self.beat.elapsed(at);
        let mut worst = (elapsed > LATE).then_some(Item::TickLate);
        if elapsed > STALE {
            worst = Some(Item::InputsStale);
            // Nothing is sown in this tick, and no ground counted.
            self.master.stop();
        }
        self.sense(settings, inputs);
        let now = self.now(settings, inputs, elapsed);
        if self.ground.doubted() {
            worst = worse(worst, Some(Item::SpeedImplausible));
        }
        if now.ground == GroundStatus::Lost {
            worst = worse(worst, Some(Item::SpeedLost));
        }
        let mut outputs = Outputs { speed: now.speed, ground: now.ground, ..Outputs::default() };
        let asked = now.ground == GroundStatus::Lost && now.operator && now.lowered;
        let too_long = self.lost.update(asked, elapsed, LOST_FOR);
        for (index, side) in settings.sides.iter().enumerate() {
            let (Some(memory), Some(out), Some(read)) =
                (self.sides.get_mut(index), outputs.sides.get_mut(index), inputs.sides.get(index))
            else {
                continue;
            };
            let work = Work {
                settings,
                side,
                yaw: &self.yaw,
                ground: &self.ground,
                stopped: self.master.stopped(),
                now,
            };
            let item = work.tick(memory, index, read.switch, out);
            worst = worse(worst, item);
        }
        self.finish(worst, too_long, elapsed, &mut outputs);
        outputs
    }

    /// Ground, yaw and shafts.
    fn sense(&mut self, settings: &Settings, inputs: &Inputs) {
        settings.ground.update(&mut self.ground, inputs.ground, inputs.sample, inputs.now);
        self.yaw.update(inputs.yaw, inputs.now);
        for (index, side) in settings.sides.iter().enumerate() {
            if let (Some(memory), Some(read)) = (self.sides.get_mut(index), inputs.sides.get(index))
            {
                side.drive.measure(&mut memory.drive, read.shaft, inputs.now);
            }
        }
    }

    /// What the operator, the lift and a catch run want in this tick.
    fn now(&mut self, settings: &Settings, inputs: &Inputs, elapsed: Micros) -> Now {
        let at = inputs.now;
        let lowered = inputs.lift == settings.lowered_level;
        let lowered = settings.lift.update(&mut self.lift, lowered, at);
        let operator = self.master.update(inputs.master, settings.lift.steady_for, at);
        if operator {
            self.latched = None;
        }
        let speed = settings.ground.now(&self.ground, at);
        let ground = self.ground.status();
        // 0.05 m/s: slower than any receiver's noise at rest.
        // `speed` is never negative; a drill that reverses moves too.
        let back = settings.ground.motion(&self.ground, at).speed.to_bits();
        self.standstill = ground == GroundStatus::Standing
            || (ground == GroundStatus::Moving && speed.to_bits() < 52_429 && back > -52_429);
        let catching = self.catch.side();
        let edges =
            catching.and_then(|side| self.sides.get(side)).map_or(0, |side| side.drive.edges());
        let around = Around {
            hold: inputs.hold,
            standstill: self.standstill,
            master: inputs.master,
            fault: self.latched.is_some() || elapsed > STALE,
            edges,
        };
        let turning = self.catch.update(around, at);
        let pulses = self.ground.edges();
        Now { at, elapsed, operator, lowered, ground, speed, pulses, turning, catching }
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
            self.latched = worst;
            self.master.stop();
            for (out, side) in outputs.sides.iter_mut().zip(&mut self.sides) {
                out.command = Command::ZERO;
                out.wanted = TurnsPerSecond::ZERO;
                out.state = SideState::Stopped;
                side.state = SideState::Stopped;
                side.drive.rest();
            }
        }
        outputs.alarm = worse(worst, self.latched);
        let turns = outputs.sides.iter().any(|side| side.state.turns());
        let paused = self.paused.update(!turns, elapsed, PAUSED_FOR);
        outputs.supply = !paused && outputs.sides.iter().any(|side| side.state.is_armed());
        self.at_rest = outputs.at_rest();
    }

    /// Whether a catch run may be armed: all stands, the master is off and no shaft turns or runs out.
    const fn may_catch(&self) -> bool {
        self.at_rest && self.standstill && !self.master.reads_on() && !self.catch.is_running()
    }
}

/// The worse of two items: a latch before a pause before an alarm, then the lower number.
fn worse(a: Option<Item>, b: Option<Item>) -> Option<Item> {
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

/// One side's work in a tick.
struct Work<'a> {
    settings: &'a Settings,
    side: &'a SideSettings,
    yaw: &'a YawState,
    ground: &'a GroundState,
    stopped: bool,
    now: Now,
}

impl Work<'_> {
    fn tick(
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
        self.count(memory, index, speed);
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

    fn count(&self, memory: &mut Side, index: usize, speed: MetresPerSecond) {
        let Self { settings, side, now, .. } = *self;
        if now.catching == Some(index) {
            return;
        }
        let happened = Happened {
            sowing: memory.state == SideState::Sowing,
            pulses: now.pulses,
            speed: if side.offset.get() == 0 { speed } else { now.speed },
            yaw: self.yaw.rate(now.at),
            edges: memory.drive.edges(),
            segment: side.meter.segment(memory.drive.measured()),
            elapsed: now.elapsed,
        };
        memory.tally.count(settings.ground.source(), happened);
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
            elapsed: self.now.elapsed,
        };
        memory.watch.update(seen, self.now.at)
    }
}
