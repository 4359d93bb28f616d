//! Questions about the trial run, and about the limits of a working day.

use super::super::answers::Answers;
use super::super::kind::Kind;
use super::super::question::{PLAIN, Question, Usual, Wrong};
use super::super::worked;
use super::limits;
use crate::scenario::read::Wanted;
use crate::unit::{ACCELERATION, LENGTH, SPEED};

const SLOW: Wanted = Wanted::new(&SPEED, 0.3, 5.0);
const WORK: Wanted = Wanted::new(&SPEED, 0.3, 8.0);
const FAST: Wanted = Wanted::new(&SPEED, 0.3, 15.0);
const PACE: Wanted = Wanted::new(&ACCELERATION, 0.1, 2.0);
const ROW: Wanted = Wanted::new(&LENGTH, 20.0, 500.0);
const RADIUS: Wanted = Wanted::new(&LENGTH, 3.0, 50.0);

/// Trial run and limits.
pub(super) static TRIAL: [Question; 14] = [
    Question {
        key: "slow_speed",
        text: "Ground speed on the headland",
        why: "The ramp begins and ends at it, the headland turns are driven at it.",
        kind: Kind::Quantity(SLOW),
        usual: Usual::From(|answers| worked::speed(answers, ["1.0 m/s", "2 mph"], "lowest_speed")),
        check: |answers| faster(answers, "slow_speed", "lowest_speed"),
        ..PLAIN
    },
    Question {
        key: "work_speed",
        text: "Ground speed in the row",
        why: "The rows of the headland run are sown at it.",
        kind: Kind::Quantity(WORK),
        usual: Usual::From(|answers| worked::speed(answers, ["2.2 m/s", "5 mph"], "slow_speed")),
        check: |answers| faster(answers, "work_speed", "slow_speed"),
        ..PLAIN
    },
    Question {
        key: "fast_speed",
        text: "Fastest ground speed that must still be right",
        why: "The ramp climbs to it: the drive must reach it in cold oil.",
        kind: Kind::Quantity(FAST),
        usual: Usual::From(|answers| worked::speed(answers, ["3.0 m/s", "6.5 mph"], "work_speed")),
        check: |answers| faster(answers, "fast_speed", "work_speed"),
        ..PLAIN
    },
    Question {
        key: "acceleration",
        text: "How hard the tractor speeds up and slows down",
        why: "0.5 m/s2 is brisk for field work (common practice).",
        kind: Kind::Quantity(PACE),
        usual: Usual::Each(["0.5 m/s2", "1.6 ft/s2"]),
        ..PLAIN
    },
    Question {
        key: "row_length",
        text: "Length of a row in the headland run",
        why: "Three rows with two turns are driven.",
        kind: Kind::Quantity(ROW),
        usual: Usual::Each(["60 m", "200 ft"]),
        ..PLAIN
    },
    Question {
        key: "turn_radius",
        text: "Radius of the headland turns",
        why: "The drill is lifted meanwhile; the turn takes so long.",
        kind: Kind::Quantity(RADIUS),
        usual: Usual::Each(["8 m", "26 ft"]),
        ..PLAIN
    },
    Question {
        key: "limits",
        text: "Set the limits of a working day yourself",
        why: "Where the controller tells, disarms, or goes no further. No: those that disturb nobody.",
        kind: Kind::YesNo,
        usual: Usual::Same("no"),
        ..PLAIN
    },
    limits::START_SPEED,
    limits::ROAD_SPEED,
    limits::RAISED_FOR,
    limits::CORRECTION_TOLD,
    limits::CORRECTION_LIMIT,
    limits::RATE_BAND,
    limits::RATE_WAY,
];

/// Refuses a speed that is not faster than another.
pub(super) fn faster(answers: &Answers, key: &str, than: &str) -> Result<(), Wrong> {
    if answers.number(key) > answers.number(than) {
        return Ok(());
    }
    let (have, other) = (answers.text(key), answers.text(than));
    let remedy = format!("name a speed above {other}, or go back and change that");
    Err((format!("{have:?} is not faster than {than}, {other:?}"), remedy))
}
