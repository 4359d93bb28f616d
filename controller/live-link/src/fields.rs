//! The lists of fields of a tick: one list writes, reads and describes, so that the three cannot differ.
//!
//! Each value has one form: what is not there is zeros behind its mark, and other bytes are refused.

use crate::cursor::{Misfit, Visit};
use controller::drive::ValveTurn;
use controller::quantity::{
    Command, Course, Instant, MetresPerSecond, Micrometres, Position, RadiansPerSecond,
    TurnsPerSecond,
};
use controller::section::SideState;
use controller::sense::{
    CourseSample, Direction, Followed, GroundStatus, HitchSample, LineSample, PositionSample,
    Pulses, SpeedReport, SpeedReports, SpeedSample,
};
use controller::watch::Item;
use controller::{Inputs, Outputs, SideInputs, SideOutputs};

type Done = Result<(), Misfit>;

/// A number without a sign of `size` bytes.
fn natural<V: Visit>(
    visit: &mut V,
    name: &'static str,
    size: usize,
    value: u64,
) -> Result<u64, Misfit> {
    let mut raw = value;
    visit.word(name, size, &mut raw)?;
    Ok(raw)
}

pub(crate) fn byte<V: Visit>(visit: &mut V, name: &'static str, value: &mut u8) -> Done {
    *value = u8::try_from(natural(visit, name, 1, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn half<V: Visit>(visit: &mut V, name: &'static str, value: &mut u16) -> Done {
    *value = u16::try_from(natural(visit, name, 2, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn word<V: Visit>(visit: &mut V, name: &'static str, value: &mut u32) -> Done {
    *value = u32::try_from(natural(visit, name, 4, u64::from(*value))?).map_err(|_| Misfit)?;
    Ok(())
}

pub(crate) fn long<V: Visit>(visit: &mut V, name: &'static str, value: &mut u64) -> Done {
    *value = natural(visit, name, 8, *value)?;
    Ok(())
}

/// A number with a sign, two's complement.
pub(crate) fn signed<V: Visit>(visit: &mut V, name: &'static str, value: &mut i32) -> Done {
    let mut raw = value.cast_unsigned();
    word(visit, name, &mut raw)?;
    *value = raw.cast_signed();
    Ok(())
}

pub(crate) fn flag<V: Visit>(visit: &mut V, name: &'static str, value: &mut bool) -> Done {
    choice(visit, name, value, &[false, true])
}

/// One of a list, by its place in it.
pub(crate) fn choice<V: Visit, T: Copy + PartialEq>(
    visit: &mut V,
    name: &'static str,
    value: &mut T,
    all: &[T],
) -> Done {
    let place = all.iter().position(|one| one == value).ok_or(Misfit)?;
    let mut place = u8::try_from(place).map_err(|_| Misfit)?;
    byte(visit, name, &mut place)?;
    *value = *all.get(usize::from(place)).ok_or(Misfit)?;
    Ok(())
}

/// A mark, 0 or 1, and behind it the value; where there is none, `blank`.
fn maybe<V: Visit, T: Copy + PartialEq>(
    visit: &mut V,
    name: &'static str,
    value: &mut Option<T>,
    blank: T,
    each: fn(&mut V, &mut T) -> Done,
) -> Done {
    let mut there = value.is_some();
    flag(visit, name, &mut there)?;
    let mut inner = value.unwrap_or(blank);
    each(visit, &mut inner)?;
    if !there && inner != blank {
        return Err(Misfit);
    }
    *value = there.then_some(inner);
    Ok(())
}

pub(crate) fn instant<V: Visit>(visit: &mut V, name: &'static str, value: &mut Instant) -> Done {
    let mut raw = value.micros();
    word(visit, name, &mut raw)?;
    *value = Instant::from_micros(raw);
    Ok(())
}

fn speed<V: Visit>(visit: &mut V, name: &'static str, value: &mut MetresPerSecond) -> Done {
    let mut raw = value.to_bits();
    signed(visit, name, &mut raw)?;
    *value = MetresPerSecond::from_bits(raw);
    Ok(())
}

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

const TURNS: [ValveTurn; 3] = [ValveTurn::Hold, ValveTurn::Open, ValveTurn::Close];

const STATES: [SideState; 9] = [
    SideState::Stopped,
    SideState::Off,
    SideState::Lifted,
    SideState::Outside,
    SideState::Slow,
    SideState::Lost,
    SideState::Sowing,
    SideState::ByHand,
    SideState::Run,
];

fn shaft<V: Visit>(visit: &mut V, name: &'static str, value: &mut TurnsPerSecond) -> Done {
    let mut raw = value.to_bits();
    signed(visit, name, &mut raw)?;
    *value = TurnsPerSecond::from_bits(raw);
    Ok(())
}

fn side_outputs<V: Visit>(visit: &mut V, value: &mut SideOutputs) -> Done {
    let mut command = value.command.to_bits();
    half(visit, "side.command", &mut command)?;
    value.command = Command::from_bits(command);
    choice(visit, "side.turn", &mut value.turn, &TURNS)?;
    choice(visit, "side.state", &mut value.state, &STATES)?;
    shaft(visit, "side.wanted", &mut value.wanted)?;
    shaft(visit, "side.measured", &mut value.measured)
}

/// The items of the watch, by their numbers.
const ITEMS: [Option<Item>; 28] = [
    None,
    Some(Item::SpeedLost),
    Some(Item::SpeedImplausible),
    Some(Item::ShaftSilent),
    Some(Item::ShaftTurnsAtRest),
    Some(Item::ShaftDoesNotFollow),
    Some(Item::TargetAbove),
    Some(Item::TargetBelow),
    Some(Item::InputsStale),
    Some(Item::SettingsInvalid),
    Some(Item::TickLate),
    Some(Item::SpeedByHand),
    Some(Item::SourceMissing),
    Some(Item::SourcesDisagree),
    Some(Item::Gap),
    Some(Item::HopperEmpty),
    Some(Item::NoSeedInTubes),
    Some(Item::LiftUnknown),
    Some(Item::StopPressed),
    Some(Item::RoadSpeed),
    Some(Item::RaisedLong),
    Some(Item::ShaftBackwards),
    Some(Item::OpenedTooFar),
    Some(Item::CorrectionAtLimit),
    Some(Item::RateOff),
    Some(Item::ByMap),
    Some(Item::BoxLow),
    Some(Item::BoxWillNotLast),
];

const STATUSES: [GroundStatus; 3] =
    [GroundStatus::Standing, GroundStatus::Moving, GroundStatus::Lost];

/// 0 nothing, 1 by hand, from 2 on the sources in their order.
fn followed<V: Visit>(visit: &mut V, value: &mut Followed) -> Done {
    let mut raw = match *value {
        Followed::Nothing => 0,
        Followed::Hand => 1,
        Followed::Source(place) => place.checked_add(2).ok_or(Misfit)?,
    };
    byte(visit, "followed", &mut raw)?;
    *value = match raw {
        0 => Followed::Nothing,
        1 => Followed::Hand,
        other => Followed::Source(other.saturating_sub(2)),
    };
    Ok(())
}

/// What the board would drive and show.
pub(crate) fn outputs<V: Visit>(visit: &mut V, value: &mut Outputs) -> Done {
    value.sides.iter_mut().try_for_each(|side| side_outputs(visit, side))?;
    flag(visit, "supply", &mut value.supply)?;
    choice(visit, "alarm", &mut value.alarm, &ITEMS)?;
    speed(visit, "speed", &mut value.speed)?;
    choice(visit, "ground", &mut value.ground, &STATUSES)?;
    followed(visit, &mut value.followed)
}

#[cfg(test)]
mod tests {
    use super::ITEMS;

    #[test]
    fn an_item_stands_at_its_number() {
        for (place, item) in ITEMS.into_iter().enumerate() {
            let number = item.map_or(0, |item| usize::from(item.number()));
            assert_eq!(number, place, "{item:?}");
        }
    }
}
