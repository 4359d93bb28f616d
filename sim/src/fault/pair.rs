//! Pairs of runs: a faulty machine and a healthy one that show the controller the same, word for word.
//!
//! Where two situations give one sequence of inputs, no program can tell them apart: the fault is not detectable by
//! what is fitted. Each pair is run, both loops closed, and every tick's inputs are compared.

use super::board::{Board, Flashed};
use super::cycle::Cycle;
use super::inject::{Injection, Lasting};
use super::plant::PlantKind;
use super::pulses::PulseKind;
use super::receiver::ReceiverKind;
use super::rig::{CLOCK, RECEIVER_FROM, Rig};
use super::setup::{PULSES_PER_M, Setup, truth};
use super::switches::SwitchKind;
use super::wrapper::{Part, Wrapper};
use crate::scenario::Truth;
use controller::{Inputs, SettingsError};
use std::sync::Arc;

/// A pair.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pair {
    /// A pulse wire breaks while the tractor stands.
    WireAtStandstill,
    /// A pulse wheel counts both flanks from a standstill on.
    DoubledFromStandstill,
    /// A receiver freezes at a steady speed.
    ReceiverFrozen,
    /// A receiver is later than it was set.
    ReceiverLate,
    /// An encoder shows every second edge.
    EncoderHalved,
    /// An encoder shows both flanks.
    EncoderDoubled,
    /// The lift switch stays "in work".
    LiftInWork,
    /// The lift switch stays "lifted".
    LiftLifted,
    /// Seed stays in the tube.
    DeliveryBlocked,
    /// The hopper is empty.
    HopperEmpty,
}

/// What two runs showed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Ticks compared.
    pub ticks: usize,
    /// The first tick whose inputs differ.
    pub differs: Option<usize>,
}

/// A machine and what happens to it.
#[derive(Clone, Debug)]
struct Situation {
    cycle: Cycle,
    truth: Truth,
    receiver_from: u32,
    fault: Wrapper,
}

impl Situation {
    fn healthy(cycle: Cycle) -> Self {
        let fault = Wrapper::nothing();
        Self { cycle, truth: truth(), receiver_from: RECEIVER_FROM, fault }
    }

    fn faulty(cycle: Cycle, part: Part, at: u32) -> Self {
        let injection = Injection { at, lasting: Lasting::Latched };
        Self { fault: Wrapper::new(part, injection, 1), ..Self::healthy(cycle) }
    }

    fn inputs(self, setup: Setup) -> Result<Vec<Inputs>, SettingsError> {
        let length = self.cycle.ticks();
        let rig = Rig::new(setup, Arc::new(self.cycle), Flashed::new(setup)?, CLOCK);
        Ok(all_inputs(
            rig.with_first_side(&self.truth).with_receiver_from(self.receiver_from),
            self.fault,
            length,
        ))
    }
}

fn all_inputs<B: Board>(mut rig: Rig<B>, mut fault: Wrapper, length: u32) -> Vec<Inputs> {
    (0..length).map(|_| rig.tick(&mut fault).inputs).collect()
}

/// Ticks of a second.
const SECOND: u32 = 100;

impl Pair {
    /// Every pair.
    pub const EVERY: [Self; 10] = [
        Self::WireAtStandstill,
        Self::DoubledFromStandstill,
        Self::ReceiverFrozen,
        Self::ReceiverLate,
        Self::EncoderHalved,
        Self::EncoderDoubled,
        Self::LiftInWork,
        Self::LiftLifted,
        Self::DeliveryBlocked,
        Self::HopperEmpty,
    ];

    /// The faulty and the healthy situation, and what would tell them apart.
    #[must_use]
    pub const fn words(self) -> [&'static str; 3] {
        match self {
            Self::WireAtStandstill => [
                "the tractor stands, the pulse wire breaks, the tractor drives on",
                "the tractor stands, and goes on standing",
                "a second speed source",
            ],
            Self::DoubledFromStandstill => [
                "from a standstill on both flanks of the pulse wheel are counted",
                "the tractor drives on twice as fast",
                "a second speed source",
            ],
            Self::ReceiverFrozen => [
                "the receiver repeats its last speed, the tractor slows down",
                "the tractor keeps that speed",
                "a second speed source",
            ],
            Self::ReceiverLate => [
                "the receiver's speeds are 0.4 s older than was set",
                "the tractor does everything 0.4 s later",
                "nothing that is fitted; 0.4 s of a change of speed are misplaced",
            ],
            Self::EncoderHalved => [
                "every second tooth of the encoder gives no edge",
                "the encoder is whole, the oil gives half the speed",
                "a catch, or the seed left in the hopper",
            ],
            Self::EncoderDoubled => [
                "both flanks of the encoder's teeth are counted",
                "the encoder is whole, the oil gives twice the speed",
                "a catch, or the seed left in the hopper",
            ],
            Self::LiftInWork => [
                "the lift switch stays \"in work\", the drill is lifted for the turn",
                "the driver sows through the turn",
                "a second switch, or the hitch on the bus",
            ],
            Self::LiftLifted => [
                "the lift switch stays \"lifted\", the drill is lowered",
                "the driver keeps the drill lifted",
                "a second switch, or the hitch on the bus; the state on the display",
            ],
            Self::DeliveryBlocked => [
                "seed is metered and stays in the tube",
                "seed is metered and falls",
                "a tube sensor",
            ],
            Self::HopperEmpty => [
                "the meter turns in an empty hopper",
                "the meter turns in seed",
                "a level switch, a tube sensor, or the countdown of the hopper",
            ],
        }
    }

    /// Runs both and compares the inputs of every tick.
    ///
    /// # Errors
    ///
    /// That of the settings.
    pub fn run(self) -> Result<Shown, SettingsError> {
        let (setup, faulty, healthy) = self.situations();
        let (faulty, healthy) = (faulty.inputs(setup)?, healthy.inputs(setup)?);
        let differs = faulty.iter().zip(&healthy).position(|(a, b)| a != b);
        Ok(Shown { ticks: faulty.len().min(healthy.len()), differs })
    }

    fn situations(self) -> (Setup, Situation, Situation) {
        let cycle = Cycle::headland;
        let faulty = |part, at| Situation::faulty(cycle(), part, at);
        let healthy = Situation::healthy;
        match self {
            Self::WireAtStandstill => (
                Setup::Pulses,
                faulty(Part::Ground(PulseKind::Stuck), 2_740),
                healthy(cycle().standing_from(27_400)),
            ),
            Self::DoubledFromStandstill => (
                Setup::Pulses,
                faulty(Part::Ground(PulseKind::Doubled), 2_740),
                healthy(cycle().twice_as_fast_from(27_400, PULSES_PER_M)),
            ),
            Self::ReceiverFrozen => (
                Setup::Receiver,
                faulty(Part::Receiver(ReceiverKind::Frozen), 10 * SECOND),
                healthy(cycle().steady_from(9_900)),
            ),
            Self::ReceiverLate => (
                Setup::Receiver,
                faulty(Part::Receiver(ReceiverKind::Late(40)), 0),
                Situation { receiver_from: RECEIVER_FROM + 40, ..healthy(cycle().later(400)) },
            ),
            Self::EncoderHalved => encoder(PulseKind::Halved, 0.5),
            Self::EncoderDoubled => encoder(PulseKind::Doubled, 2.0),
            Self::LiftInWork => {
                let mut through = cycle();
                through.in_work.fill(true);
                (
                    Setup::Pulses,
                    faulty(Part::Lift(SwitchKind::StuckInWork), 10 * SECOND),
                    healthy(through),
                )
            }
            Self::LiftLifted => {
                let mut lifted = cycle();
                lifted.in_work[1_000..].fill(false);
                (
                    Setup::Pulses,
                    faulty(Part::Lift(SwitchKind::StuckLifted), 10 * SECOND),
                    healthy(lifted),
                )
            }
            Self::DeliveryBlocked => plant(PlantKind::DeliveryBlocked),
            Self::HopperEmpty => plant(PlantKind::HopperEmpty),
        }
    }
}

/// An encoder that is wrong from power-up, and a drive of other oil.
fn encoder(kind: PulseKind, oil: f64) -> (Setup, Situation, Situation) {
    let smooth = Truth { encoder_jitter: 0.0, ..truth() };
    let other = Truth { gain: smooth.gain * oil, ..smooth.clone() };
    let faulty = Situation::faulty(Cycle::headland(), Part::Encoder(kind), 0);
    let healthy = Situation::healthy(Cycle::headland());
    (Setup::Pulses, Situation { truth: smooth, ..faulty }, Situation { truth: other, ..healthy })
}

fn plant(kind: PlantKind) -> (Setup, Situation, Situation) {
    let cycle = Cycle::headland();
    let faulty = Situation::faulty(cycle.clone(), Part::Plant(kind), 10 * SECOND);
    (Setup::Pulses, faulty, Situation::healthy(cycle))
}
