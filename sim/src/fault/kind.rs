//! The catalogue: every fault, the part it is in, what it does, how long a blip of it is, where it is tried.

use super::bus::BusKind;
use super::clock::TickKind;
use super::hands::HandKind;
use super::inject::Lasting;
use super::plant::PlantKind;
use super::pulses::PulseKind;
use super::receiver::ReceiverKind;
use super::setup::{Setup, TEETH};
use super::switches::SwitchKind;
use super::wrapper::Part;

/// A fault of the catalogue.
#[derive(Clone, Copy, Debug)]
pub struct Fault {
    /// Its name.
    pub name: &'static str,
    /// What it does.
    pub does: &'static str,
    /// The part.
    pub part: Part,
    /// Length of a blip, ms.
    pub blip_ms: u32,
    /// The set-ups it is tried on.
    pub setups: &'static [Setup],
    /// It is tried latched as well.
    pub latches: bool,
}

const PULSES: &[Setup] = &[Setup::Pulses, Setup::All];
const RECEIVER: &[Setup] = &[Setup::Receiver, Setup::All];
const BUS: &[Setup] = &[Setup::Bus, Setup::All];
const BOTH: &[Setup] = &[Setup::Pulses, Setup::All];

const fn fault(
    name: &'static str,
    does: &'static str,
    part: Part,
    setups: &'static [Setup],
) -> Fault {
    Fault { name, does, part, blip_ms: 200, setups, latches: true }
}

const fn long(fault: Fault) -> Fault {
    Fault { blip_ms: 1_000, ..fault }
}

const fn ground(name: &'static str, does: &'static str, kind: PulseKind) -> Fault {
    fault(name, does, Part::Ground(kind), PULSES)
}

const fn encoder(name: &'static str, does: &'static str, kind: PulseKind) -> Fault {
    fault(name, does, Part::Encoder(kind), BOTH)
}

const fn receiver(name: &'static str, does: &'static str, kind: ReceiverKind) -> Fault {
    long(fault(name, does, Part::Receiver(kind), RECEIVER))
}

const fn lift(name: &'static str, does: &'static str, kind: SwitchKind) -> Fault {
    fault(name, does, Part::Lift(kind), BOTH)
}

const fn hands(name: &'static str, does: &'static str, kind: HandKind) -> Fault {
    fault(name, does, Part::Hands(kind), BOTH)
}

const fn plant(name: &'static str, does: &'static str, kind: PlantKind) -> Fault {
    long(fault(name, does, Part::Plant(kind), BOTH))
}

const fn ticks(name: &'static str, does: &'static str, kind: TickKind) -> Fault {
    fault(name, does, Part::Ticks(kind), BOTH)
}

/// Every fault, from the senses to the board.
pub const CATALOGUE: &[Fault] = &[
    ground("ground pulses lost", "half of the edges, at random", PulseKind::Lost(0.5)),
    ground("ground pulses stuck", "no edge comes", PulseKind::Stuck),
    ground("ground pulses doubled", "both flanks are counted", PulseKind::Doubled),
    ground("ground pulses noisy", "150 false edges a second", PulseKind::Noisy(150.0)),
    ground("ground pulses flooded", "1,300 false edges a second", PulseKind::Noisy(1_300.0)),
    encoder("encoder halved", "every second edge is missing", PulseKind::Halved),
    encoder("encoder silent", "no edge comes", PulseKind::Stuck),
    encoder("encoder doubled", "both flanks are counted", PulseKind::Doubled),
    encoder("encoder noisy", "150 false edges a second", PulseKind::Noisy(150.0)),
    encoder("encoder tooth broken", "1 of 180 is missing", PulseKind::BrokenTooth(TEETH)),
    fault(
        "encoder counts back",
        "the shaft turns backwards, by its two channels",
        Part::Encoder(PulseKind::Backwards),
        &[Setup::All],
    ),
    receiver("receiver frozen", "repeats its last speed", ReceiverKind::Frozen),
    receiver("receiver jumping", "each speed off by up to 2 m/s", ReceiverKind::Jumping),
    receiver("receiver late", "0.4 s later than set", ReceiverKind::Late(40)),
    receiver("receiver silent", "sends nothing", ReceiverKind::Silent),
    long(fault("bus babbles", "any value in every tick", Part::Bus(BusKind::Babble), BUS)),
    long(fault("bus silent", "no message", Part::Bus(BusKind::Silence), BUS)),
    lift("lift stuck in work", "the switch reads in work", SwitchKind::StuckInWork),
    lift("lift stuck lifted", "the switch reads lifted", SwitchKind::StuckLifted),
    lift("lift bouncing", "reads either, at random", SwitchKind::Bouncing),
    hands("hold button stuck", "reads pressed", HandKind::HoldStuck),
    hands("stop pressed", "reads pressed", HandKind::StopPressed),
    plant("valve stuck open", "the spool stays, half open at least", PlantKind::ValveStuckOpen),
    plant("valve stuck closed", "no oil to one side", PlantKind::ValveStuckClosed),
    plant("valve sluggish", "0.4 s of lag more", PlantKind::ValveSluggish(0.4)),
    plant("valve dead band doubled", "opens at 0.40, not at 0.20", PlantKind::DeadBand(0.2)),
    plant("valve stiff", "passes 0.7 of its flow", PlantKind::FlowFalls(0.7)),
    plant("valve gummed", "passes 0.47 of its flow", PlantKind::FlowFalls(0.47)),
    plant("oil supply lost", "no oil to any side", PlantKind::SupplyLost),
    plant("oil supply dips", "oil for a third of the speed", PlantKind::SupplyDips(0.35)),
    plant("motor stalled", "the shaft stands", PlantKind::MotorStalled),
    plant("delivery blocked", "seed stays in the tube", PlantKind::DeliveryBlocked),
    plant("hopper empty", "no seed to meter", PlantKind::HopperEmpty),
    ticks("ticks late", "one in 60 ms", TickKind::Late),
    ticks("ticks doubled", "every tick twice", TickKind::Doubled),
    Fault { blip_ms: 300, ..ticks("ticks missing", "none comes", TickKind::Missing) },
    Fault {
        latches: false,
        blip_ms: 10,
        ..fault("clock wraps", "the instant goes back to zero", Part::Clock, BOTH)
    },
    Fault {
        blip_ms: 10,
        ..fault("brown-out", "off for 0.2 s; latched: every 2 s", Part::Power, BOTH)
    },
];

impl Fault {
    /// How long it lasts when injected.
    #[must_use]
    pub fn lastings(&self) -> Vec<Lasting> {
        let blip = Lasting::Blip(self.blip_ms);
        if self.latches { vec![blip, Lasting::Latched] } else { vec![blip] }
    }
}
