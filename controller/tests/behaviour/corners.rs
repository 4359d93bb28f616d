//! Where two things come at once: an alarm behind another, a run behind a start, the map behind a broken encoder.

use crate::rig::{Rig, Shaft, config, told, turns};
use controller::measure::{SpinConfig, SpinPlan};
use controller::quantity::{
    Command, MetresPerSecond, MicrogramsPerTurn, Micros, MilligramsPerSquareMetre,
};
use controller::run::{CatchRun, Run, RunEnd, SpinRun};
use controller::section::SideState;
use controller::seed::{MeterPoint, Product};
use controller::settings::{LimitsConfig, SettingsConfig};
use controller::watch::Item;
use controller::{Act, Outputs};

/// A drill that sows by the map alone, its encoder silent.
fn by_map(config: &SettingsConfig, share: u64) -> Rig {
    let mut rig = Rig::of(config);
    rig.shafts[0] = Shaft::Follows(share);
    rig.speed = 2_000;
    rig.run(10);
    rig.inputs.master = true;
    rig.run(1_000);
    rig.shafts[0] = Shaft::Turns(0);
    rig.until(1_000, told(Item::ShaftSilent));
    rig.inputs.master = false;
    rig.run(5);
    rig.controller.act(Act::ByMap(0), rig.inputs.now).expect("the encoder is lost");
    rig.inputs.master = true;
    rig.run(1_000);
    assert!(rig.controller.runs_by_map(0));
    rig
}

#[test]
fn by_the_map_alone_seed_that_does_not_come_is_told() {
    let mut rig = by_map(&config(1), 1_000);
    rig.inputs.sides[0].seed_seen = Some(false);
    rig.until(200, told(Item::NoSeedInTubes));
}

#[test]
fn by_the_map_alone_no_more_is_counted_than_the_drive_can_turn() {
    let mut rig = by_map(&config(1), 1_000);
    for speed in (2_000..8_000).step_by(20) {
        rig.speed = speed;
        rig.step();
    }
    rig.run(100);
    let counted = |rig: &Rig| rig.controller.tally(0).expect("a side").by_map;
    let before = counted(&rig);
    rig.run(100);
    let in_a_second = counted(&rig) - before;
    assert_eq!(rig.outputs.alarm, Some(Item::TargetAbove), "nothing else would tell it");
    // 1.65 turns/s at full command.
    assert!((290..=298).contains(&in_a_second), "{in_a_second} edges");
}

#[test]
fn an_encoder_that_loses_every_other_edge_teaches_the_map_nothing() {
    let mut config = config(1);
    config.sides[0].edges_per_turn = 4;
    let mut rig = by_map(&config, 22);
    let command = rig.outputs.sides[0].command.to_bits();
    rig.shafts[0] = Shaft::Follows(11);
    rig.run(2_000);
    assert!(rig.controller.runs_by_map(0));
    let after = rig.outputs.sides[0].command.to_bits();
    assert!(after.abs_diff(command) < command / 50, "command {command}, then {after}");
}

#[test]
fn a_shaft_that_lags_far_comes_to_the_limit_of_its_map_too() {
    let mut rig = Rig::sowing(&config(1), 1_000);
    rig.shafts[0] = Shaft::Follows(800);
    rig.until(300, told(Item::ShaftDoesNotFollow));
    rig.run(6_000);
    rig.fresh_master();
    rig.run(100);
    rig.is_latched(Item::CorrectionAtLimit);
}

#[test]
fn why_it_does_not_arm_is_told_once_another_stop_is_answered() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Follows(920);
    rig.until(12_000, told(Item::CorrectionAtLimit));
    rig.inputs.stop = Some(true);
    rig.run(10);
    rig.inputs.stop = Some(false);
    rig.run(10);
    assert_eq!(rig.outputs.alarm, Some(Item::StopPressed));
    rig.fresh_master();
    rig.is_latched(Item::CorrectionAtLimit);
}

#[test]
fn ground_that_both_boxes_are_started_on_by_hand_counts_once() {
    let start_speed = MetresPerSecond::from_millimetres(1_000);
    let limits = LimitsConfig { start_speed, ..LimitsConfig::default() };
    let mut config = SettingsConfig { limits, ..config(2) };
    config.sides[1].product = Product::Second;
    config.sides[1].meter =
        [MeterPoint { shaft: turns(1_000), mass: MicrogramsPerTurn::new(12_000_000) }]
            .into_iter()
            .collect();
    config.second_rate = Some(MilligramsPerSquareMetre::from_whole(800));
    let mut rig = Rig::of(&config);
    rig.speed = 100;
    rig.run(50);
    rig.inputs.master = true;
    rig.run(100);
    rig.inputs.hold = true;
    rig.run(200);
    assert_eq!(rig.outputs.sides.map(|side| side.state)[..2], [SideState::ByHand; 2]);
    let one = rig.controller.account_of(Product::First).area_mm2;
    assert!(one > 500_000, "{one} mm²");
    assert!(rig.controller.account().area_mm2.abs_diff(one) < 100, "in all");
}

#[test]
fn seed_that_is_laid_while_a_catch_runs_out_is_counted_and_not_caught() {
    let mut rig = Rig::of(&config(1));
    rig.run(50);
    let at_most = Micros::from_millis(120_000);
    let run = CatchRun { side: 0, shaft: turns(1_000), prime: 0, edges: 360, at_most };
    rig.controller.act(Act::ArmRun(Run::Catch(run)), rig.inputs.now).expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.run(5);
    rig.until(400, Outputs::at_rest);
    rig.inputs.hold = false;
    rig.speed = 2_000;
    rig.inputs.master = true;
    rig.run(250);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
    let report = rig.controller.take_run_report().expect("it ran out");
    assert_eq!(report.end, RunEnd::Done);
    assert!(report.edges <= 362, "{} edges of 360", report.edges);
    let tally = rig.controller.tally(0).expect("a side");
    let sown = tally.turned.iter().map(|turned| turned.edges).sum::<u64>();
    assert_eq!(sown + u64::from(report.edges), u64::from(rig.edges(0)), "no edge is lost");
}

#[test]
fn a_spin_with_seed_in_the_box_ends_as_the_drill_is_lowered() {
    let mut rig = Rig::of(&config(1));
    rig.inputs.lift = false;
    rig.run(50);
    let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).expect("a plan");
    let spin = Run::Spin(SpinRun { side: 0, plan, box_empty: false });
    rig.controller.act(Act::ArmRun(spin), rig.inputs.now).expect("raised");
    rig.run(5);
    rig.inputs.hold = true;
    rig.until(300, |out| out.supply);
    rig.inputs.lift = true;
    rig.run(5);
    assert!(rig.outputs.at_rest());
}

#[test]
fn a_correction_that_is_forgotten_is_no_longer_told_and_the_drive_may_be_measured() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Follows(920);
    rig.until(12_000, told(Item::CorrectionAtLimit));
    rig.inputs.master = false;
    while rig.speed > 0 {
        rig.speed -= 20;
        rig.step();
    }
    rig.run(300);
    rig.controller.act(Act::ForgetCorrections, rig.inputs.now).expect("at rest");
    rig.run(10);
    assert_ne!(rig.outputs.alarm, Some(Item::CorrectionAtLimit));
    let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).expect("a plan");
    let spin = Run::Spin(SpinRun { side: 0, plan, box_empty: true });
    rig.controller.act(Act::ArmRun(spin), rig.inputs.now).expect("nothing is latched");
}
