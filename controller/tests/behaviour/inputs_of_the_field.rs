//! Hitch, tube sensor, hopper level, direction, place and the speed by hand, as the board hands them in.

use crate::rig::{Rig, config, told};
use controller::gap::Cause;
use controller::quantity::{Command, Course, MetresPerSecond, Micros, Position};
use controller::section::SideState;
use controller::sense::{
    CourseSample, Direction, Followed, GroundStatus, HitchSample, PositionSample, SpeedReport,
    SpeedReports,
};
use controller::settings::LiftSource;
use controller::watch::Item;
use controller::{Act, Refusal};

/// A rig whose lift is the hitch on the bus, heard every 0.1 s for so many tenths.
fn by_hitch() -> Rig {
    let mut config = config(1);
    config.lift.from = LiftSource::Hitch { limit: Micros::from_millis(500) };
    let mut rig = Rig::of(&config);
    rig.speed = 2_000;
    hear(&mut rig, 5, true);
    rig.inputs.master = true;
    hear(&mut rig, 20, true);
    rig
}

fn hear(rig: &mut Rig, tenths: u32, in_work: bool) {
    for _ in 0..tenths {
        rig.inputs.hitch = Some(HitchSample { in_work, at: rig.inputs.now });
        rig.step();
        rig.inputs.hitch = None;
        rig.run(9);
    }
}

#[test]
fn the_hitch_on_the_bus_is_the_lift_and_its_silence_a_pause() {
    let mut rig = by_hitch();
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
    hear(&mut rig, 2, false);
    assert_eq!(rig.outputs.sides[0].state, SideState::Lifted);
    hear(&mut rig, 10, true);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
    // Silence: the last word counts for 0.5 s, then nothing is known.
    let ticks = rig.until(60, |out| out.alarm == Some(Item::LiftUnknown));
    assert!((40..=43).contains(&ticks), "told after {ticks} ticks");
    rig.run(5);
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    hear(&mut rig, 5, true);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "a pause resumes by itself");
}

#[test]
fn the_level_of_the_lift_input_means_nothing_where_the_hitch_is_the_lift() {
    let mut rig = by_hitch();
    rig.inputs.lift = false;
    hear(&mut rig, 3, true);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn tubes_without_seed_are_told_after_the_delivery_delay_and_a_second_and_leave_a_gap() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.sides[0].seed_seen = Some(true);
    rig.run(100);
    rig.inputs.sides[0].seed_seen = Some(false);
    let ticks = rig.until(200, told(Item::NoSeedInTubes));
    assert_eq!(ticks, 135, "0.35 s and 1 s");
    rig.run(100);
    rig.inputs.sides[0].seed_seen = Some(true);
    rig.run(10);
    let gap = rig.controller.take_gap().expect("an entry");
    assert_eq!(gap.cause, Cause::NoSeed);
    assert!(gap.length_mm.abs_diff(2_000) < 60, "a second at 2 m/s: {} mm", gap.length_mm);
}

/// Entered at its turn: whichever tick the seed comes back in, and with not one more tick of it.
#[test]
fn a_gap_is_entered_within_two_ticks_of_its_end() {
    let mut lengths = [0; 2];
    for (late, length) in (0..).zip(&mut lengths) {
        let mut rig = Rig::sowing(&config(1), 2_000);
        rig.inputs.sides[0].seed_seen = Some(false);
        rig.run(300 + late);
        assert!(rig.controller.take_gap().is_none(), "it goes on");
        rig.inputs.sides[0].seed_seen = Some(true);
        rig.run(2);
        *length = rig.controller.take_gap().expect("an entry").length_mm;
        rig.run(2);
        assert!(rig.controller.take_gap().is_none(), "entered once");
    }
    let [first, second] = lengths;
    assert!(second.abs_diff(first + 20) <= 1, "a tick more is 20 mm: {first} and {second} mm");
}

#[test]
fn an_empty_hopper_is_told_after_a_second_and_stops_nothing() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.hopper_empty = Some(true);
    assert_eq!(rig.until(200, told(Item::HopperEmpty)), 100);
    rig.run(500);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "the last seed is sown");
}

#[test]
fn backwards_by_the_direction_input_nothing_is_sown_nor_counted() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.direction = Some(Direction::Reverse);
    let out = rig.step();
    assert_eq!(out.sides[0].command, Command::ZERO, "in the tick that reads it");
    assert!(out.speed < MetresPerSecond::ZERO, "backwards: {:?}", out.speed);
    let area = rig.controller.account().area_mm2;
    rig.run(500);
    assert_eq!(rig.controller.account().area_mm2, area);
    rig.inputs.direction = Some(Direction::Forward);
    rig.run(3);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_person_is_led_back_to_a_gap() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    // Two metres a second to the east, told 10 times a second: 29.2 µ° of longitude a metre at 52° N.
    let mut longitude = 100_000_000;
    let mut travel = |rig: &mut Rig, tenths: i32| {
        for _ in 0..tenths {
            longitude += 29;
            let position = Position::new(520_000_000, longitude).expect("a place");
            let at = rig.inputs.now;
            rig.inputs.position = Some(PositionSample { position, at });
            let speed = MetresPerSecond::from_millimetres(2_000);
            let course = Course::from_millidegrees(90_000);
            rig.inputs.course = Some(CourseSample { course, speed, at });
            rig.step();
            rig.inputs.position = None;
            rig.inputs.course = None;
            rig.run(9);
        }
    };
    travel(&mut rig, 20);
    rig.inputs.sides[0].switch = false;
    travel(&mut rig, 20);
    rig.inputs.sides[0].switch = true;
    travel(&mut rig, 100);
    let gap = rig.controller.take_gap().expect("an entry");
    assert_eq!((gap.number, gap.side, gap.cause), (1, 0, Cause::SwitchedOff));
    let way = rig.controller.way_to(gap.position.expect("a place")).expect("a way");
    // 119 tenths at 29 steps of 6.853 mm are 23.65 m to the west.
    assert!(way.length_mm.abs_diff(23_650) < 60, "{way:?}");
    let west = way.course.turned_from(Course::from_millidegrees(270_000)).unsigned_abs();
    assert!(west < 12_000_000, "within a degree of west: {way:?}");
}

#[test]
fn a_sender_that_says_error_is_lost_at_once_and_one_that_knows_nothing_ages() {
    let said = |answer: SpeedReport| {
        let mut rig = crate::rig::sown_by_samples();
        rig.inputs.speeds = SpeedReports { receiver: Some(answer), ..SpeedReports::default() };
        let first = rig.step().ground;
        let ticks = rig.until(60, |out| out.ground == GroundStatus::Lost);
        (first, ticks)
    };
    assert_eq!(said(SpeedReport::Error), (GroundStatus::Lost, 1));
    assert_eq!(said(SpeedReport::OutOfRange), (GroundStatus::Lost, 1));
    let (first, ticks) = said(SpeedReport::NotAvailable);
    assert_eq!(first, GroundStatus::Moving, "it is not standing and not lost yet");
    assert!((38..=42).contains(&ticks), "0.5 s of age, 0.1 s of it at arrival: {ticks} ticks");
}

/// Sets 2 m/s by hand, loses the ground pulses and goes on till the speed by hand is followed.
fn by_hand(rig: &mut Rig) {
    let act = Act::SpeedByHand(Some(MetresPerSecond::from_millimetres(2_000)));
    let now = rig.inputs.now;
    assert_eq!(rig.controller.act(act, now), Ok(()));
    rig.speed = 0;
    rig.until(30, told(Item::SpeedByHand));
}

#[test]
fn a_speed_by_hand_outside_the_working_speeds_is_refused_and_dropped_at_a_stop() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let now = rig.inputs.now;
    for wrong in [0, 100, 15_001, -2_000] {
        let bits = i32::try_from(i64::from(wrong) * (1 << 20) / 1_000).expect("a speed");
        let act = Act::SpeedByHand(Some(MetresPerSecond::from_bits(bits)));
        assert_eq!(rig.controller.act(act, now), Err(Refusal::SpeedByHand), "{wrong} mm/s");
    }
    by_hand(&mut rig);
    assert_eq!(rig.outputs.followed, Followed::Hand);
    rig.run(1_000);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "the last resort");
    // The shaft is told to turn and does not: a latch, which drops the speed by hand.
    rig.shafts[0] = crate::rig::Shaft::Turns(0);
    rig.until(200, told(Item::ShaftSilent));
    rig.run(10);
    assert_eq!(rig.outputs.followed, Followed::Nothing);
}

#[test]
fn a_speed_by_hand_is_dropped_as_the_operator_switches_off() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    by_hand(&mut rig);
    rig.fresh_master();
    rig.run(20);
    assert_eq!(rig.outputs.followed, Followed::Nothing, "off and on again: it must be set anew");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
}

#[test]
fn a_speed_by_hand_gives_way_as_soon_as_a_source_lives_and_lays_nothing_backwards() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    by_hand(&mut rig);
    rig.inputs.direction = Some(Direction::Reverse);
    assert_eq!(rig.step().sides[0].command, Command::ZERO, "backwards by hand");
    rig.inputs.direction = None;
    rig.speed = 2_000;
    let ticks = rig.until(10, |out| out.followed == Followed::Source(0));
    assert!(ticks <= 4, "after {ticks} ticks");
}

#[test]
fn a_lift_that_says_nothing_leaves_a_gap_that_is_entered() {
    let mut rig = by_hitch();
    rig.run(200);
    hear(&mut rig, 5, true);
    // The first is that of the way before the master was on.
    let gaps: Vec<_> = core::iter::from_fn(|| rig.controller.take_gap()).collect();
    let gap = gaps.last().expect("an entry");
    assert_eq!((gaps.len(), gap.cause), (2, Cause::LiftUnknown), "{gaps:?}");
    assert!(gap.length_mm.abs_diff(3_000) < 200, "1.5 s at 2 m/s: {} mm", gap.length_mm);
}

#[test]
fn a_receiver_lost_in_a_turn_does_not_make_the_next_pass_a_pass_backwards() {
    let mut rig = Rig::of(&crate::rig::sampled());
    let fix = |rig: &mut Rig, millidegrees: u32| {
        let course = Course::from_millidegrees(millidegrees);
        let speed = MetresPerSecond::from_millimetres(2_000);
        let at = rig.inputs.now;
        rig.inputs.course = Some(CourseSample { course, speed, at });
        rig.sample(2_000, 0);
        rig.inputs.course = None;
        rig.run(9);
    };
    (0..20).for_each(|_| fix(&mut rig, 0));
    rig.inputs.master = true;
    (0..20).for_each(|_| fix(&mut rig, 0));
    rig.inputs.lift = false;
    // Lost for most of the turn: 8 s without a fix, then the way back.
    rig.run(800);
    (0..10).for_each(|_| fix(&mut rig, 180_000));
    rig.inputs.lift = true;
    (0..10).for_each(|_| fix(&mut rig, 180_000));
    assert!(
        rig.outputs.speed > MetresPerSecond::ZERO,
        "taken for backwards: {:?}",
        rig.outputs.speed
    );
}

#[test]
fn half_an_hour_without_a_tick_is_no_gap_of_kilometres() {
    let mut rig = crate::rig::sown_by_samples();
    while rig.controller.take_gap().is_some() {}
    rig.inputs.now = rig.inputs.now.plus(Micros::from_millis(1_800_000));
    rig.sample(2_000, 0);
    rig.inputs.master = false;
    rig.run(5);
    rig.inputs.master = true;
    for _ in 0..10 {
        rig.sample(2_000, 0);
        rig.run(9);
    }
    let gaps: Vec<_> = core::iter::from_fn(|| rig.controller.take_gap()).collect();
    let length: u32 = gaps.iter().map(|gap| gap.length_mm).sum();
    // Half a metre in the quarter of a second till it is stale, and what passes till the shaft turns again.
    assert!(length < 3_000, "nobody saw what passed: {gaps:?}");
}
