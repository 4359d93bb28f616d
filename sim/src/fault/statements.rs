//! What is stated of each fault on each set-up.
//!
//! The numbers are those of the fault bench: 2.2 m/s in work, 1.2 m/s on the headland, 180 teeth, θ 0.05 s, τ1 0.15 s.
//! Grams are of the 2.9 kg that a whole cycle lays.

use super::bus::BusKind;
use super::clock::TickKind;
use super::hands::HandKind;
use super::pair::Pair;
use super::plant::PlantKind;
use super::pulses::PulseKind;
use super::receiver::ReceiverKind;
use super::setup::Setup;
use super::stated::{Shows, Statement};
use super::switches::SwitchKind;
use super::wrapper::Part;
use controller::watch::Item;

/// The statement of a part's fault on a set-up.
#[must_use]
pub const fn statement(part: Part, setup: Setup) -> Statement {
    match part {
        Part::Ground(kind) if setup.is_full() => ground_of_several(kind),
        Part::Ground(kind) => ground_alone(kind),
        Part::Encoder(kind) => encoder(kind),
        Part::Receiver(kind) if setup.is_full() => receiver_of_several(kind),
        Part::Receiver(kind) => receiver_alone(kind),
        Part::Bus(kind) => bus(kind, setup.is_full()),
        Part::Lift(kind) => lift(kind),
        // A start by hand: three seconds at 1 m/s lay 132 g.
        Part::Hands(HandKind::HoldStuck) => Statement::tolerated(132.0),
        Part::Hands(HandKind::StopPressed) => Statement {
            stops: true,
            ..Statement::told(&[Item::StopPressed], 0.02, "the tick that reads it")
        },
        Part::Plant(kind) => plant(kind, setup.is_full()),
        Part::Ticks(kind) => ticks(kind),
        Part::Clock => Statement::tolerated(0.0),
        Part::Power => Statement::stopped(0.22, "the first tick after 0.2 s without supply"),
    }
}

/// A jump of the followed source.
const JUMP: &str = "the tick of the jump; pulses in windows of 20 ms";

const fn ground_alone(kind: PulseKind) -> Statement {
    match kind {
        PulseKind::Stuck => {
            Statement::told(&[Item::SpeedLost], 0.42, "speed / 6 m/s², 0.1 s at least; 0.05 s")
                .while_it(Shows::MovingFromStart(0.8))
                .unseen(1.0)
                .or_pair(Pair::WireAtStandstill)
        }
        PulseKind::Doubled => Statement::told(&[Item::SpeedImplausible], 0.1, JUMP)
            .while_it(Shows::MovingFromStart(0.6))
            .unseen(1.0)
            .or_pair(Pair::DoubledFromStandstill),
        _ => Statement::told(&[Item::SpeedImplausible], 0.5, JUMP)
            .while_it(Shows::MovingFromStart(0.6))
            .unseen(5.0),
    }
}

const fn ground_of_several(kind: PulseKind) -> Statement {
    match kind {
        PulseKind::Stuck => Statement::told(
            &[Item::SpeedLost, Item::SourceMissing],
            1.2,
            "1 s beside a source that moves, looked at every 0.16 s",
        )
        .while_it(Shows::Moving(0.7))
        .unseen(15.0),
        _ => Statement::told(
            &[Item::SpeedImplausible, Item::SourcesDisagree],
            3.2,
            "a jump, or 3 s more than a fifth apart",
        )
        .while_it(Shows::Moving(0.6))
        .unseen(5.0),
    }
}

const fn encoder(kind: PulseKind) -> Statement {
    let told = &[Item::ShaftDoesNotFollow, Item::ShaftTurnsAtRest, Item::Gap];
    match kind {
        PulseKind::Stuck => {
            Statement::told(&[Item::ShaftSilent, Item::Gap], 0.53, "12 edges and 0.5 s")
                .and_edges(14.0)
                .while_it(Shows::Driven)
                .unseen(25.0)
        }
        PulseKind::Noisy(_) => Statement::told(told, 1.0, "third edge after the run-out of 0.9 s")
            .while_it(Shows::AtRest)
            .unseen(700.0),
        PulseKind::Backwards => {
            Statement::told(&[Item::ShaftBackwards], 0.35, "12 edges back; a start of 0.25 s")
                .and_edges(14.0)
                .while_it(Shows::Driven)
                .unseen(25.0)
        }
        PulseKind::BrokenTooth(_) => Statement::tolerated(10.0),
        PulseKind::Lost(_) | PulseKind::Halved => {
            Statement::undetectable(Pair::EncoderHalved).unseen(10.0)
        }
        PulseKind::Doubled => Statement::undetectable(Pair::EncoderDoubled).unseen(10.0),
    }
}

const fn receiver_alone(kind: ReceiverKind) -> Statement {
    match kind {
        ReceiverKind::Silent => Statement::told(&[Item::SpeedLost], 1.02, "its limit of 1 s"),
        ReceiverKind::Jumping => {
            Statement::told(&[Item::SpeedImplausible], 2.0, "a jump up; samples every 0.1 s")
        }
        ReceiverKind::Frozen => Statement::undetectable(Pair::ReceiverFrozen).unseen(1.0),
        ReceiverKind::Late(_) => Statement::undetectable(Pair::ReceiverLate).unseen(1.0),
    }
}

const fn receiver_of_several(kind: ReceiverKind) -> Statement {
    match kind {
        ReceiverKind::Silent => Statement::told(&[Item::SourceMissing], 1.02, "its limit of 1 s"),
        ReceiverKind::Jumping => Statement::told(
            &[Item::SpeedImplausible, Item::SourcesDisagree],
            2.0,
            "a jump up; samples every 0.1 s",
        )
        .unseen(5.0),
        ReceiverKind::Frozen => Statement::told(
            &[Item::SourceMissing, Item::SpeedImplausible, Item::SourcesDisagree],
            3.2,
            "5 samples alike while the pulses change by a twentieth",
        )
        .while_it(Shows::Never)
        .unseen(60.0),
        ReceiverKind::Late(_) => Statement::tolerated(60.0),
    }
}

const fn bus(kind: BusKind, full: bool) -> Statement {
    match (kind, full) {
        (BusKind::Silence, false) => {
            Statement::told(&[Item::SpeedLost], 0.52, "its limit of 0.5 s")
        }
        (BusKind::Silence, true) => {
            Statement::told(&[Item::SourceMissing], 0.52, "its limit of 0.5 s")
        }
        (BusKind::Babble, false) => {
            Statement::told(&[Item::SpeedImplausible, Item::SpeedLost], 0.3, "a jump, or an error")
        }
        (BusKind::Babble, true) => Statement::told(
            &[Item::SpeedImplausible, Item::SourceMissing, Item::SourcesDisagree],
            1.0,
            "a jump, or an error",
        ),
    }
}

const fn lift(kind: SwitchKind) -> Statement {
    match kind {
        SwitchKind::StuckInWork => Statement::undetectable(Pair::LiftInWork).unseen(1.0),
        SwitchKind::StuckLifted => Statement::undetectable(Pair::LiftLifted).unseen(1.0),
        SwitchKind::Bouncing => {
            Statement::told(&[Item::LiftUnknown], 0.5, "eight changes within 0.25 s, at random")
                .unseen(40.0)
        }
    }
}

const fn plant(kind: PlantKind, full: bool) -> Statement {
    let follows = &[Item::ShaftSilent, Item::ShaftDoesNotFollow, Item::Gap];
    match kind {
        PlantKind::ValveStuckOpen => Statement::told(
            &[Item::ShaftTurnsAtRest, Item::ShaftDoesNotFollow],
            1.0,
            "run-out of 0.9 s and three edges",
        )
        .while_it(Shows::TurnsAtRest)
        .unseen(100.0),
        PlantKind::ValveStuckClosed | PlantKind::SupplyLost | PlantKind::MotorStalled => {
            Statement::told(follows, 1.3, "run-down of 0.75 s, 12 edges and 0.5 s")
                .and_edges(40.0)
                .while_it(Shows::Driven)
                .unseen(100.0)
        }
        PlantKind::SupplyDips(_) => Statement::told(follows, 2.6, "2 s outside ±15 %")
            .while_it(Shows::FallsShort)
            .unseen(100.0),
        PlantKind::FlowFalls(_) => Statement::told(
            &[Item::OpenedTooFar, Item::CorrectionAtLimit, Item::RateOff, Item::ShaftDoesNotFollow],
            8.0,
            "5 s of a correction too far, once it is learnt",
        )
        .while_it(Shows::Driven)
        .unseen(50.0),
        PlantKind::ValveSluggish(_) | PlantKind::DeadBand(_) => {
            Statement::told(follows, 2.6, "tolerated; 2 s outside ±15 % would be told")
                .while_it(Shows::Never)
                .unseen(50.0)
        }
        PlantKind::DeliveryBlocked if full => {
            Statement::told(&[Item::NoSeedInTubes, Item::Gap], 1.8, "delivery delay twice and 1 s")
                .while_it(Shows::Turns)
                .unseen(50.0)
        }
        PlantKind::HopperEmpty if full => {
            Statement::told(&[Item::HopperEmpty], 1.02, "1 s of the level switch")
        }
        PlantKind::DeliveryBlocked => Statement::undetectable(Pair::DeliveryBlocked),
        PlantKind::HopperEmpty => Statement::undetectable(Pair::HopperEmpty),
    }
}

const fn ticks(kind: TickKind) -> Statement {
    match kind {
        TickKind::Late => {
            Statement::told(&[Item::TickLate], 0.08, "the tick after more than 0.02 s")
        }
        TickKind::Doubled => Statement::tolerated(5.0),
        TickKind::Missing => Statement {
            stops: true,
            ..Statement::told(&[Item::InputsStale], 0.52, "the tick after 0.25 s; watchdog 0.5 s")
        },
    }
}
