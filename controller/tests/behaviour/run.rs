//! Runs at standstill: two acts, hold to run, counted to the edge.

use crate::rig::{PER_TURN, Rig, Shaft, config, sampled, turns};
use controller::measure::{DeliveryConfig, DeliveryPlan, SpinConfig, SpinPlan};
use controller::quantity::{Command, Micros};
use controller::run::{CatchRun, DeliveryRun, FillRun, Run, RunEnd, RunError, RunReport, SpinRun};
use controller::section::SideState;
use controller::watch::Item;
use controller::{Act, Refusal};

/// Ten turns at one turn per second, two minutes at most.
fn run() -> CatchRun {
    CatchRun {
        side: 0,
        shaft: turns(1_000),
        prime: 0,
        edges: 1_800,
        at_most: Micros::from_millis(120_000),
    }
}

fn arm(rig: &mut Rig, run: CatchRun) -> Result<(), Refusal> {
    rig.controller.act(Act::ArmRun(Run::Catch(run)), rig.inputs.now)
}

/// A rig whose shaft turns for a catch.
fn turning(run: CatchRun) -> Rig {
    let mut rig = Rig::of(&config(2));
    rig.run(50);
    arm(&mut rig, run).expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.until(3, |out| out.sides[0].state == SideState::Run);
    rig
}

/// The report, once the run-out is over.
fn report(rig: &mut Rig) -> RunReport {
    for _ in 0..300 {
        if let Some(report) = rig.controller.take_run_report() {
            return report;
        }
        rig.step();
    }
    panic!("no report")
}

#[test]
fn the_shaft_turns_after_both_acts_and_stops_at_the_set_turns() {
    let mut rig = turning(run());
    assert!(rig.outputs.supply && rig.outputs.sides[0].command > Command::ZERO);
    assert_eq!(rig.outputs.sides[1].command, Command::ZERO, "the other side stands");
    let before = rig.edges(0);
    rig.until(1_100, controller::Outputs::at_rest);
    let counted = rig.edges(0) - before;
    // It is told to stop before: the shaft runs on for dead time and lag, 0.2 s or 36 edges at one turn a second.
    assert!((1_763..=1_765).contains(&counted), "stopped after {counted} edges");
    rig.shafts[0] = Shaft::Turns(180_000);
    rig.run(20);
    rig.shafts[0] = Shaft::Turns(0);
    let report = report(&mut rig);
    assert_eq!(report.end, RunEnd::Done);
    assert_eq!(report.edges, rig.edges(0), "every edge is counted, the run-out too");
    assert!((1_798..=1_802).contains(&report.edges), "{} edges", report.edges);
    assert!(rig.controller.take_run_report().is_none(), "a report is taken once");
}

#[test]
fn a_catch_leaves_the_tally_alone() {
    let mut rig = turning(run());
    rig.until(1_100, controller::Outputs::at_rest);
    rig.shafts[0] = Shaft::Turns(180_000);
    rig.run(20);
    rig.shafts[0] = Shaft::Turns(0);
    report(&mut rig);
    rig.run(100);
    assert!(u64::from(rig.edges(0)) >= 10 * PER_TURN - 2);
    assert_eq!(rig.controller.account().mass_ug, 0);
    assert_eq!(
        rig.controller.tally(0).expect("a side").turned.iter().map(|t| t.edges).sum::<u64>(),
        0
    );
}

#[test]
fn the_first_turns_are_thrown_away_and_the_container_waits_for_a_fresh_press() {
    // Two turns first, then ten.
    let mut rig = turning(CatchRun { prime: 2 * 180, ..run() });
    let ticks = rig.until(300, controller::Outputs::at_rest);
    assert!((195..=205).contains(&ticks), "two turns took {ticks} ticks");
    assert!(rig.controller.is_primed());
    for _ in 0..300 {
        assert!(rig.step().at_rest(), "held on, it must not go on");
    }
    let refused = arm(&mut rig, run());
    assert_eq!(refused, Err(Refusal::Run(RunError::NotAtRest)), "a primed run is not over");
    rig.inputs.hold = false;
    rig.run(500);
    let before = rig.edges(0);
    rig.inputs.hold = true;
    rig.until(1_100, |out| !out.at_rest());
    rig.until(1_100, controller::Outputs::at_rest);
    let counted = rig.edges(0) - before;
    let report = report(&mut rig);
    assert_eq!((report.end, report.edges), (RunEnd::Done, counted), "the first turns do not count");
    assert_eq!(rig.controller.account().mass_ug, 0, "nor are they sown");
}

#[test]
fn a_fill_turns_while_the_button_is_held_and_no_longer_than_its_time() {
    let fill = FillRun { side: 0, shaft: turns(500), at_most: Micros::from_millis(20_000) };
    for (held, end) in [(700, RunEnd::Released), (2_500, RunEnd::Time)] {
        let mut rig = Rig::new();
        rig.run(10);
        rig.controller.act(Act::ArmRun(Run::Fill(fill)), rig.inputs.now).expect("at rest");
        rig.run(5);
        rig.inputs.hold = true;
        rig.run(held);
        let edges = rig.edges(0);
        rig.inputs.hold = false;
        assert!(rig.step().at_rest());
        assert_eq!(report(&mut rig).end, end, "held for {held} ticks");
        let wanted = held.min(2_000) * 90 / 100;
        assert!(edges.abs_diff(wanted) <= 5, "{edges} edges, {wanted} wanted");
    }
}

#[test]
fn a_spin_gives_the_valve_the_commands_of_its_plan_and_ends_with_it() {
    let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).expect("a plan");
    let mut rig = Rig::of(&config(2));
    rig.run(10);
    rig.shafts[0] = Shaft::Turns(20_000);
    rig.controller
        .act(Act::ArmRun(Run::Spin(SpinRun { side: 0, plan, box_empty: true })), rig.inputs.now)
        .expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.until(3, |out| out.sides[0].state == SideState::Run);
    let started = rig.inputs.now.micros();
    for _ in 0..(plan.length().get() / 10_000 - 2) {
        let out = rig.step();
        let since = Micros::new(rig.inputs.now.micros().wrapping_sub(started));
        assert_eq!(
            Some(out.sides[0].command),
            plan.command(since.saturating_add(Micros::new(10_000)))
        );
        assert_eq!(out.sides[1].command, Command::ZERO, "the other side rests");
        assert_eq!(out.alarm, None);
    }
    rig.shafts[0] = Shaft::Turns(0);
    assert!(rig.run(3).at_rest(), "the plan is over");
    assert_eq!(report(&mut rig).end, RunEnd::Done);
}

#[test]
fn a_delivery_run_lights_its_lamp_and_starts_the_shaft_at_the_moments_of_its_plan() {
    let plan = DeliveryPlan::new(DeliveryConfig { trials: 3, odd: 7 }).expect("a plan");
    let mut rig = Rig::new();
    rig.run(10);
    let run = DeliveryRun { side: 0, shaft: turns(500), plan };
    rig.controller.act(Act::ArmRun(Run::Delivery(run)), rig.inputs.now).expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.step();
    let started = rig.inputs.now.micros();
    let (mut starts, mut lamps, mut was) = (0, 0, (false, false));
    for _ in 0..(plan.length().get() / 10_000 - 1) {
        let next = rig.inputs.now.plus(Micros::new(10_000));
        let lamp = rig.controller.advance_run(next);
        rig.step();
        let since = Micros::new(rig.inputs.now.micros().wrapping_sub(started));
        let moment = plan.moment(since).expect("the run goes on");
        let turning = rig.outputs.sides[0].state == SideState::Run;
        assert_eq!((lamp, turning), (moment.lamp, moment.turning), "at {since:?}");
        starts += u32::from(turning && !was.1);
        lamps += u32::from(lamp && !was.0);
        was = (lamp, turning);
        assert_eq!(rig.outputs.alarm, None);
    }
    assert_eq!((lamps, starts), (3, 3));
    rig.run(3);
    assert!(rig.outputs.at_rest());
    assert_eq!(report(&mut rig).end, RunEnd::Done);
    assert_eq!(rig.controller.account().mass_ug, 0, "nothing of it is sown");
}

#[test]
fn a_spin_needs_a_raised_drill_or_an_empty_box() {
    let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).expect("a plan");
    let arm = |lowered, box_empty| {
        let mut rig = Rig::new();
        rig.inputs.lift = lowered;
        rig.run(10);
        let run = Run::Spin(SpinRun { side: 0, plan, box_empty });
        rig.controller.act(Act::ArmRun(run), rig.inputs.now)
    };
    assert_eq!(arm(true, false), Err(Refusal::Run(RunError::Lowered)));
    assert_eq!([arm(true, true), arm(false, false), arm(false, true)], [Ok(()), Ok(()), Ok(())]);
}

#[test]
fn a_spin_whose_edges_come_from_the_wrong_shaft_stops_at_once() {
    let plan = SpinPlan::new(SpinConfig::about(Command::from_bits(13_107))).expect("a plan");
    let mut rig = Rig::of(&config(2));
    rig.run(200);
    rig.controller
        .act(Act::ArmRun(Run::Spin(SpinRun { side: 0, plan, box_empty: true })), rig.inputs.now)
        .expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.run(100);
    rig.shafts = [Shaft::Turns(0), Shaft::Turns(50_000), Shaft::Turns(0), Shaft::Turns(0)];
    let ticks = rig.until(20, |out| out.alarm == Some(Item::ShaftTurnsAtRest));
    assert!(rig.outputs.at_rest(), "after {ticks} ticks");
    assert_eq!(report(&mut rig).end, RunEnd::Broken);
}

#[test]
fn one_act_alone_turns_nothing() {
    let mut rig = Rig::new();
    rig.inputs.hold = true;
    for _ in 0..100 {
        assert!(rig.step().at_rest(), "the button alone");
    }
    rig.inputs.hold = false;
    rig.run(10);
    arm(&mut rig, run()).expect("at rest");
    for _ in 0..100 {
        assert!(rig.step().at_rest(), "arming alone");
    }
}

#[test]
fn a_button_held_while_arming_must_be_let_go_and_pressed_afresh() {
    let mut rig = Rig::new();
    rig.inputs.hold = true;
    rig.run(10);
    arm(&mut rig, run()).expect("at rest");
    for _ in 0..100 {
        assert!(rig.step().at_rest(), "a held button is no press");
    }
    rig.inputs.hold = false;
    rig.step();
    rig.inputs.hold = true;
    rig.until(3, |out| out.sides[0].state == SideState::Run);
}

#[test]
fn an_armed_run_that_is_not_used_for_30_seconds_is_dropped() {
    for (ticks, starts) in [(2_990, true), (3_010, false)] {
        let mut rig = Rig::new();
        rig.run(10);
        arm(&mut rig, run()).expect("at rest");
        rig.run(ticks);
        rig.inputs.hold = true;
        rig.run(5);
        assert_eq!(rig.outputs.sides[0].state == SideState::Run, starts, "after {ticks} ticks");
    }
}

#[test]
fn letting_go_stops_the_shaft_in_the_same_tick() {
    let mut rig = turning(run());
    rig.run(100);
    rig.inputs.hold = false;
    let out = rig.step();
    assert!(out.at_rest(), "{out:?}");
    rig.inputs.hold = true;
    for _ in 0..100 {
        assert!(rig.step().at_rest(), "pressing again starts nothing");
    }
    assert_eq!(report(&mut rig).end, RunEnd::Released);
}

#[test]
fn the_set_time_ends_a_run() {
    let mut rig = turning(CatchRun { at_most: Micros::from_millis(1_000), ..run() });
    let ticks = rig.until(200, controller::Outputs::at_rest);
    assert!((99..=101).contains(&ticks), "ended after {ticks} ticks");
    assert_eq!(report(&mut rig).end, RunEnd::Time);
}

#[test]
fn movement_and_the_master_break_a_run() {
    let mut rig = turning(run());
    rig.speed = 1_000;
    // Two ticks until a window of 20 ms shows the movement.
    let ticks = rig.until(10, controller::Outputs::at_rest);
    assert!(ticks <= 5, "moved for {ticks} ticks");
    assert_eq!(report(&mut rig).end, RunEnd::Broken);
    let mut rig = turning(run());
    rig.inputs.master = true;
    let out = rig.step();
    assert_eq!(out.sides[0].command, Command::ZERO, "the master is on");
    assert_eq!(report(&mut rig).end, RunEnd::Broken);
}

#[test]
fn movement_or_the_master_drops_an_armed_run() {
    let mut rig = Rig::new();
    rig.run(10);
    arm(&mut rig, run()).expect("at rest");
    rig.speed = 1_000;
    rig.run(20);
    rig.speed = 0;
    rig.run(300);
    rig.inputs.hold = true;
    for _ in 0..20 {
        assert!(rig.step().at_rest(), "an arming outlived a drive");
    }
}

#[test]
fn reversing_is_no_standstill() {
    let mut rig = Rig::of(&sampled());
    for _ in 0..10 {
        rig.run(9);
        rig.sample(-1_000, 100_000);
    }
    assert_eq!(arm(&mut rig, run()), Err(Refusal::Run(RunError::NotAtRest)));
    let mut rig = Rig::of(&sampled());
    rig.sample(0, 100_000);
    arm(&mut rig, run()).expect("at rest");
    rig.run(5);
    rig.sample(0, 100_000);
    rig.inputs.hold = true;
    rig.until(3, |out| out.sides[0].state == SideState::Run);
    for _ in 0..5 {
        rig.run(9);
        rig.sample(-1_000, 100_000);
    }
    assert!(rig.outputs.at_rest(), "the shaft turns while the drill reverses");
}

#[test]
fn a_silent_shaft_ends_a_run_and_latches() {
    let mut rig = turning(run());
    rig.shafts[0] = Shaft::Turns(0);
    rig.until(100, |out| out.alarm == Some(Item::ShaftSilent));
    assert!(rig.outputs.at_rest());
    assert_eq!(report(&mut rig).end, RunEnd::Broken);
    assert_eq!(arm(&mut rig, run()), Err(Refusal::Run(RunError::Stopped)));
    // Only a fresh off to on leaves the stop, and off again then.
    rig.inputs.hold = false;
    rig.fresh_master();
    rig.inputs.master = false;
    rig.run(10);
    arm(&mut rig, run()).expect("the fault is answered");
}

#[test]
fn a_run_is_refused_unless_everything_stands() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let not_at_rest = Err(Refusal::Run(RunError::NotAtRest));
    assert_eq!(arm(&mut rig, run()), not_at_rest, "sowing");
    rig.inputs.master = false;
    rig.run(5);
    assert_eq!(arm(&mut rig, run()), not_at_rest, "moving with the master off");
    rig.speed = 0;
    rig.run(100);
    // The last speed before the silence was steep: a lost source does not tell a standstill.
    assert_eq!(arm(&mut rig, run()), not_at_rest, "the source is lost");
    let mut rig = Rig::new();
    rig.inputs.sides[0].switch = false;
    rig.run(10);
    rig.inputs.master = true;
    rig.run(10);
    assert!(rig.outputs.at_rest());
    assert_eq!(arm(&mut rig, run()), not_at_rest, "the master is on");
}

#[test]
fn a_second_arming_does_not_lose_the_report_of_the_first() {
    let mut rig = turning(run());
    rig.run(200);
    rig.inputs.hold = false;
    rig.step();
    let again = arm(&mut rig, run());
    assert_eq!(again, Err(Refusal::Run(RunError::NotAtRest)), "the shaft still runs out");
    assert_eq!(report(&mut rig).end, RunEnd::Released);
    arm(&mut rig, run()).expect("over");
}

#[test]
fn wrong_numbers_are_named() {
    let mut rig = Rig::new();
    rig.run(10);
    let cases = [
        (CatchRun { side: 1, ..run() }, RunError::NoSuchSide),
        (CatchRun { shaft: turns(0), ..run() }, RunError::Shaft),
        (CatchRun { shaft: turns(1_651), ..run() }, RunError::Shaft),
        (CatchRun { edges: 0, ..run() }, RunError::Edges),
        (CatchRun { prime: 400_001, ..run() }, RunError::Edges),
        (CatchRun { edges: 4_000_001, ..run() }, RunError::Edges),
        (CatchRun { at_most: Micros::ZERO, ..run() }, RunError::Time),
        (CatchRun { at_most: Micros::from_millis(600_001), ..run() }, RunError::Time),
    ];
    for (run, error) in cases {
        assert_eq!(arm(&mut rig, run), Err(Refusal::Run(error)), "{run:?}");
    }
    let most = CatchRun {
        shaft: turns(1_650),
        edges: 4_000_000,
        at_most: Micros::from_millis(600_000),
        ..run()
    };
    arm(&mut rig, most).expect("the limits themselves are possible");
}
