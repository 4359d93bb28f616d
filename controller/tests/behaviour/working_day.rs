//! What a working day needs: a start by hand, the road, the stop button, a lost encoder, a map that is corrected.

use crate::rig::{Rig, Shaft, config};
use controller::quantity::{Command, MetresPerSecond, Micros};
use controller::section::SideState;
use controller::settings::{LimitsConfig, SettingsConfig};
use controller::watch::Item;
use controller::{Act, Refusal};

/// A drill that may be started by hand, as at 1 m/s.
fn by_hand() -> SettingsConfig {
    let start_speed = MetresPerSecond::from_millimetres(1_000);
    SettingsConfig { limits: LimitsConfig { start_speed, ..LimitsConfig::default() }, ..config(1) }
}

/// A drill that stands lowered with the master on.
fn standing(config: &SettingsConfig) -> Rig {
    let mut rig = Rig::of(config);
    rig.run(10);
    rig.inputs.master = true;
    rig.run(100);
    assert_eq!(rig.outputs.sides[0].state, SideState::Slow);
    rig
}

/// A drill whose shaft encoders have two channels.
fn two_channel() -> SettingsConfig {
    let mut config = config(1);
    config.sides[0].two_channel = true;
    config
}

#[test]
fn held_down_it_meters_at_the_set_speed_for_three_seconds_at_most() {
    let mut rig = standing(&by_hand());
    rig.inputs.hold = true;
    let out = rig.step();
    assert_eq!(out.sides[0].state, SideState::ByHand);
    assert!(out.supply && out.sides[0].command > Command::ZERO);
    let ticks = rig.until(400, |out| out.sides[0].state != SideState::ByHand);
    assert_eq!(ticks, 300, "ticks of 10 ms after the first");
    assert_eq!(rig.outputs.sides[0].command, Command::ZERO);
    for _ in 0..300 {
        assert_eq!(rig.step().sides[0].command, Command::ZERO, "held on, it must not begin again");
    }
    // 0.36667 turns/m at 1 m/s for 3 s: 0.132 kg.
    let mass = rig.controller.account().mass_ug;
    assert!((125_000_000..=133_000_000).contains(&mass), "counted {mass} µg");
    rig.inputs.hold = false;
    rig.run(3);
    rig.inputs.hold = true;
    assert_eq!(rig.step().sides[0].state, SideState::ByHand, "pressed afresh");
    rig.inputs.hold = false;
    assert_eq!(rig.step().sides[0].command, Command::ZERO, "let go");
}

#[test]
fn once_the_ground_speed_is_trusted_it_sows_by_that() {
    let mut rig = standing(&by_hand());
    rig.inputs.hold = true;
    rig.run(50);
    rig.speed = 2_000;
    let ticks = rig.until(40, |out| out.sides[0].state == SideState::Sowing);
    assert!(ticks <= 20, "{ticks} ticks");
    rig.run(100);
    rig.inputs.hold = false;
    rig.run(5);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "the button no longer matters");
}

#[test]
fn no_start_by_hand_where_seed_must_not_fall() {
    let begins = |spoil: fn(&mut Rig)| {
        let mut rig = standing(&by_hand());
        spoil(&mut rig);
        rig.run(10);
        rig.inputs.hold = true;
        rig.run(10);
        rig.outputs.sides[0].state == SideState::ByHand
    };
    assert!(begins(|_| {}));
    assert!(!begins(|rig| rig.inputs.lift = false), "lifted");
    assert!(!begins(|rig| rig.inputs.master = false), "the master is off");
    assert!(!begins(|rig| rig.inputs.sides[0].switch = false), "the side is off");
    assert!(!begins(|rig| rig.inputs.stop = Some(true)), "the stop is pressed");
    let mut rig = standing(&config(1));
    rig.inputs.hold = true;
    assert_eq!(rig.step().sides[0].state, SideState::Slow, "it is not set up for it");
}

#[test]
fn the_stop_button_is_reported_and_releasing_it_starts_nothing() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.inputs.stop = Some(true);
    rig.step();
    assert!(rig.outputs.at_rest(), "in the tick that reads it");
    assert_eq!(rig.outputs.alarm, Some(Item::StopPressed));
    rig.run(100);
    rig.inputs.stop = Some(false);
    rig.step();
    rig.is_latched(Item::StopPressed);
    rig.fresh_master();
    rig.run(50);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn on_the_road_it_is_disarmed() {
    let limits = LimitsConfig {
        road_speed: MetresPerSecond::from_millimetres(8_000),
        ..LimitsConfig::default()
    };
    let mut rig = Rig::sowing(&SettingsConfig { limits, ..config(1) }, 2_000);
    rig.inputs.lift = false;
    rig.run(100);
    for speed in (2_000..9_000).step_by(20) {
        rig.speed = speed;
        rig.step();
    }
    rig.until(200, |out| out.alarm == Some(Item::RoadSpeed));
    rig.is_latched(Item::RoadSpeed);
}

#[test]
fn lifted_for_long_it_is_disarmed_and_lowering_arms_nothing() {
    let limits =
        LimitsConfig { raised_for: Micros::from_millis(60_000), ..LimitsConfig::default() };
    let mut rig = Rig::sowing(&SettingsConfig { limits, ..config(1) }, 2_000);
    rig.inputs.lift = false;
    let ticks = rig.until(6_100, |out| out.alarm == Some(Item::RaisedLong));
    assert!((5_990..=6_010).contains(&ticks), "after {ticks} ticks");
    rig.inputs.lift = true;
    rig.is_latched(Item::RaisedLong);
}

#[test]
fn a_shaft_that_turns_backwards_is_told_and_its_turns_are_counted_out() {
    let mut rig = Rig::sowing(&two_channel(), 2_000);
    let before = rig.controller.account().mass_ug;
    rig.shafts[0] = Shaft::Backwards(100_000);
    let ticks = rig.until(30, |out| out.alarm == Some(Item::ShaftBackwards));
    assert!(ticks <= 13, "12 edges at 100/s, told after {ticks} ticks");
    assert!(rig.outputs.at_rest());
    let mass = rig.controller.account().mass_ug;
    assert_eq!(mass, before, "backwards is not sown");
    // Forwards again: nothing is delivered before the cells are where they were.
    rig.shafts[0] = Shaft::Turns(0);
    rig.run(100);
    let behind = 13;
    rig.shafts[0] = Shaft::Follows(1_000);
    let from = rig.edges(0);
    rig.fresh_master();
    rig.run(50);
    let turned = rig.edges(0).wrapping_sub(from);
    let counted = rig.controller.tally(0).expect("a side").turned[0].edges
        + rig.controller.tally(0).expect("a side").turned[1].edges;
    let all = u64::from(rig.edges(0));
    assert!(turned > 2 * behind, "{turned} edges");
    assert!(counted.abs_diff(all) <= 2, "counted {counted} of {all}");
}

#[test]
fn a_shaft_that_springs_back_by_a_few_edges_is_no_fault() {
    let mut rig = Rig::sowing(&two_channel(), 2_000);
    for _ in 0..50 {
        rig.shafts[0] = Shaft::Backwards(100_000);
        rig.run(8);
        rig.shafts[0] = Shaft::Follows(1_000);
        rig.run(92);
        assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
    }
}

#[test]
fn a_lost_encoder_stops_and_a_deliberate_start_goes_on_by_the_map() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    assert_eq!(rig.controller.act(Act::ByMap(0), rig.inputs.now), Err(Refusal::NotAtRest));
    rig.shafts[0] = Shaft::Turns(0);
    rig.until(100, |out| out.alarm == Some(Item::ShaftSilent));
    rig.is_latched(Item::ShaftSilent);
    // Off and on alone tries the encoder again, and finds it silent again.
    rig.fresh_master();
    rig.until(200, |out| out.alarm == Some(Item::ShaftSilent));
    rig.inputs.master = false;
    rig.run(5);
    rig.controller.act(Act::ByMap(0), rig.inputs.now).expect("the encoder is lost");
    let before = rig.controller.account();
    rig.inputs.master = true;
    // The gap that the stop left is told for a while first.
    rig.run(1_000);
    let out = rig.outputs;
    assert_eq!((out.sides[0].state, out.alarm), (SideState::Sowing, Some(Item::ByMap)));
    assert!(rig.controller.runs_by_map(0) && out.sides[0].command > Command::ZERO);
    let after = rig.controller.account();
    let (area, mass) = (after.area_mm2 - before.area_mm2, after.mass_ug - before.mass_ug);
    // 110 kg/ha are 11 µg/mm².
    let off = mass.abs_diff(area * 11);
    assert!(off * 100 < mass, "{mass} µg on {area} mm²");
    let tally = rig.controller.tally(0).expect("a side");
    assert!(tally.by_map > 500, "told apart: {}", tally.by_map);
}

#[test]
fn once_the_encoder_follows_again_the_loop_is_closed() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Turns(0);
    rig.until(100, |out| out.alarm == Some(Item::ShaftSilent));
    rig.inputs.master = false;
    rig.run(5);
    rig.controller.act(Act::ByMap(0), rig.inputs.now).expect("the encoder is lost");
    rig.inputs.master = true;
    rig.run(300);
    rig.shafts[0] = Shaft::Follows(1_000);
    let ticks = rig.until(400, |out| out.alarm.is_none());
    assert!((200..=260).contains(&ticks), "after {ticks} ticks");
    assert!(!rig.controller.runs_by_map(0));
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_well_encoder_lets_nobody_run_by_the_map() {
    let mut rig = Rig::new();
    rig.run(10);
    assert_eq!(rig.controller.act(Act::ByMap(0), rig.inputs.now), Err(Refusal::ByMap));
    assert_eq!(rig.controller.act(Act::ByMap(7), rig.inputs.now), Err(Refusal::ByMap));
}

#[test]
fn a_stiff_shaft_is_told_before_the_correction_is_at_its_limit() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    // 0.3 % too slow whatever the valve does: the correction grows and grows.
    rig.shafts[0] = Shaft::Follows(997);
    rig.until(6_000, |out| out.alarm == Some(Item::OpenedTooFar));
    let told = rig.controller.corrected(0).expect("a side").per_mille();
    assert!((300..900).contains(&told), "told at {told} per mille");
    rig.until(6_000, |out| out.alarm == Some(Item::CorrectionAtLimit));
    let held = rig.controller.corrected(0).expect("a side").per_mille();
    // 800 per mille, and a tenth of full speed beside 0.733 turns/s.
    assert!((980..=1_030).contains(&held), "held at {held} per mille");
    assert_eq!(
        rig.outputs.sides[0].state,
        SideState::Sowing,
        "it goes on until it is switched off"
    );
}

#[test]
fn at_the_limit_it_is_not_armed_again_until_it_is_mended() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Follows(920);
    rig.until(12_000, |out| out.alarm == Some(Item::CorrectionAtLimit));
    rig.fresh_master();
    rig.run(100);
    rig.is_latched(Item::CorrectionAtLimit);
    rig.fresh_master();
    rig.is_latched(Item::CorrectionAtLimit);
    let refused = rig.controller.act(Act::ForgetCorrections, rig.inputs.now);
    assert_eq!(refused, Err(Refusal::NotAtRest), "the master is on");
    rig.inputs.master = false;
    while rig.speed > 0 {
        rig.speed -= 20;
        rig.step();
    }
    rig.run(300);
    rig.controller.act(Act::ForgetCorrections, rig.inputs.now).expect("at rest");
    rig.shafts[0] = Shaft::Follows(1_000);
    rig.speed = 2_000;
    rig.fresh_master();
    // The gap that the stop left is told for a while first.
    rig.run(1_000);
    assert_eq!((rig.outputs.sides[0].state, rig.outputs.alarm), (SideState::Sowing, None));
}

#[test]
fn a_rate_outside_its_band_for_the_set_way_is_told() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    rig.shafts[0] = Shaft::Follows(880);
    let ticks = rig.until(1_100, |out| out.alarm == Some(Item::RateOff));
    // 20 m at 2 m/s, once the windows show it.
    assert!((1_000..=1_020).contains(&ticks), "told after {ticks} ticks");
}
