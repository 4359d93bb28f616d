//! A side with a motorised valve: shut at rest, never two ways at once, no chatter, found out when it is wrong.

use crate::rig::{PER_TURN, Rig, Shaft, config};
use controller::drive::{HOLD_TICKS, MotorisedConfig, ValveKind, ValveTurn};
use controller::quantity::{Command, Micros};
use controller::section::SideState;
use controller::settings::SettingsConfig;
use controller::watch::Item;
use controller::{Outputs, Settings};

/// A tick's travel of a stroke of 3 s, in parts of 30 000.
const STEP: i64 = 100;
const OPEN: i64 = 30_000;

/// 120 % of the stroke in ticks.
const SHUT_IN: u32 = 360;

/// The rig with a valve between outputs and shaft.
struct Wired {
    rig: Rig,
    /// Where the valve stands.
    place: i64,
    /// Open and close are swapped in the plug.
    swapped: bool,
    last: ValveTurn,
    starts: u32,
}

fn settings(stroke: u32) -> SettingsConfig {
    let mut config = config(1);
    let motor = MotorisedConfig { stroke: Micros::from_millis(stroke), play: Micros::ZERO };
    for side in &mut config.sides {
        side.valve = ValveKind::Motorised(motor);
    }
    config
}

impl Wired {
    fn new(stroke: u32) -> Self {
        let mut rig = Rig::of(&settings(stroke));
        rig.shafts[0] = Shaft::Turns(0);
        Self { rig, place: 0, swapped: false, last: ValveTurn::Hold, starts: 0 }
    }

    /// A valve that sows at 2 m/s and has settled.
    fn sowing() -> Self {
        let mut wired = Self::new(3_000);
        wired.run(SHUT_IN + 10);
        wired.rig.speed = 2_000;
        wired.rig.inputs.master = true;
        wired.run(500);
        assert_eq!(wired.rig.outputs.sides[0].state, SideState::Sowing);
        wired
    }

    fn step(&mut self) -> Outputs {
        let out = self.rig.step();
        let turn = out.sides[0].turn;
        assert_eq!(out.sides[0].command, Command::ZERO, "a motorised valve has no command");
        let reversed = matches!(
            (self.last, turn),
            (ValveTurn::Open, ValveTurn::Close) | (ValveTurn::Close, ValveTurn::Open)
        );
        let at_work = out.sides[0].state == SideState::Sowing;
        assert!(!reversed || !at_work, "turned round without standing");
        self.starts += u32::from(turn != ValveTurn::Hold && self.last == ValveTurn::Hold);
        self.last = turn;
        let way = if self.swapped { -STEP } else { STEP };
        self.place += match turn {
            ValveTurn::Open => way,
            ValveTurn::Close => -way,
            ValveTurn::Hold => 0,
        };
        self.place = self.place.clamp(0, OPEN);
        // The map of the rig: from 0.2 at rest to 1.65 turns/s at 1; thousandths of an edge per second.
        let above = u64::try_from((self.place - OPEN / 5).max(0)).expect("not below");
        let rate = if out.supply { above * 1_650 * PER_TURN / 24_000 } else { 0 };
        self.rig.shafts[0] = Shaft::Turns(rate);
        out
    }

    fn run(&mut self, ticks: u32) -> Outputs {
        for _ in 0..ticks {
            self.step();
        }
        self.rig.outputs
    }
}

#[test]
fn it_is_driven_shut_for_a_fifth_more_than_its_stroke_before_anything_starts() {
    let mut wired = Wired::new(3_000);
    wired.place = OPEN;
    wired.rig.speed = 2_000;
    wired.run(10);
    wired.rig.inputs.master = true;
    for tick in 11..SHUT_IN {
        let out = wired.step();
        assert_eq!(out.sides[0].turn, ValveTurn::Close, "tick {tick} after power-up");
    }
    assert_eq!(wired.place, 0, "it stands at its stop");
    let opened = (0..10).any(|_| wired.step().sides[0].turn == ValveTurn::Open);
    assert!(opened, "then it opens");
}

#[test]
fn at_rest_it_is_driven_shut_for_a_fifth_more_than_its_stroke_and_held() {
    let mut wired = Wired::sowing();
    wired.rig.inputs.master = false;
    let out = wired.step();
    assert!(!out.supply, "the shut-off falls in the tick that reads the stop");
    assert!(out.at_rest(), "{out:?}");
    let mut shutting = u32::from(out.sides[0].turn == ValveTurn::Close);
    for _ in 0..SHUT_IN + 100 {
        shutting += u32::from(wired.step().sides[0].turn == ValveTurn::Close);
    }
    // A tick in which it was driven shut since it opened last counts too.
    assert!((SHUT_IN - 2..=SHUT_IN).contains(&shutting), "{shutting} ticks of shutting");
    assert_eq!(wired.place, 0, "it stands at its stop");
    assert_eq!(wired.last, ValveTurn::Hold);
}

#[test]
fn a_lifted_drill_is_shut_off_and_its_valve_driven_shut() {
    let mut wired = Wired::sowing();
    wired.rig.inputs.lift = false;
    wired.run(5);
    let out = wired.rig.outputs;
    assert_eq!(out.sides[0].state, SideState::Lifted);
    assert!(!out.supply, "a valve that takes its time leaves the stop to the shut-off");
    assert_eq!(out.sides[0].turn, ValveTurn::Close);
}

#[test]
fn at_a_steady_speed_it_does_not_chatter() {
    let mut wired = Wired::sowing();
    let before = wired.starts;
    wired.run(1_000);
    let starts = wired.starts - before;
    assert!(starts <= 30, "{starts} starts of the motor in 10 s at a steady speed");
    let wanted = i64::from(wired.rig.outputs.sides[0].wanted.to_bits());
    let measured = i64::from(wired.rig.outputs.sides[0].measured.to_bits());
    assert!((wanted - measured).abs() * 50 <= wanted, "within 2 %: {measured} of {wanted}");
}

#[test]
fn no_work_starts_the_motor_more_often_than_it_may() {
    let mut wired = Wired::sowing();
    let before = wired.starts;
    for tick in 0..1_000_u64 {
        // 1 to 3 m/s and back every 4 s.
        let phase = tick % 400;
        wired.rig.speed = 1_000 + 10 * phase.min(400 - phase);
        wired.step();
    }
    let starts = wired.starts - before;
    let most = 1_000 / (u32::from(HOLD_TICKS) + 1);
    assert!(starts > 20, "it follows: {starts}");
    assert!(starts <= most, "{starts} starts in 10 s, at most {most}");
}

#[test]
fn what_was_reckoned_wrong_is_forgotten_at_the_stop() {
    let mut wired = Wired::sowing();
    wired.rig.inputs.master = false;
    wired.run(SHUT_IN + 10);
    // Somebody opened it by hand a little and it was shut again: the stop is the stop.
    wired.rig.fresh_master();
    let ticks = (1..600).find(|_| {
        let out = wired.step();
        out.sides[0].measured.to_bits() * 10 > out.sides[0].wanted.to_bits() * 9
            && out.sides[0].wanted.to_bits() > 0
    });
    let ticks = ticks.expect("it comes back to its speed");
    // 0.2 + 0.8 · 0.733 / 1.65 of the travel are 167 ticks.
    assert!((120..=230).contains(&ticks), "{ticks} ticks to nine tenths of the speed");
}

#[test]
fn swapped_wires_are_found_as_a_silent_shaft() {
    let mut wired = Wired::new(3_000);
    wired.swapped = true;
    wired.run(SHUT_IN + 10);
    // Driven "shut" it stood open; the shut-off held the oil back. Now it is driven shut to open it.
    wired.rig.speed = 2_000;
    wired.rig.inputs.master = true;
    let latched = (0..2_000).find(|_| {
        let out = wired.step();
        matches!(out.alarm, Some(Item::ShaftSilent | Item::ShaftDoesNotFollow))
    });
    assert!(latched.is_some(), "alarm {:?}", wired.rig.outputs.alarm);
}

#[test]
fn strokes_and_plays_out_of_range_are_refused() {
    for (stroke, play, dead_time) in
        [(400, 0, 50), (21_000, 0, 50), (3_000, 501, 50), (3_000, 0, 301)]
    {
        let mut config = settings(3_000);
        let motor = MotorisedConfig {
            stroke: Micros::from_millis(stroke),
            play: Micros::from_millis(play),
        };
        for side in &mut config.sides {
            side.valve = ValveKind::Motorised(motor);
            side.dead_time = Micros::from_millis(dead_time);
        }
        assert!(Settings::new(&config).is_err(), "{stroke} ms, {play} ms, {dead_time} ms");
    }
}
