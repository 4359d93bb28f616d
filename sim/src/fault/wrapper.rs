//! A fault as it is put on a run: one of the wrappers, with its seed and its injection.

use super::bus::{BusFault, BusKind};
use super::clock::{Beat, TickFault, TickKind};
use super::hands::HandKind;
use super::inject::Injection;
use super::plant::{PlantFault, PlantKind};
use super::power::{Power, PowerFault};
use super::pulses::{PulseFault, PulseKind, Sensor};
use super::receiver::{ReceiverFault, ReceiverKind};
use super::switches::{SwitchFault, SwitchKind};
use controller::Inputs;

/// Which part fails, and how.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Part {
    /// The wire of the ground pulses.
    Ground(PulseKind),
    /// The first side's encoder.
    Encoder(PulseKind),
    /// The receiver.
    Receiver(ReceiverKind),
    /// The bus.
    Bus(BusKind),
    /// The lift switch.
    Lift(SwitchKind),
    /// The operator's buttons.
    Hands(HandKind),
    /// The machine.
    Plant(PlantKind),
    /// The beat of the ticks.
    Ticks(TickKind),
    /// The clock wraps.
    Clock,
    /// The board's supply.
    Power,
}

#[derive(Clone, Debug)]
enum Kind {
    Ground(PulseFault),
    Encoder(PulseFault),
    Receiver(ReceiverFault),
    Bus(BusFault),
    Lift(SwitchFault),
    Hands(HandKind),
    Plant(PlantFault),
    Ticks(TickFault),
    Power(PowerFault),
    Nothing,
}

/// A fault on a run.
#[derive(Clone, Debug)]
pub struct Wrapper {
    injection: Injection,
    kind: Kind,
}

/// What the two sensor wheels give.
#[derive(Clone, Copy, Debug, Default)]
pub struct Sensors {
    /// Of the ground wheel.
    pub ground: Sensor,
    /// Of the first side's shaft.
    pub shaft: Sensor,
}

impl Wrapper {
    /// A fault from the tick of its injection on.
    pub fn new(part: Part, injection: Injection, seed: u64) -> Self {
        let kind = match part {
            Part::Ground(kind) => Kind::Ground(PulseFault::new(kind, seed)),
            Part::Encoder(kind) => Kind::Encoder(PulseFault::new(kind, seed)),
            Part::Receiver(kind) => Kind::Receiver(ReceiverFault::new(kind, seed)),
            Part::Bus(kind) => Kind::Bus(BusFault::new(kind, seed)),
            Part::Lift(kind) => Kind::Lift(SwitchFault::new(kind, seed)),
            Part::Hands(kind) => Kind::Hands(kind),
            Part::Plant(kind) => Kind::Plant(PlantFault::new(kind)),
            Part::Ticks(kind) => Kind::Ticks(TickFault::new(kind)),
            Part::Power => Kind::Power(PowerFault::default()),
            Part::Clock => Kind::Nothing,
        };
        Self { injection, kind }
    }

    /// A healthy machine.
    pub const fn nothing() -> Self {
        let injection = Injection { at: u32::MAX, lasting: super::inject::Lasting::Latched };
        Self { injection, kind: Kind::Nothing }
    }

    /// Whether the fault is there in a tick.
    pub const fn is_active(&self, tick: u32) -> bool {
        self.injection.is_active(tick)
    }

    /// Changes what is read in a tick.
    pub fn inputs(&mut self, inputs: &mut Inputs, sensors: Sensors, tick: u32) {
        let active = self.is_active(tick);
        match &mut self.kind {
            Kind::Ground(fault) => {
                inputs.ground = fault.pass(sensors.ground, inputs.now, active);
            }
            Kind::Encoder(fault) => {
                inputs.sides[0].shaft = fault.pass(sensors.shaft, inputs.now, active);
            }
            Kind::Receiver(fault) => {
                inputs.speeds.receiver = fault.pass(inputs.speeds.receiver, active);
            }
            Kind::Bus(fault) => {
                let report = inputs.speeds.bus_ground;
                inputs.speeds.bus_ground = fault.pass(report, inputs.now, active);
            }
            Kind::Lift(fault) => inputs.lift = fault.pass(inputs.lift, active),
            Kind::Hands(kind) => kind.pass(inputs, active),
            Kind::Plant(fault) => {
                if fault.is_empty_now(active) {
                    inputs.hopper_empty = inputs.hopper_empty.map(|_| true);
                }
            }
            Kind::Ticks(_) | Kind::Power(_) | Kind::Nothing => {}
        }
    }

    /// What becomes of the board and of its tick; changes the counts it reads after a restart.
    pub fn board(&mut self, inputs: &mut Inputs, tick: u32) -> (Power, Beat) {
        let active = self.is_active(tick);
        match &mut self.kind {
            Kind::Ticks(fault) => (Power::On, fault.beat(active)),
            Kind::Power(fault) => {
                let power = fault.power(tick, active);
                fault.pass(inputs, power);
                (power, Beat::Once)
            }
            _ => (Power::On, Beat::Once),
        }
    }

    /// The machine's fault, set for the steps of a tick.
    pub const fn plant(&mut self, tick: u32) -> Option<&mut PlantFault> {
        let active = self.is_active(tick);
        match &mut self.kind {
            Kind::Plant(fault) => {
                fault.set(active);
                Some(fault)
            }
            _ => None,
        }
    }
}
