//! The controller: settings, acts of the operator, ticks. Its accounts and snapshots stand in files of their own.

use crate::drive::Corrected;
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::outputs::Outputs;
use crate::place::{Way, way_to};
use crate::quantity::{
    Instant, MetresPerSecond, MilligramsPerSquareMetre, Position, TurnsPerSecond,
};
use crate::run::{Run, RunError, RunReport};
use crate::seed::{Lot, Open, Product};
use crate::settings::{Settings, SettingsError};
use crate::state::State;
use crate::tally::{Hopper, SideTally};
use crate::watch::Item;

/// An act of the operator between two ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub enum Act {
    /// A new seeding rate of a product.
    Rate {
        /// The product.
        product: Product,
        /// Its rate.
        rate: MilligramsPerSquareMetre,
    },
    /// First act of a run at standstill; the second is a fresh press of the hold button.
    ArmRun(Run),
    /// This side, whose encoder fell silent in work, may go on by its valve map alone.
    ByMap(usize),
    /// What was learnt of every map is forgotten, and a correction at its limit with it: the drive was mended, or
    /// measured anew.
    ForgetCorrections,
    /// The box of a product was filled and now holds so much.
    Filled {
        /// The product.
        product: Product,
        /// Seed in the box, µg.
        micrograms: u64,
    },
    /// Outlets of a side were shut or opened: by hand, or by a tramline drive. See [`Open`] for what is laid.
    Outlets {
        /// The side, from 0.
        side: usize,
        /// So many are open: 1 to all that the side has.
        open: u16,
        /// Those that are shut lie at an edge, so that the side sows a narrower strip.
        narrows: bool,
    },
    /// Drive at this speed while no source lives, or no longer: the last resort. Dropped at every stop.
    SpeedByHand(Option<MetresPerSecond>),
}

/// Why an act is refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Refusal {
    /// The new rate breaks a rule.
    Settings(SettingsError),
    /// The run is not possible.
    Run(RunError),
    /// The side's encoder is well, or its valve is motorised.
    ByMap,
    /// Something turns, or the master is on.
    NotAtRest,
    /// There are no valid settings.
    Unconfigured,
    /// The speed by hand is not between the lowest sowing speed and the top speed.
    SpeedByHand,
    /// The controller is not at rest, or has counted further than the snapshot.
    Snapshot,
    /// No side meters this product.
    NoProduct,
    /// There is no such side, or it has not so many outlets.
    Outlets,
    /// A run turns a shaft: what a turn delivers must not change under it.
    Turning,
    /// The snapshot names a lot over other catches than those of the settings: choose the lot of this product by
    /// [`Controller::set_lot`], then restore. Until then nothing is metered.
    Lot(Product),
}

/// The controller of one drill: its settings, and what it remembers.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Controller {
    pub(crate) settings: Option<Settings>,
    pub(crate) state: State,
    /// The product whose lot is not known: nothing is metered before it is.
    pub(crate) unknown: Option<Product>,
}

impl Controller {
    /// A controller for checked settings, stopped: only a fresh off→on of the master starts it.
    pub fn new(settings: Settings) -> Self {
        let mut state = State { latched: None, ..State::unconfigured() };
        for (memory, side) in state.sides.iter_mut().zip(&settings.sides) {
            memory.drive = side.drive.fresh();
        }
        Self { settings: Some(settings), state, unknown: None }
    }

    /// A controller whose settings are missing or wrong: it runs nothing and says so.
    pub fn unconfigured() -> Self {
        Self { settings: None, state: State::unconfigured(), unknown: None }
    }

    /// An act of the operator.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why nothing was changed.
    pub fn act(&mut self, act: Act, now: Instant) -> Result<(), Refusal> {
        let Some(settings) = &self.settings else { return Err(Refusal::Unconfigured) };
        match act {
            Act::Rate { product, rate } => {
                let metered = settings.metering(product).ok_or(Refusal::NoProduct)?;
                let settings = metered.with_rate(product, rate).map_err(Refusal::Settings)?;
                self.put_in_force(settings, product, now);
            }
            Act::Outlets { side, open, narrows } => {
                self.open(side, Open { count: open, narrows })?;
            }
            Act::ArmRun(run) => self.arm_run(run, now)?,
            Act::ByMap(index) => self.run_by_map(index)?,
            Act::ForgetCorrections => {
                if !self.state.may_run() {
                    return Err(Refusal::NotAtRest);
                }
                self.state.forget_corrections();
            }
            Act::SpeedByHand(speed) => {
                if speed.is_some_and(|speed| !settings.may_drive_at(speed)) {
                    return Err(Refusal::SpeedByHand);
                }
                self.state.ground.set_by_hand(speed);
            }
            Act::Filled { product, micrograms } => {
                settings.metering(product).ok_or(Refusal::NoProduct)?;
                let metered = self.account_of(product).mass_ug;
                *product.of_mut(&mut self.state.hoppers) = Hopper::filled(micrograms, metered);
            }
        }
        Ok(())
    }

    fn arm_run(&mut self, run: Run, now: Instant) -> Result<(), Refusal> {
        let side = self.settings.as_ref().and_then(|settings| settings.sides.get(run.side()));
        let side = side.ok_or(Refusal::Run(RunError::NoSuchSide))?;
        run.check(side.drive.full(), side.drive.shuts_at_once()).map_err(Refusal::Run)?;
        if self.state.master.stopped() && self.state.latched.is_some() {
            return Err(Refusal::Run(RunError::Stopped));
        }
        if !self.state.may_run() {
            return Err(Refusal::Run(RunError::NotAtRest));
        }
        if run.spills(self.state.lowered) {
            return Err(Refusal::Run(RunError::Lowered));
        }
        self.state.run.arm(run, now);
        Ok(())
    }

    fn run_by_map(&mut self, index: usize) -> Result<(), Refusal> {
        let side = self.settings.as_ref().and_then(|settings| settings.sides.get(index));
        let proportional = side.is_some_and(|side| side.drive.shuts_at_once());
        if self.state.master.reads_on() {
            return Err(Refusal::NotAtRest);
        }
        let side = self.state.sides.get_mut(index).ok_or(Refusal::ByMap)?;
        if proportional && side.blind.allow() { Ok(()) } else { Err(Refusal::ByMap) }
    }

    /// Puts another lot in force: what was counted is folded into totals by the lot before.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why nothing was changed.
    pub fn set_lot(&mut self, lot: &Lot, now: Instant) -> Result<(), Refusal> {
        let settings = self.settings.as_ref().ok_or(Refusal::Unconfigured)?;
        if self.state.run.is_running() {
            return Err(Refusal::Turning);
        }
        let metered = settings.metering(lot.product).ok_or(Refusal::NoProduct)?;
        let settings = metered.with_lot(lot).map_err(Refusal::Settings)?;
        self.fold();
        self.put_in_force(settings, lot.product, now);
        self.unknown = self.unknown.filter(|product| *product != lot.product);
        Ok(())
    }

    /// Puts settings in force that differ in a product's rate or lot.
    fn put_in_force(&mut self, settings: Settings, product: Product, now: Instant) {
        for (memory, side) in self.state.sides.iter_mut().zip(&settings.sides) {
            if side.product == product {
                memory.drive.restart(now);
            }
        }
        self.settings = Some(settings);
    }

    /// Outlets of a side are shut or opened.
    fn open(&mut self, index: usize, open: Open) -> Result<(), Refusal> {
        if self.state.run.is_running() {
            return Err(Refusal::Turning);
        }
        let known = self.settings.as_ref().and_then(|settings| settings.opened(index, open));
        let open = known.filter(|_| open.count > 0).ok_or(Refusal::Outlets)?;
        self.fold();
        let side = self.settings.as_mut().and_then(|settings| settings.sides.get_mut(index));
        side.ok_or(Refusal::Outlets)?.open = open;
        Ok(())
    }

    /// One tick: reads `inputs`, returns what to drive. To be called every 10 ms.
    pub fn tick(&mut self, inputs: &Inputs) -> Outputs {
        let mut outputs = Outputs::default();
        self.tick_into(inputs, &mut outputs);
        outputs
    }

    /// The same with the outputs where they are wanted: whatever stood there is written over.
    pub fn tick_into(&mut self, inputs: &Inputs, outputs: &mut Outputs) {
        match &self.settings {
            Some(settings) if self.unknown.is_none() => self.state.tick(settings, inputs, outputs),
            _ => *outputs = Outputs { alarm: Some(Item::SettingsInvalid), ..Outputs::default() },
        }
    }

    /// Raw counts of a side.
    #[must_use]
    pub fn tally(&self, index: usize) -> Option<&SideTally> {
        self.state.sides.get(index).map(|side| &side.tally)
    }

    /// Takes the oldest gap that has ended and was not taken yet: the board keeps it in the journal.
    pub fn take_gap(&mut self) -> Option<Gap> {
        self.state.gaps.fetch()
    }

    /// Number of the last gap and way in work, mm: what a snapshot keeps of the gaps.
    #[must_use]
    pub const fn gap_counts(&self) -> (u16, u32) {
        (self.state.gaps.number(), self.state.gaps.way_mm())
    }

    /// Goes on from gap counts that were kept through a power cut.
    pub const fn resume_gap_counts(&mut self, number: u16, way_mm: u32) {
        self.state.gaps.resume(number, way_mm);
    }

    /// Gaps that ended and were not taken in time.
    #[must_use]
    pub const fn gaps_dropped(&self) -> u16 {
        self.state.gaps.dropped()
    }

    /// The way from the antenna to a place, by the last position, while one is known.
    pub fn way_to(&self, place: Position) -> Option<Way> {
        self.state.antenna.map(|antenna| way_to(antenna.position, place))
    }

    /// Takes the report of a run that is over.
    pub const fn take_run_report(&mut self) -> Option<RunReport> {
        self.state.run.take_report()
    }

    /// Whether a catch has thrown its first turns away and waits for the container and a fresh press.
    #[must_use]
    pub const fn is_primed(&self) -> bool {
        self.state.run.is_primed()
    }

    /// Looks up what a delivery run wants in the tick at `now`; whether its lamp is to shine. To be called before every
    /// tick while such a run goes on: a tick without it is rest.
    pub fn advance_run(&mut self, now: Instant) -> bool {
        self.state.run.advance(now)
    }

    /// By how much the map of a side is corrected.
    pub fn corrected(&self, index: usize) -> Option<Corrected> {
        self.state.sides.get(index).map(|side| side.drive.corrected())
    }

    /// Whether a side runs by its valve map alone.
    #[must_use]
    pub fn runs_by_map(&self, index: usize) -> bool {
        self.state.sides.get(index).is_some_and(|side| side.blind.by_map())
    }

    /// The ground speeds at which a side's drive turns smoothly: from 1/64 of full speed to full speed.
    pub fn speed_range(&self, index: usize) -> Option<(MetresPerSecond, MetresPerSecond)> {
        let side = self.settings.as_ref()?.sides.get(index)?;
        let full = side.drive.full();
        let low = TurnsPerSecond::from_bits(full.to_bits() / 64);
        Some((side.demand.speed_for(low), side.demand.speed_for(full)))
    }
}
