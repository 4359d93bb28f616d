//! Questions about the oil side: optional, for sizing and for the page in the cab.

use super::super::answers::Answers;
use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual, Wrong};
use crate::scenario::read::ranges::{
    AT_SHAFT, DROP, EFFICIENCY, MOTOR_SPEED, OIL as DEGREES, OIL_FLOW, VOLUME,
};

/// Whether the oil side is told.
fn told(answers: &Answers) -> bool {
    answers.is("hydraulics", "yes")
}

/// The oil side.
pub(super) static OIL: [Question; 14] = [
    Question {
        key: "hydraulics",
        text: "Do you know motor, gearing and supply",
        why: "With them flow, pressure and torque are sized too, and the shaft's full speed can be worked out. The control \
              does without.",
        kind: Kind::YesNo,
        usual: Usual::Same("no"),
        ..PLAIN
    },
    quantity(
        "displacement",
        "Displacement of the motor",
        ["50 cm3", "3.0 in3"],
        Kind::Quantity(VOLUME),
    ),
    quantity(
        "ratio",
        "Turns of the motor for one turn of the meter shaft",
        ["4", "4"],
        Kind::Number(0.02..=200.0),
    ),
    quantity(
        "volumetric",
        "Share of the oil that turns the motor",
        ["90 %", "90 %"],
        Kind::Quantity(EFFICIENCY),
    ),
    quantity(
        "mechanical",
        "Share of its torque that reaches the shaft",
        ["85 %", "85 %"],
        Kind::Quantity(EFFICIENCY),
    ),
    quantity(
        "lowest_motor_speed",
        "Lowest smooth speed of the motor",
        ["10 turns/min", "10 rpm"],
        Kind::Quantity(MOTOR_SPEED),
    ),
    Question {
        check: |answers| {
            above(
                answers,
                "highest_motor_speed",
                "lowest_motor_speed",
                "see the motor's data sheet",
            )
        },
        ..quantity(
            "highest_motor_speed",
            "Highest speed of the motor",
            ["600 turns/min", "600 rpm"],
            Kind::Quantity(MOTOR_SPEED),
        )
    },
    quantity("relief", "Setting of the relief valve", ["50 bar", "700 psi"], Kind::Quantity(DROP)),
    quantity(
        "tractor_flow",
        "Flow that the tractor can spare for all sides",
        ["40 L/min", "10 gpm"],
        Kind::Quantity(OIL_FLOW),
    ),
    quantity(
        "valve_flow",
        "Rated flow of the valve, fully open",
        ["24 L/min", "6 gpm"],
        Kind::Quantity(OIL_FLOW),
    ),
    quantity(
        "valve_drop",
        "Pressure drop at which it is rated",
        ["10 bar", "150 psi"],
        Kind::Quantity(DROP),
    ),
    quantity(
        "meter_torque",
        "Torque that turning the meter takes, at its shaft",
        ["20 N·m", "180 lb-in"],
        Kind::Quantity(AT_SHAFT),
    ),
    Question {
        check: |answers| {
            let remedy = "what the meter bears must be more than what turning it takes";
            above(answers, "bearable_torque", "meter_torque", remedy)
        },
        ..quantity(
            "bearable_torque",
            "Torque that meter, chain or shear pin bears",
            ["200 N·m", "1800 lb-in"],
            Kind::Quantity(AT_SHAFT),
        )
    },
    quantity(
        "oil",
        "Temperature of the oil these are meant for",
        ["40 °C", "104 °F"],
        Kind::Quantity(DEGREES),
    ),
];

/// A number of the oil side.
const fn quantity(
    key: &'static str,
    text: &'static str,
    usual: [&'static str; 2],
    kind: Kind,
) -> Question {
    let why = "From the data sheet of the part, or measured by people qualified in hydraulics; the default is no more than a \
               usual size (common practice).";
    Question {
        key,
        text,
        why,
        kind,
        usual: Usual::Each(usual),
        side: 0,
        when: told,
        check: |_| Ok(()),
    }
}

/// Refuses a number that is not above another.
fn above(answers: &Answers, key: &str, other: &str, remedy: &str) -> Result<(), Wrong> {
    if answers.number(key) > answers.number(other) {
        return Ok(());
    }
    let what = format!("{:?} is not above {other}, {:?}", answers.text(key), answers.text(other));
    Err((what, remedy.to_owned()))
}
