//! The fields of a tick's inputs: one list writes, reads and describes, so that the three cannot differ.

use crate::cursor::{Misfit, Visit};
use crate::words::{Done, choice, flag, instant, maybe, signed, speed, word};
use controller::quantity::{
    Course, Instant, MetresPerSecond, Micrometres, Position, RadiansPerSecond,
};
use controller::sense::{
    CourseSample, Direction, HitchSample, LineSample, PositionSample, Pulses, SpeedReport,
    SpeedReports, SpeedSample,
};
use controller::{Inputs, SideInputs};

fn pulses<V: Visit>(visit: &mut V, names: [&'static str; 2], value: &mut Pulses) -> Done {
    let [count, at] = names;
    word(visit, count, &mut value.count)?;
    instant(visit, at, &mut value.edge_at)
}

const NO_SAMPLE: SpeedSample =
    SpeedSample { speed: MetresPerSecond::ZERO, at: Instant::from_micros(0) };

/// What the mark of a speed report says, the sample apart.
const REPORTS: [Option<SpeedReport>; 5] = [
    None,
    Some(SpeedReport::Speed(NO_SAMPLE)),
    Some(SpeedReport::NotAvailable),
    Some(SpeedReport::Error),
    Some(SpeedReport::OutOfRange),
];

fn report<V: Visit>(
    visit: &mut V,
    names: [&'static str; 3],
    value: &mut Option<SpeedReport>,
) -> Done {
    let (mut mark, mut sample) = match *value {
        Some(SpeedReport::Speed(sample)) => (REPORTS[1], sample),
        other => (other, NO_SAMPLE),
    };
    let [kind, of, at] = names;
    choice(visit, kind, &mut mark, &REPORTS)?;
    speed(visit, of, &mut sample.speed)?;
    instant(visit, at, &mut sample.at)?;
    *value = match mark {
        Some(SpeedReport::Speed(_)) => Some(SpeedReport::Speed(sample)),
        other if sample == NO_SAMPLE => other,
        _ => return Err(Misfit),
    };
    Ok(())
}

fn reports<V: Visit>(visit: &mut V, value: &mut SpeedReports) -> Done {
    report(
        visit,
        ["speeds.receiver", "speeds.receiver.speed", "speeds.receiver.at"],
        &mut value.receiver,
    )?;
    report(
        visit,
        ["speeds.bus_wheel", "speeds.bus_wheel.speed", "speeds.bus_wheel.at"],
        &mut value.bus_wheel,
    )?;
    report(
        visit,
        ["speeds.bus_ground", "speeds.bus_ground.speed", "speeds.bus_ground.at"],
        &mut value.bus_ground,
    )?;
    report(
        visit,
        ["speeds.bus_selected", "speeds.bus_selected.speed", "speeds.bus_selected.at"],
        &mut value.bus_selected,
    )
}

fn yaw<V: Visit>(visit: &mut V, value: &mut RadiansPerSecond) -> Done {
    let mut raw = value.to_bits();
    signed(visit, "yaw.rate", &mut raw)?;
    *value = RadiansPerSecond::from_bits(raw);
    Ok(())
}

fn course<V: Visit>(visit: &mut V, value: &mut CourseSample) -> Done {
    let mut raw = value.course.to_bits();
    word(visit, "course.course", &mut raw)?;
    value.course = Course::from_bits(raw);
    speed(visit, "course.speed", &mut value.speed)?;
    instant(visit, "course.at", &mut value.at)
}

fn position<V: Visit>(visit: &mut V, value: &mut PositionSample) -> Done {
    let [mut latitude, mut longitude] = [value.position.latitude(), value.position.longitude()];
    signed(visit, "position.latitude", &mut latitude)?;
    signed(visit, "position.longitude", &mut longitude)?;
    value.position = Position::new(latitude, longitude).ok_or(Misfit)?;
    instant(visit, "position.at", &mut value.at)
}

const NO_LINE: LineSample =
    LineSample { distance: Micrometres::new(0), sow_beyond: false, at: Instant::from_micros(0) };

fn line<V: Visit>(visit: &mut V, value: &mut LineSample) -> Done {
    let mut distance = value.distance.get();
    signed(visit, "line.distance", &mut distance)?;
    value.distance = Micrometres::new(distance);
    flag(visit, "line.sow_beyond", &mut value.sow_beyond)?;
    instant(visit, "line.at", &mut value.at)
}

const NO_HITCH: HitchSample = HitchSample { in_work: false, at: Instant::from_micros(0) };

fn hitch<V: Visit>(visit: &mut V, value: &mut HitchSample) -> Done {
    flag(visit, "hitch.in_work", &mut value.in_work)?;
    instant(visit, "hitch.at", &mut value.at)
}

/// A level that may not be wired.
const LEVELS: [Option<bool>; 3] = [None, Some(false), Some(true)];

const DIRECTIONS: [Option<Direction>; 3] =
    [None, Some(Direction::Forward), Some(Direction::Reverse)];

fn side_inputs<V: Visit>(visit: &mut V, value: &mut SideInputs) -> Done {
    pulses(visit, ["side.shaft.count", "side.shaft.edge_at"], &mut value.shaft)?;
    flag(visit, "side.switch", &mut value.switch)?;
    choice(visit, "side.seed_seen", &mut value.seed_seen, &LEVELS)
}

/// What the board reads of a tick.
pub(crate) fn inputs<V: Visit>(visit: &mut V, value: &mut Inputs) -> Done {
    instant(visit, "now", &mut value.now)?;
    pulses(visit, ["ground.count", "ground.edge_at"], &mut value.ground)?;
    reports(visit, &mut value.speeds)?;
    choice(visit, "direction", &mut value.direction, &DIRECTIONS)?;
    maybe(visit, "yaw", &mut value.yaw, RadiansPerSecond::ZERO, yaw)?;
    maybe(visit, "course", &mut value.course, CourseSample::default(), course)?;
    maybe(visit, "position", &mut value.position, PositionSample::default(), position)?;
    maybe(visit, "line", &mut value.line, NO_LINE, line)?;
    flag(visit, "lift", &mut value.lift)?;
    maybe(visit, "hitch", &mut value.hitch, NO_HITCH, hitch)?;
    choice(visit, "hopper_empty", &mut value.hopper_empty, &LEVELS)?;
    flag(visit, "master", &mut value.master)?;
    flag(visit, "hold", &mut value.hold)?;
    choice(visit, "stop", &mut value.stop, &LEVELS)?;
    value.sides.iter_mut().try_for_each(|side| side_inputs(visit, side))
}
