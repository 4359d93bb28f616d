//! What follows from the answers: pulses, delays, speeds; and whether it is possible.
//!
//! A worked-out value is a text with its unit, six digits at most, as it stands in the file: what is read back is exactly
//! that.

use super::answers::Answers;
use super::question::Wrong;
use super::strip::{Strip, strips};
use crate::desk::motor;
use crate::scenario::read::ranges::{DELIVERY_DELAY, GROUND_PULSES, TURNS_PER_METRE};
use crate::unit::{
    Dimension, MASS_PER_TURN, PULSES_PER_LENGTH, SHAFT_SPEED, SPEED, System, TIME, Unit,
};
use std::path::Path;

/// Digits of a worked-out value.
const DIGITS: usize = 6;

/// Speeds of a full command that the controller takes, turns/s.
const FULL: std::ops::RangeInclusive<f64> = 0.02..=10.0;

/// Ground speed that the default of the full speed is enough for, m/s.
const ENOUGH_MPS: f64 = 4.5;

/// A quantity as it stands in a file, in the units of the answers.
pub(super) fn written(answers: &Answers, kind: &Dimension, own: f64) -> String {
    kind.show(own, answers.system(), DIGITS)
}

/// The unit in which a quantity is worked out.
pub(super) fn unit(answers: &Answers, kind: &Dimension) -> Option<&'static Unit> {
    kind.preferred(answers.system())
}

/// The units that were chosen with the command.
pub(super) fn units(answers: &Answers) -> String {
    if answers.system() == System::Us { "us" } else { "metric" }.to_owned()
}

/// A fair guess of the mass per turn of the first side: 30 g for each metre of its width, two digits (common practice: a
/// meter of a grain drill, 0.3 to 0.4 turns a metre at 110 kg/ha).
pub(super) fn mass_per_turn(answers: &Answers) -> String {
    let wide = strips(answers).first().map_or(4.0, |strip| strip.width_m);
    let spelt = if answers.system() == System::Us { "oz" } else { "g" };
    round(&MASS_PER_TURN, spelt, 0.03 * wide)
}

/// Two digits in a unit.
fn round(kind: &Dimension, spelt: &str, own: f64) -> String {
    kind.unit(spelt).map_or_else(
        || kind.write(own),
        |unit| {
            let number = unit.from_own(own);
            let scale = 10_f64.powf(1.0 - libm::floor(libm::log10(number)));
            unit.show(unit.to_own((number * scale).round() / scale), 2)
        },
    )
}

/// Most and fewest turns of the meter shaft per metre among the sides.
fn turns_per_m(answers: &Answers) -> [f64; 2] {
    let turns = |strip: &Strip| {
        1e-4 * answers.number("rate") * strip.width_m / answers.number("mass_per_turn")
    };
    let turns: Vec<f64> = strips(answers).iter().map(turns).collect();
    [turns.iter().copied().fold(0.0, f64::max), turns.iter().copied().fold(f64::MAX, f64::min)]
}

/// Refuses a mass per turn that asks for too few or too many turns.
pub(super) fn check_turns(answers: &Answers) -> Result<(), Wrong> {
    let bad = turns_per_m(answers).into_iter().find(|turns| !TURNS_PER_METRE.contains(turns));
    bad.map_or(Ok(()), |turns| {
        let what = format!("a side's shaft would turn {turns:.3e} times a metre");
        Err((what, "0.001 to 50 work; change mass per turn, rate or width".to_owned()))
    })
}

/// A full speed that is enough for the widest side at [`ENOUGH_MPS`], two digits.
pub(super) fn usual_full_speed(answers: &Answers) -> String {
    let spelt = if answers.system() == System::Us { "turns/min" } else { "turns/s" };
    let [most, _] = turns_per_m(answers);
    round(&SHAFT_SPEED, spelt, (ENOUGH_MPS * most).clamp(*FULL.start(), *FULL.end()))
}

/// The shaft's speed at full command, as it stands in the file.
pub(super) fn full_speed(answers: &Answers) -> String {
    if !answers.is("full_by", "flow") {
        return answers.text("full_speed").to_owned();
    }
    let fed = answers.number("full_flow") * answers.number("volumetric");
    let motor = motor::turns_per_s(fed, answers.number("displacement"));
    written(answers, &SHAFT_SPEED, motor / answers.number("ratio"))
}

/// Refuses a full speed that the controller refuses.
pub(super) fn check_full_speed(answers: &Answers) -> Result<(), Wrong> {
    let text = full_speed(answers);
    let speed = SHAFT_SPEED.parse(&text).map_or(0.0, |reading| reading.value);
    if FULL.contains(&speed) {
        return Ok(());
    }
    let remedy = "0.02 to 10 turns/s work; change flow, displacement or ratio".to_owned();
    Err((format!("the meter shaft would turn {text} at full command"), remedy))
}

/// Refuses a dead time that a motorised valve cannot have.
pub(super) fn check_dead_time(answers: &Answers) -> Result<(), Wrong> {
    if answers.is("drive_kind", "motorised") && answers.number("dead_time") > 0.3 {
        let what = format!("{:?} is too long for a motorised valve", answers.text("dead_time"));
        return Err((what, "up to 0.3 s work".to_owned()));
    }
    Ok(())
}

/// Refuses an as-built file that is not there.
pub(super) fn check_as_built(answers: &Answers) -> Result<(), Wrong> {
    let name = answers.text("as_built");
    if name == "none" || Path::new(name).is_file() {
        return Ok(());
    }
    let remedy = "name a file as seen from the folder you are in, or none".to_owned();
    Err((format!("there is no file {name:?}"), remedy))
}

/// Ground pulses, as they stand in the file; where none are counted, those of a usual sensor.
pub(super) fn ground_pulses(answers: &Answers) -> String {
    if answers.has("ground_pulses") {
        return answers.text("ground_pulses").to_owned();
    }
    if answers.has("wheel_pulses") {
        let per_m = answers.number("wheel_pulses") / answers.number("wheel_way");
        return written(answers, &PULSES_PER_LENGTH, per_m);
    }
    if answers.system() == System::Us { "40 /ft" } else { "130 /m" }.to_owned()
}

/// Refuses a wheel that gives too few or too many pulses.
pub(super) fn check_ground(answers: &Answers) -> Result<(), Wrong> {
    let text = ground_pulses(answers);
    let per_m = PULSES_PER_LENGTH.parse(&text).map_or(0.0, |reading| reading.value);
    if GROUND_PULSES.holds(per_m) {
        return Ok(());
    }
    let works = GROUND_PULSES.range_in(unit(answers, &PULSES_PER_LENGTH));
    Err((format!("that makes {text}"), format!("{works} work")))
}

/// Delivery delay, as it stands in the file.
pub(super) fn delivery_delay(answers: &Answers) -> String {
    if answers.has("delivery_delay") {
        return answers.text("delivery_delay").to_owned();
    }
    let delay_s = answers.number("tube_length") / answers.number("seed_speed");
    TIME.show(delay_s, System::Both, 3)
}

/// Refuses a tube that delays too long.
pub(super) fn check_delay(answers: &Answers) -> Result<(), Wrong> {
    let text = delivery_delay(answers);
    if TIME.parse(&text).is_ok_and(|reading| DELIVERY_DELAY.holds(reading.value)) {
        return Ok(());
    }
    Err((format!("that makes a delay of {text}"), "up to 2 s work".to_owned()))
}

/// A usual speed, or half as much again as the one below it where that is not slower.
pub(super) fn speed(answers: &Answers, usual: [&str; 2], below: &str) -> String {
    let usual = usual[usize::from(answers.system() == System::Us)];
    let least = 1.2 * answers.number(below);
    match SPEED.parse(usual) {
        Ok(reading) if reading.value >= least => usual.to_owned(),
        _ => SPEED.show(1.25 * least, answers.system(), 2),
    }
}

/// Time that a headland turn of the trial takes, s.
pub(super) fn turn_s(answers: &Answers) -> f64 {
    std::f64::consts::PI * answers.number("turn_radius") / answers.number("slow_speed")
}

/// Refuses a time lifted that the trial's own turn takes longer than.
pub(super) fn check_raised(answers: &Answers) -> Result<(), Wrong> {
    let turn = turn_s(answers) + 10.0;
    if answers.number("raised_for") > turn {
        return Ok(());
    }
    let what = format!("{:?} is too short for the headland turn", answers.text("raised_for"));
    Err((what, format!("name more than {turn:.0} s, or a quicker turn")))
}
