//! The controller on the bench: the same code that is flashed, fed through [`Inputs`] alone.

use super::brain::{Brain, Own};
use super::convert;
use super::heard::Heard;
use super::{Law, Senses, Shown};
use crate::fault::{SEASON_M2, WrongBuild};
use crate::scenario::{Opened, Scenario, YawFrom};
use crate::score::{Tallies, Tally};
use controller::gap::Gap;
use controller::quantity::{Instant, Position};
use controller::section::SideState;
use controller::seed::Product;
use controller::sense::Pulses;
use controller::settings::{SettingsConfig, image};
use controller::snapshot::Snapshot;
use controller::tally::Account;
use controller::watch::Item;
use controller::{Act, Controller, Inputs, Outputs, Settings, SettingsError};

/// The clock starts so that it wraps five seconds into a run.
const CLOCK_START: u32 = u32::MAX - 5_000_000;

/// A tick, s.
const TICK_S: f64 = 0.01;

/// Ticks after which the operator has switched on.
const STARTED: u64 = 20;

/// The controller with what it was last told.
#[derive(Clone, Debug)]
pub struct Ours {
    controller: Controller,
    rates_kg_per_ha: [f64; 2],
    opened: Vec<Opened>,
    curves: bool,
    yaw: YawFrom,
    direction: bool,
    /// The operator sets it once the master is on.
    by_hand_mps: Option<f64>,
    /// Ticks before the run in which a motorised valve is driven shut.
    shutting_ticks: u32,
    ticks: u64,
    outputs: Outputs,
    wrong: Option<&'static WrongBuild>,
    float_m2: f32,
    counted_m2: f64,
    stopped: Option<(f64, Item)>,
    gaps: Vec<Gap>,
    heard: Vec<Heard>,
}

/// The settings as a board reads them: out of their image. What is proved is what is carried.
fn carried(config: &SettingsConfig) -> SettingsConfig {
    let mut bytes = [0; image::MAX_IMAGE];
    let written = image::write(config, &mut bytes);
    let read = written.and_then(|length| image::read(bytes.get(..length).unwrap_or_default()));
    // What no image can hold breaks a rule of the settings as well, which names it.
    read.unwrap_or_else(|_| config.clone())
}

impl Ours {
    /// A controller for the scenario.
    ///
    /// # Errors
    ///
    /// That of the settings.
    pub fn new(scenario: &Scenario) -> Result<Self, SettingsError> {
        Self::built(scenario, None)
    }

    /// A controller for the scenario, wrongly built if so wished.
    ///
    /// # Errors
    ///
    /// That of the settings.
    pub fn built(
        scenario: &Scenario,
        wrong: Option<&'static WrongBuild>,
    ) -> Result<Self, SettingsError> {
        let mut config = convert::settings(scenario);
        if let Some(wrong) = wrong {
            (wrong.settings)(&mut config);
        }
        let settings = Settings::new(&carried(&config))?;
        let controller = Controller::new(settings);
        Ok(Self {
            wrong,
            float_m2: SEASON_M2,
            counted_m2: 0.0,
            stopped: None,
            gaps: Vec::new(),
            heard: Vec::new(),
            controller,
            rates_kg_per_ha: scenario.rates_kg_per_ha(),
            opened: scenario.drill.sides.iter().map(|side| Opened::all(side.outlets)).collect(),
            curves: scenario.curves(),
            yaw: scenario.fitted.yaw,
            direction: scenario.fitted.direction_known,
            by_hand_mps: scenario.fitted.by_hand_mps,
            shutting_ticks: shutting_ticks(scenario),
            ticks: 0,
            outputs: Outputs::default(),
        })
    }

    /// What it gave on the last tick.
    pub const fn outputs(&self) -> &Outputs {
        &self.outputs
    }

    /// When and by which item of the watch it first stopped for good.
    pub const fn stopped(&self) -> Option<(f64, Item)> {
        self.stopped
    }

    /// The gaps it logged so far, in the order in which they ended.
    pub fn gaps(&self) -> &[Gap] {
        &self.gaps
    }

    /// What the controller was given in the last tick, in this order.
    pub fn heard(&self) -> &[Heard] {
        &self.heard
    }

    /// What has been counted by now, in one piece.
    pub fn snapshot(&self) -> Snapshot {
        self.controller.snapshot()
    }

    /// Where the antenna is by a sample that has just arrived.
    pub fn place(senses: &Senses<'_>) -> Option<Position> {
        let sample = convert::position(senses.samples.receiver?, CLOCK_START)?;
        Some(sample.position)
    }

    /// What it counted so far.
    #[expect(clippy::cast_precision_loss, reason = "a share of 2^-52 of a tally is nothing")]
    pub fn tallies(&self) -> Tallies {
        let tally = |account: Account| Tally {
            area_m2: account.area_mm2 as f64 * 1e-6,
            mass_kg: account.mass_ug as f64 * 1e-9,
        };
        let mut all = tally(self.controller.account());
        if self.wrong.is_some_and(|wrong| wrong.float_tally) {
            all.area_m2 = f64::from(self.float_m2 - SEASON_M2);
        }
        let products = Product::ALL.map(|product| tally(self.controller.account_of(product)));
        if self.wrong.is_some_and(|wrong| wrong.ground_twice) {
            all.area_m2 = products.iter().map(|product| product.area_m2).sum();
        }
        Tallies { all, products }
    }

    /// What its controller counted: in all, and of each product.
    pub(super) fn counted(&self) -> [Account; 3] {
        let [first, second] = Product::ALL.map(|product| self.controller.account_of(product));
        [self.controller.account(), first, second]
    }

    /// Counts the area once more in a 32-bit float, for the build that does so.
    #[expect(
        clippy::cast_precision_loss,
        clippy::cast_possible_truncation,
        reason = "that is what is wrong with it"
    )]
    fn count_in_float(&mut self) {
        let area_m2 = self.controller.account().area_mm2 as f64 * 1e-6;
        self.float_m2 += (area_m2 - self.counted_m2) as f32;
        self.counted_m2 = area_m2;
    }

    /// The board has power long before the drill drives: a motorised valve has been driven shut by then.
    fn power_up(&mut self, t_s: f64, brain: &mut dyn Brain) {
        for tick in (1..=self.shutting_ticks).rev() {
            let now = convert::instant(t_s - f64::from(tick) * TICK_S, CLOCK_START);
            let inputs = Inputs { now, lift: true, ..Inputs::default() };
            self.heard.push(Heard::Tick(inputs));
            let own = self.controller.tick(&inputs);
            brain.tick(&inputs, &own);
        }
    }

    /// What is refused leaves the old in force: the score will tell.
    fn act(&mut self, act: &Act, now: Instant, brain: &mut dyn Brain) {
        self.heard.push(Heard::Act(*act, now));
        let taken = self.controller.act(*act, now).is_ok();
        brain.act(act, now, taken);
    }

    /// Acts on what the operator set since the last tick.
    fn hear(&mut self, senses: &Senses<'_>, now: Instant, brain: &mut dyn Brain) {
        let deaf = self.wrong.is_some_and(|wrong| wrong.deaf_to_rate);
        let deaf_to_outlets = self.wrong.is_some_and(|wrong| wrong.deaf_to_outlets);
        for (index, product) in Product::ALL.into_iter().enumerate() {
            let (is, was) = (senses.rates_kg_per_ha[index], &mut self.rates_kg_per_ha[index]);
            #[expect(clippy::float_cmp, reason = "the same number until an act changes it")]
            if is != *was && !deaf {
                *was = is;
                self.act(&Act::Rate { product, rate: convert::rate(is) }, now, brain);
            }
        }
        for (side, is) in senses.opened.iter().enumerate() {
            let was = self.opened.get_mut(side).filter(|was| *was != is && !deaf_to_outlets);
            if let Some(was) = was {
                *was = *is;
                let open = u16::try_from(is.open).unwrap_or(u16::MAX);
                self.act(&Act::Outlets { side, open, narrows: is.narrows }, now, brain);
            }
        }
    }

    /// A tick in which `brain` drives; its own controller goes along.
    pub(super) fn tick_with(
        &mut self,
        senses: &Senses<'_>,
        commands: &mut [f64],
        brain: &mut dyn Brain,
    ) {
        self.heard.clear();
        if self.ticks == 0 {
            self.power_up(senses.t_s, brain);
        }
        let mut inputs = self.inputs(senses);
        if let Some(wrong) = self.wrong {
            (wrong.inputs)(&mut inputs);
        }
        self.hear(senses, inputs.now, brain);
        if let Some(mps) = self.by_hand_mps.take_if(|_| self.ticks > STARTED) {
            // A speed out of range is refused: the run will show a lost source.
            self.act(&Act::SpeedByHand(Some(convert::speed(mps))), inputs.now, brain);
        }
        self.heard.push(Heard::Tick(inputs));
        let own = self.controller.tick(&inputs);
        self.outputs = brain.tick(&inputs, &own);
        self.gaps.extend(self.controller.take_gap());
        if let Some(wrong) = self.wrong {
            (wrong.outputs)(&mut self.outputs);
            if wrong.float_tally {
                self.count_in_float();
            }
        }
        self.ticks += 1;
        let stops = senses.master
            && self.ticks > STARTED
            && self.outputs.sides[0].state == SideState::Stopped;
        if stops && self.stopped.is_none() {
            self.stopped = self.outputs.alarm.map(|item| (senses.t_s, item));
        }
        for (command, side) in commands.iter_mut().zip(&self.outputs.sides) {
            *command = convert::command(side.command) + convert::run(side.turn);
        }
    }

    fn inputs(&self, senses: &Senses<'_>) -> Inputs {
        let receiver = senses.samples.receiver;
        let mut inputs = Inputs {
            now: convert::instant(senses.t_s, CLOCK_START),
            ground: convert::pulses(senses.ground, CLOCK_START),
            speeds: convert::reports(&senses.samples, CLOCK_START),
            direction: self.direction.then_some(convert::direction(senses.backwards)),
            yaw: (self.yaw == YawFrom::Gyro && self.curves)
                .then(|| convert::yaw(senses.yaw_rad_per_s)),
            course: receiver
                .filter(|_| self.yaw == YawFrom::Course)
                .and_then(|sample| convert::course(sample, CLOCK_START)),
            position: receiver.and_then(|sample| convert::position(sample, CLOCK_START)),
            line: senses.line.map(|line| convert::line(line, CLOCK_START)),
            lift: senses.lowered,
            // The operator switches on as the run begins: a switch found on starts nothing.
            master: senses.master && self.ticks > 0,
            ..Inputs::default()
        };
        for (index, side) in inputs.sides.iter_mut().enumerate() {
            side.switch = senses.switches.get(index).copied().unwrap_or(false);
            side.shaft = senses
                .shafts
                .get(index)
                .map_or(Pulses::default(), |edges| convert::pulses(*edges, CLOCK_START));
        }
        inputs
    }
}

/// Ticks in which a motorised valve shuts, with some to spare; none for a proportional one.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some seconds")]
fn shutting_ticks(scenario: &Scenario) -> u32 {
    let motor = scenario.drill.told.motor.as_ref();
    motor.map_or(0, |motor| libm::ceil(1.2 * motor.stroke_s / TICK_S) as u32 + 5)
}

impl Law for Ours {
    fn show(&self, side: usize) -> Shown {
        let Some(out) = self.outputs.sides.get(side) else { return Shown::default() };
        Shown {
            believed_mps: convert::mps(self.outputs.speed),
            wanted_turns_per_s: convert::turns_per_s(out.wanted),
            measured_turns_per_s: convert::turns_per_s(out.measured),
            state: convert::word(out.state),
            alarm: self.outputs.alarm.map_or(0, Item::number),
            supply: self.outputs.supply,
        }
    }

    fn supply(&self) -> bool {
        self.outputs.supply
    }

    fn tick(&mut self, senses: &Senses<'_>, commands: &mut [f64]) {
        self.tick_with(senses, commands, &mut Own);
    }
}
