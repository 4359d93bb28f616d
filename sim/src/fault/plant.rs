//! Faults of the machine: valve, oil supply, motor, delivery, hopper.
//!
//! ```text
//!  command ─► (valve) ─► drive ─► (motor) ─► meter ─► (hopper) ─► delivery ─► (blocked) ─► soil
//! ```
//!
//! All but the supply's are of the first side.

use crate::bench::STEP_S;

/// What is wrong with the machine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PlantKind {
    /// The spool stays where it was, at half of full command at the least.
    ValveStuckOpen,
    /// The spool stays closed.
    ValveStuckClosed,
    /// The spool follows with this lag, s, on top of its own.
    ValveSluggish(f64),
    /// Flow begins at this command more than it did.
    DeadBand(f64),
    /// It passes this share of its flow above the opening.
    FlowFalls(f64),
    /// No oil comes, on either side.
    SupplyLost,
    /// No more oil comes than passes at this command, on either side.
    SupplyDips(f64),
    /// The shaft stands, whatever the oil does.
    MotorStalled,
    /// Seed is metered and does not come out.
    DeliveryBlocked,
    /// There is no seed to meter.
    HopperEmpty,
}

/// A machine with a fault.
#[derive(Clone, Copy, Debug)]
pub struct PlantFault {
    kind: PlantKind,
    active: bool,
    spool: [Option<f64>; 2],
}

/// Flow begins at this command.
const OPENING: f64 = 0.2;

/// A valve that sticks open is open at least so far.
const STUCK_AT: f64 = 0.5;

impl PlantFault {
    /// A machine with a fault.
    #[must_use]
    pub const fn new(kind: PlantKind) -> Self {
        Self { kind, active: false, spool: [None; 2] }
    }

    /// Whether the fault is there in the steps to come.
    pub const fn set(&mut self, active: bool) {
        self.active = active;
        if !active {
            self.spool = [None; 2];
        }
    }

    /// Where the spool of a side is driven to by a command; without `oil` nothing passes.
    pub fn spool(&mut self, side: usize, command: f64, oil: bool) -> f64 {
        let given = if oil { command } else { 0.0 };
        if !self.active {
            return given;
        }
        match self.kind {
            PlantKind::SupplyLost => 0.0,
            PlantKind::SupplyDips(most) => given.min(most),
            _ if side != 0 => given,
            PlantKind::ValveStuckClosed => 0.0,
            PlantKind::ValveStuckOpen => {
                let stuck = *self.spool[0].get_or_insert(command.max(STUCK_AT));
                if oil { stuck } else { 0.0 }
            }
            PlantKind::ValveSluggish(lag_s) => {
                let at = self.spool[0].get_or_insert(given);
                *at += (given - *at) * (STEP_S / lag_s);
                *at
            }
            PlantKind::FlowFalls(share) => given.min(OPENING + (given - OPENING) * share),
            PlantKind::DeadBand(more) => (given - more).max(0.0),
            PlantKind::MotorStalled | PlantKind::DeliveryBlocked | PlantKind::HopperEmpty => given,
        }
    }

    /// Whether the hopper is empty in a tick: its level switch tells.
    #[must_use]
    pub fn is_empty_now(&self, active: bool) -> bool {
        active && self.kind == PlantKind::HopperEmpty
    }

    const fn is(&self, side: usize) -> bool {
        self.active && side == 0
    }

    /// Whether the shaft of a side stands.
    #[must_use]
    pub fn stalls(&self, side: usize) -> bool {
        self.is(side) && self.kind == PlantKind::MotorStalled
    }

    /// Whether there is no seed to meter.
    #[must_use]
    pub fn is_empty(&self, side: usize) -> bool {
        self.is(side) && self.kind == PlantKind::HopperEmpty
    }

    /// Whether seed does not come out.
    #[must_use]
    pub fn blocks(&self, side: usize) -> bool {
        self.is(side) && self.kind == PlantKind::DeliveryBlocked
    }
}
