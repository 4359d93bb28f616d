//! Watch of several sources: one that is not followed is watched too, for it may correct the slip.

use crate::rig::{Rig, config};
use controller::quantity::{Course, MetresPerSecond, Micros};
use controller::sense::{CourseSample, Sampled, SpeedReport, SpeedSample, SpeedSource};
use controller::watch::Item;

/// Pulses at 2 m/s, then a receiver that says `receiver` mm/s and corrects their slip, then the bus; switched on.
fn three_sources(receiver: u32) -> Rig {
    let mut config = config(1);
    let limit = Micros::from_millis(1_000);
    for from in [Sampled::Receiver, Sampled::BusGround] {
        let _full = config.sources.push(SpeedSource::Samples { from, limit });
    }
    config.correct_slip = true;
    let mut rig = Rig::of(&config);
    rig.speed = 2_000;
    play(&mut rig, 20, |_| receiver);
    rig.inputs.master = true;
    rig
}

/// Plays so many tenths of a second of both; the receiver says `receiver` mm/s. Returns when an item was told first, in
/// tenths.
fn play_until(
    rig: &mut Rig,
    tenths: u32,
    receiver: impl Fn(u32) -> u32,
    item: Item,
) -> Option<u32> {
    let mut told = None;
    for tenth in 0..tenths {
        let at = rig.inputs.now;
        let report = |mm| {
            let speed = MetresPerSecond::from_millimetres(mm);
            Some(SpeedReport::Speed(SpeedSample { speed, at }))
        };
        rig.inputs.speeds.receiver = report(receiver(tenth));
        rig.inputs.speeds.bus_ground = report(2_000);
        for _ in 0..10 {
            rig.step();
            rig.inputs.speeds = controller::sense::SpeedReports::default();
            if rig.outputs.alarm == Some(item) {
                told = told.or(Some(tenth));
            }
        }
    }
    told
}

fn play(rig: &mut Rig, tenths: u32, receiver: impl Fn(u32) -> u32) {
    play_until(rig, tenths, receiver, Item::SettingsInvalid);
}

#[test]
fn a_source_that_disagrees_is_told_although_a_third_agrees() {
    let mut rig = three_sources(2_000);
    play(&mut rig, 50, |_| 2_000);
    let told = play_until(&mut rig, 50, |_| 1_200, Item::SourcesDisagree);
    assert!(told.is_some_and(|tenth| (28..=34).contains(&tenth)), "told at {told:?} tenths");
}

#[test]
fn a_jump_of_a_source_that_is_not_followed_is_told_at_once() {
    let mut rig = three_sources(2_000);
    play(&mut rig, 50, |_| 2_000);
    let told = play_until(&mut rig, 5, |_| 3_500, Item::SpeedImplausible);
    assert_eq!(told, Some(0));
}

#[test]
fn a_slip_that_was_learnt_from_a_source_that_hung_is_forgotten_within_six_seconds() {
    let mut rig = three_sources(1_610);
    // Hung at four fifths of the speed from the start: taken for slip, and no true pair would fit it again.
    play(&mut rig, 50, |_| 1_610);
    let hung = rig.outputs.speed.to_bits();
    assert!(hung < 1_850_000, "the slip was learnt: {hung}");
    play(&mut rig, 60, |_| 2_000);
    let have = rig.outputs.speed.to_bits();
    assert!((have - (2 << 20)).abs() < 20_972, "within 1 % of 2 m/s, have {have}");
}

#[test]
fn a_receiver_that_hangs_while_the_pulses_change_is_missing_and_spoils_no_slip() {
    let mut rig = three_sources(2_000);
    play(&mut rig, 50, |tenth| 1_990 + tenth % 3 * 10);
    // It hangs at 2 m/s; the drill slows to 1.8 m/s, within a fifth.
    rig.speed = 1_800;
    let told = play_until(&mut rig, 30, |_| 2_000, Item::SourceMissing);
    assert!(told.is_some_and(|tenth| tenth <= 6), "told at {told:?} tenths");
    play(&mut rig, 100, |_| 2_000);
    let have = rig.outputs.speed.to_bits();
    assert!((have - 1_887_437).abs() < 20_972, "within 1 % of 1.8 m/s, have {have}");
}

#[test]
fn a_receiver_that_says_the_same_in_steady_work_is_believed() {
    let mut rig = three_sources(2_000);
    let told = play_until(&mut rig, 300, |_| 2_000, Item::SourceMissing);
    assert_eq!(told, None);
}

#[test]
fn a_wire_broken_at_a_standstill_is_found_though_a_third_source_is_silent() {
    let mut rig = three_sources(2_000);
    rig.speed = 0;
    // The bus says nothing more; the receiver moves on after two seconds.
    for tenth in 0..60_u32 {
        let at = rig.inputs.now;
        let speed = MetresPerSecond::from_millimetres(if tenth < 20 { 0 } else { 2_000 });
        rig.inputs.speeds.receiver = Some(SpeedReport::Speed(SpeedSample { speed, at }));
        for _ in 0..10 {
            rig.step();
            rig.inputs.speeds = controller::sense::SpeedReports::default();
        }
    }
    assert_eq!(rig.outputs.followed, controller::sense::Followed::Source(1), "the receiver");
}

#[test]
fn a_receiver_that_hangs_at_nothing_does_not_stop_a_drill_that_moves() {
    let mut config = config(1);
    config.sources.clear();
    let limit = Micros::from_millis(1_000);
    let receiver = SpeedSource::Samples { from: Sampled::Receiver, limit };
    let per_metre = controller::quantity::PulsesPerMetre::from_bits(130 << 16);
    let _full = config.sources.push(receiver);
    let _full = config.sources.push(SpeedSource::Pulses { per_metre });
    let mut rig = Rig::of(&config);
    rig.speed = 2_000;
    play(&mut rig, 40, |_| 0);
    assert_eq!(rig.outputs.followed, controller::sense::Followed::Source(1), "the pulses");
    assert!(
        rig.outputs.speed > MetresPerSecond::from_millimetres(1_900),
        "{:?}",
        rig.outputs.speed
    );
}

/// More samples than there are turns: both sources say 2 m/s in every tick, and a course comes every tenth of a second.
fn flood(rig: &mut Rig, tenths: u32, millidegrees: u32) {
    let speed = MetresPerSecond::from_millimetres(2_000);
    for tick in 0..tenths * 10 {
        let at = rig.inputs.now;
        let said = Some(SpeedReport::Speed(SpeedSample { speed, at }));
        (rig.inputs.speeds.receiver, rig.inputs.speeds.bus_ground) = (said, said);
        let course = Course::from_millidegrees(millidegrees);
        rig.inputs.course = (tick % 10 == 0).then_some(CourseSample { course, speed, at });
        rig.step();
    }
}

#[test]
fn a_course_has_its_turn_although_more_samples_come_than_there_are_turns() {
    let mut rig = three_sources(2_000);
    flood(&mut rig, 20, 90_000);
    assert!(rig.outputs.speed > MetresPerSecond::ZERO, "forwards");
    flood(&mut rig, 10, 270_000);
    assert!(
        rig.outputs.speed < MetresPerSecond::ZERO,
        "no course was heard: {:?}",
        rig.outputs.speed
    );
}

#[test]
fn a_source_whose_turn_never_comes_is_told_as_missing() {
    let mut rig = three_sources(2_000);
    flood(&mut rig, 15, 90_000);
    assert_ne!(rig.outputs.alarm, Some(Item::SourceMissing), "too soon");
    flood(&mut rig, 15, 90_000);
    assert_eq!(rig.outputs.alarm, Some(Item::SourceMissing));
}
