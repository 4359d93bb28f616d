//! The operator's panel: states, alarms, lamps, warnings, log.

use crate::panel_rig::{CHOOSE, Cab, FILLED, NEXT, NONE};
use crate::rig::{Rig, Shaft, config};
use controller::panel::{DrillState, EventKind, Pattern, Wish};
use controller::quantity::Position;
use controller::sense::PositionSample;
use controller::watch::{Class, Item};

#[test]
fn the_four_states_have_their_words_and_lamps() {
    let mut cab = Cab::of(Rig::new());
    let is = |cab: &Cab, word: &str, state: DrillState| {
        assert!(cab.rows()[0].starts_with(word), "{state:?}: have {:?}", cab.rows());
        assert_eq!(cab.panel.signals().state, Pattern::of_state(state));
    };
    is(&cab, "STOP", DrillState::Stopped);
    cab.rig.inputs.master = true;
    cab.wait(2);
    is(&cab, "WAIT too slow", DrillState::Waiting);
    cab.rig.speed = 2_000;
    cab.wait(20);
    is(&cab, "SOWING", DrillState::Turning);
    cab.rig.inputs.lift = false;
    cab.wait(2);
    is(&cab, "WAIT lifted", DrillState::Waiting);
    cab.rig.inputs.master = false;
    cab.wait(2);
    is(&cab, "OFF", DrillState::Off);
    assert_eq!(cab.values(EventKind::Master), [1, 0]);
    assert_eq!(cab.values(EventKind::State), [4, 6, 2, 1], "of side 1");
}

#[test]
fn an_alarm_says_what_to_do_until_it_is_noticed_and_the_lamp_stays() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.rig.shafts[0] = Shaft::Turns(0);
    cab.wait(20);
    assert_eq!(cab.rows()[..2], ["shaft silent", "Oil off first. Then"]);
    let signals = cab.panel.signals();
    assert_eq!(signals.buzzer, Pattern::of_buzzer(Some(Class::Latch)));
    cab.press(NEXT);
    assert!(cab.rows()[0].starts_with("STOP!"), "the page again: {:?}", cab.rows());
    let signals = cab.panel.signals();
    assert_eq!(signals.buzzer, Pattern::of_buzzer(None), "silent");
    assert_eq!(signals.alarm, Pattern::of_alarm(Some(Class::Latch)), "lit");
    let number = u32::from(Item::ShaftSilent.number());
    assert_eq!(cab.values(EventKind::AlarmOn).last(), Some(&number));
    assert_eq!(cab.values(EventKind::Noticed), [number]);
    cab.rig.shafts[0] = Shaft::Follows(1_000);
    cab.rig.fresh_master();
    // The gap that the stop left is shown for five seconds.
    cab.wait(90);
    assert!(cab.values(EventKind::AlarmOff).contains(&number), "it went");
    assert!(cab.rows()[0].starts_with("SOWING "), "have {:?}", cab.rows());
}

#[test]
fn an_alarm_of_a_single_tick_between_two_looks_is_told() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    let outputs = cab.rig.step_after(25_000);
    assert_eq!(outputs.alarm, Some(Item::TickLate));
    cab.panel.note(&outputs);
    cab.look(NONE);
    assert_eq!(cab.rig.outputs.alarm, None, "it is over");
    assert_eq!(cab.rows()[0], "tick late");
}

#[test]
fn an_alarm_drops_an_open_question() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.press(CHOOSE);
    cab.press(crate::panel_rig::UP);
    cab.rig.inputs.hopper_empty = Some(true);
    cab.wait(12);
    assert_eq!(cab.rows()[0], "box empty");
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[0], "Take this lot?", "it is a first press again");
    assert_eq!(cab.wishes, []);
}

#[test]
fn a_box_that_is_low_is_told_by_the_countdown_and_a_fill_ends_it() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.press(FILLED);
    for _ in 0..22 {
        cab.press(crate::panel_rig::DOWN);
    }
    cab.press(CHOOSE);
    cab.look(NONE);
    assert_eq!(cab.wishes, [Wish::Filled { product: 0, content_ug: 50_000_000_000 }]);
    // The message stands for three seconds, but an alarm does not wait.
    assert_eq!(cab.rows()[0], "box low");
    assert_eq!(cab.panel.view().alarm, Some(Item::BoxLow));
    cab.press(FILLED);
    cab.press(CHOOSE);
    cab.wait(25);
    assert_eq!(cab.panel.view().alarm, None);
}

#[test]
fn a_box_that_will_not_last_the_pass_is_told_in_its_first_metres() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 4_000));
    // A pass of some 120 m takes 5.3 kg. With 25 kg four more are possible, and no fifth.
    cab.press(FILLED);
    for _ in 0..30 {
        cab.press(crate::panel_rig::DOWN);
    }
    cab.press(CHOOSE);
    let mut told = Vec::new();
    for pass in 0..6 {
        cab.rig.inputs.lift = true;
        // An alarm before it is shown for two seconds.
        cab.wait(25);
        if cab.panel.view().alarm == Some(Item::BoxWillNotLast) {
            told.push(pass);
        }
        cab.wait(275);
        cab.rig.inputs.lift = false;
        cab.wait(40);
    }
    assert!(!told.is_empty() && !told.contains(&0) && !told.contains(&1), "in passes {told:?}");
    assert_eq!(told.first(), Some(&4), "25 kg last some 4.7 passes, have {told:?}");
}

#[test]
fn events_are_numbered_and_carry_time_way_and_place() {
    let mut cab = Cab::of(Rig::sowing(&config(2), 2_000));
    cab.wait(2);
    let position = Position::new(545_736_382, 102_017_834).expect("a place");
    let at = cab.rig.inputs.now;
    cab.rig.inputs.position = Some(PositionSample { position, at });
    cab.rig.inputs.sides[1].switch = false;
    cab.wait(3);
    let numbers: Vec<u32> = cab.events.iter().map(|event| event.number).collect();
    let expected: Vec<u32> = (1..).take(numbers.len()).collect();
    assert_eq!(numbers, expected, "consecutive from 1");
    let off = cab.events.iter().rfind(|event| event.kind == EventKind::Switch).expect("an event");
    assert_eq!((off.value, off.side, off.position), (0, Some(1), Some(position)));
    assert!(off.way_mm > 4_000 && off.at_ms > 0, "{off:?}");
    assert!(off.line().ends_with("side=2 lat=54.5736382 lon=10.2017834"), "{}", off.line());
}

#[test]
fn events_that_nobody_takes_are_counted_as_dropped() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    let before = cab.events.len();
    let mut look = |switch| {
        cab.rig.inputs.sides[0].switch = switch;
        for _ in 0..3 {
            cab.rig.run(5);
            let seen =
                controller::panel::Seen::of(&cab.rig.controller, &cab.rig.inputs, &cab.rig.outputs);
            cab.panel.update(seen, NONE, cab.rig.inputs.now);
        }
    };
    for round in 0..60 {
        look(round % 2 == 1);
    }
    let dropped = cab.panel.events_dropped();
    let kept: Vec<u32> =
        std::iter::from_fn(|| cab.panel.take_event()).map(|event| event.number).collect();
    assert_eq!(kept.len(), controller::panel::WAITING);
    assert!(dropped > 50, "have {dropped}");
    cab.look(NONE);
    cab.rig.inputs.sides[0].switch = false;
    cab.wait(2);
    let next = cab.events[before].number;
    assert_eq!(next, kept[kept.len() - 1] + 1 + dropped, "numbers tell what is missing");
}
