//! Any inputs, any outputs, any act.

use controller::drive::ValveTurn;
use controller::quantity::{
    Command, Course, Instant, MetresPerSecond, Micrometres, Position, RadiansPerSecond,
    TurnsPerSecond,
};
use controller::section::SideState;
use controller::seed::Product;
use controller::sense::{
    CourseSample, Direction, Followed, GroundStatus, HitchSample, LineSample, PositionSample,
    Pulses, SpeedReport, SpeedReports, SpeedSample,
};
use controller::watch::Item;
use controller::{Inputs, Outputs, SideInputs, SideOutputs};
use live_link::Operator;
use proptest::array::uniform4;
use proptest::option::of;
use proptest::prelude::*;

fn instant() -> impl Strategy<Value = Instant> {
    any::<u32>().prop_map(Instant::from_micros)
}

fn speed() -> impl Strategy<Value = MetresPerSecond> {
    any::<i32>().prop_map(MetresPerSecond::from_bits)
}

fn pulses() -> impl Strategy<Value = Pulses> {
    (any::<u32>(), instant()).prop_map(|(count, edge_at)| Pulses { count, edge_at })
}

fn report() -> impl Strategy<Value = SpeedReport> {
    prop_oneof![
        (speed(), instant()).prop_map(|(speed, at)| SpeedReport::Speed(SpeedSample { speed, at })),
        Just(SpeedReport::NotAvailable),
        Just(SpeedReport::Error),
        Just(SpeedReport::OutOfRange),
    ]
}

fn reports() -> impl Strategy<Value = SpeedReports> {
    uniform4(of(report())).prop_map(|[receiver, bus_wheel, bus_ground, bus_selected]| {
        SpeedReports { receiver, bus_wheel, bus_ground, bus_selected }
    })
}

fn course() -> impl Strategy<Value = CourseSample> {
    (any::<u32>().prop_map(Course::from_bits), speed(), instant())
        .prop_map(|(course, speed, at)| CourseSample { course, speed, at })
}

fn position() -> impl Strategy<Value = PositionSample> {
    let degrees = (-900_000_000..=900_000_000, -1_800_000_000..=1_800_000_000);
    (degrees, instant()).prop_map(|((latitude, longitude), at)| PositionSample {
        position: Position::new(latitude, longitude).expect("on the globe"),
        at,
    })
}

fn line() -> impl Strategy<Value = LineSample> {
    (any::<i32>().prop_map(Micrometres::new), any::<bool>(), instant())
        .prop_map(|(distance, sow_beyond, at)| LineSample { distance, sow_beyond, at })
}

fn side() -> impl Strategy<Value = SideInputs> {
    (pulses(), any::<bool>(), any::<Option<bool>>())
        .prop_map(|(shaft, switch, seed_seen)| SideInputs { shaft, switch, seed_seen })
}

pub(crate) fn inputs() -> impl Strategy<Value = Inputs> {
    let samples = (
        reports(),
        of(prop_oneof![Just(Direction::Forward), Just(Direction::Reverse)]),
        of(any::<i32>().prop_map(RadiansPerSecond::from_bits)),
        of(course()),
        of(position()),
        of(line()),
        of((any::<bool>(), instant()).prop_map(|(in_work, at)| HitchSample { in_work, at })),
    );
    let levels =
        (any::<bool>(), any::<Option<bool>>(), any::<bool>(), any::<bool>(), any::<Option<bool>>());
    (instant(), pulses(), samples, levels, uniform4(side())).prop_map(
        |(now, ground, samples, (lift, hopper_empty, master, hold, stop), sides)| {
            let (speeds, direction, yaw, course, position, line, hitch) = samples;
            Inputs {
                now,
                ground,
                speeds,
                direction,
                yaw,
                course,
                position,
                line,
                lift,
                hitch,
                hopper_empty,
                master,
                hold,
                stop,
                sides,
            }
        },
    )
}

fn shaft() -> impl Strategy<Value = TurnsPerSecond> {
    any::<i32>().prop_map(TurnsPerSecond::from_bits)
}

fn side_out() -> impl Strategy<Value = SideOutputs> {
    let turns = [ValveTurn::Hold, ValveTurn::Open, ValveTurn::Close];
    let states = [
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
    let commands = any::<u16>().prop_map(Command::from_bits);
    let picked =
        (proptest::sample::select(turns.to_vec()), proptest::sample::select(states.to_vec()));
    (commands, picked, shaft(), shaft()).prop_map(|(command, (turn, state), wanted, measured)| {
        SideOutputs { command, turn, state, wanted, measured }
    })
}

pub(crate) fn outputs() -> impl Strategy<Value = Outputs> {
    let items = [Item::SpeedLost, Item::Gap, Item::SettingsInvalid, Item::BoxWillNotLast];
    let grounds = [GroundStatus::Standing, GroundStatus::Moving, GroundStatus::Lost];
    let followed = prop_oneof![
        Just(Followed::Nothing),
        Just(Followed::Hand),
        (0..=253_u8).prop_map(Followed::Source),
    ];
    (
        uniform4(side_out()),
        any::<bool>(),
        of(proptest::sample::select(items.to_vec())),
        speed(),
        proptest::sample::select(grounds.to_vec()),
        followed,
    )
        .prop_map(|(sides, supply, alarm, speed, ground, followed)| Outputs {
            sides,
            supply,
            alarm,
            speed,
            ground,
            followed,
        })
}

pub(crate) fn act() -> impl Strategy<Value = Operator> {
    prop_oneof![
        (any::<bool>(), any::<u32>()).prop_map(|(second, bits)| {
            Operator::Rate(if second { Product::Second } else { Product::First }, bits)
        }),
        (any::<u8>(), any::<u16>(), any::<bool>())
            .prop_map(|(side, open, narrows)| { Operator::Outlets(side, open, narrows) }),
        any::<i32>().prop_map(Operator::SpeedByHand),
    ]
}
