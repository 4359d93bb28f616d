//! The controller: settings, acts of the operator, ticks, accounts.

use crate::MAX_SIDES;
use crate::catch_run::{CatchError, CatchReport, CatchRun};
use crate::gap::Gap;
use crate::inputs::Inputs;
use crate::outputs::Outputs;
use crate::place::{Way, way_to};
use crate::quantity::{
    Instant, MetresPerSecond, MilligramsPerSquareMetre, Position, TurnsPerSecond,
};
use crate::settings::{Settings, SettingsError};
use crate::snapshot::Snapshot;
use crate::state::State;
use crate::tally::{Account, Hopper, SideTally};
use crate::watch::Item;

/// An act of the operator between two ticks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum Act {
    /// A new seeding rate.
    Rate(MilligramsPerSquareMetre),
    /// First act of a catch run; the second is a fresh press of the hold button.
    ArmCatch(CatchRun),
    /// The hopper was filled and now holds so much, µg.
    Filled(u64),
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
    /// The catch run is not possible.
    Catch(CatchError),
    /// There are no valid settings.
    Unconfigured,
    /// The speed by hand is not between the lowest sowing speed and the top speed.
    SpeedByHand,
    /// The controller is not at rest, or has counted further than the snapshot.
    Snapshot,
}

/// The controller of one drill: its settings, and what it remembers.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Controller {
    pub(crate) settings: Option<Settings>,
    pub(crate) state: State,
}

impl Controller {
    /// A controller for checked settings, stopped: only a fresh off→on of the master starts it.
    pub fn new(settings: Settings) -> Self {
        let mut state = State { latched: None, ..State::unconfigured() };
        for (memory, side) in state.sides.iter_mut().zip(&settings.sides) {
            memory.drive = side.drive.fresh();
        }
        Self { settings: Some(settings), state }
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
            Act::SpeedByHand(speed) => {
                if speed.is_some_and(|speed| !settings.may_drive_at(speed)) {
                    return Err(Refusal::SpeedByHand);
                }
                self.state.ground.set_by_hand(speed);
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
        let per_metre = settings.ground.pulses_per_metre();
        Account {
            distance_um: memory.tally.distance(per_metre, side.offset),
            area_mm2: memory.tally.area(per_metre, side.offset, side.width),
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

    /// What has been counted by now, in one piece.
    pub fn snapshot(&self) -> Snapshot {
        let mut snapshot = Snapshot { hopper: self.state.hopper, ..Snapshot::default() };
        snapshot.rate = self.settings.as_ref().map_or(snapshot.rate, Settings::rate);
        (snapshot.gaps, snapshot.way_mm) = self.gap_counts();
        for (kept, side) in snapshot.sides.iter_mut().zip(&self.state.sides) {
            *kept = side.tally.settled();
        }
        snapshot
    }

    /// Goes on from a snapshot that was kept through a power cut. What moves stays as it is: stopped.
    ///
    /// # Errors
    ///
    /// [`Refusal`] says why nothing was changed; no count ever falls.
    pub fn restore(&mut self, kept: &Snapshot) -> Result<(), Refusal> {
        let settings = self.settings.as_ref().ok_or(Refusal::Unconfigured)?;
        if !self.state.at_rest || !kept.follows(&self.snapshot()) {
            return Err(Refusal::Snapshot);
        }
        self.settings = Some(settings.with_rate(kept.rate).map_err(Refusal::Settings)?);
        self.state.hopper = kept.hopper;
        self.resume_gap_counts(kept.gaps, kept.way_mm);
        for (side, kept) in self.state.sides.iter_mut().zip(&kept.sides) {
            side.tally = *kept;
        }
        Ok(())
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
