//! Questions about valve and motor.

use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual};
use super::super::worked;
use crate::scenario::read::Wanted;
use crate::scenario::read::ranges::{DEAD_TIME, LAG, OIL_FLOW, OPENING, PLAY, STROKE};
use crate::unit::SHAFT_SPEED;

/// Shaft speed at full command, as the controller takes it.
const FULL: Wanted = Wanted::new(&SHAFT_SPEED, 0.02, 10.0);

/// Valve and motor.
pub(super) static DRIVE: [Question; 10] = [
    Question {
        key: "drive_kind",
        text: "Kind of valve",
        why: "A proportional valve follows a current; a motorised one is run open, held, run shut.",
        kind: Kind::Word(&[
            ("proportional", "its opening follows the current in a coil"),
            ("motorised", "a gear motor turns it open and shut"),
        ]),
        usual: Usual::Same("proportional"),
        ..PLAIN
    },
    Question {
        key: "stroke",
        text: "Time of its full travel",
        why: "From shut to open with the motor running all the way.",
        kind: Kind::Quantity(STROKE),
        usual: Usual::Same("3.0 s"),
        when: |answers| answers.is("drive_kind", "motorised"),
        ..PLAIN
    },
    Question {
        key: "play",
        text: "Running time that is lost when it turns round",
        why: "The play of its gears.",
        kind: Kind::Quantity(PLAY),
        usual: Usual::Same("20 ms"),
        when: |answers| answers.is("drive_kind", "motorised"),
        ..PLAIN
    },
    Question {
        key: "opening",
        text: "Command at which the shaft just begins to turn",
        why: "Below it nothing moves: the controller jumps over this band. The spin run measures it.",
        kind: Kind::Quantity(OPENING),
        usual: Usual::From(|answers| {
            if answers.is("drive_kind", "motorised") { "10 %" } else { "20 %" }.to_owned()
        }),
        ..PLAIN
    },
    Question {
        key: "full_by",
        text: "Enter the shaft's speed at full command, or the oil flow",
        why: "Flow, displacement and ratio give the speed: flow x share / (displacement x ratio).",
        kind: Kind::Word(&[
            ("speed", "the speed of the meter shaft"),
            ("flow", "the oil flow at full command"),
        ]),
        usual: Usual::Same("speed"),
        when: |answers| answers.is("hydraulics", "yes"),
        ..PLAIN
    },
    Question {
        key: "full_speed",
        text: "Speed of the meter shaft at full command",
        why: "It sets the fastest ground speed. The default is enough for 4.5 m/s (10 mph) on the widest side.",
        kind: Kind::Quantity(FULL),
        usual: Usual::From(worked::usual_full_speed),
        when: |answers| !answers.is("full_by", "flow"),
        ..PLAIN
    },
    Question {
        key: "full_flow",
        text: "Oil flow to one motor at full command",
        why: "What the valve passes at its real pressure drop: measured, or from its data sheet.",
        kind: Kind::Quantity(OIL_FLOW),
        usual: Usual::From(|answers| answers.text("valve_flow").to_owned()),
        when: |answers| answers.is("full_by", "flow"),
        check: worked::check_full_speed,
        ..PLAIN
    },
    Question {
        key: "lag",
        text: "Lag of the drive: time to 63 % of a step, dead time apart",
        why: "The controller leads by it. The spin run measures it.",
        kind: Kind::Quantity(LAG),
        usual: Usual::Same("0.15 s"),
        ..PLAIN
    },
    Question {
        key: "dead_time",
        text: "Dead time of the drive: from command to first movement",
        why: "The loop can be no quicker than this. The spin run measures it.",
        kind: Kind::Quantity(DEAD_TIME),
        usual: Usual::Same("0.05 s"),
        check: worked::check_dead_time,
        ..PLAIN
    },
    Question {
        key: "as_built",
        text: "As-built file of the measured drive, if there is one",
        why: "What `meterwright fit SHEET --out FILE` wrote; its numbers take the place of those above.",
        usual: Usual::Same("none"),
        check: worked::check_as_built,
        ..PLAIN
    },
];
