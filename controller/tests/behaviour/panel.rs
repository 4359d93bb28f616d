//! The operator's panel: acts.

use crate::panel_rig::{CHOOSE, Cab, DOWN, FIELD, FILLED, NEXT, NONE, UP};
use crate::rig::{Rig, Shaft, config};
use controller::panel::{EventKind, Wish};
use controller::quantity::MilligramsPerSquareMetre;
use controller::section::SideState;
use controller::seed::Product;

const fn rate(whole: u16) -> MilligramsPerSquareMetre {
    MilligramsPerSquareMetre::from_whole(whole)
}

#[test]
fn the_rate_goes_by_steps_to_its_limits_and_no_further() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    for expected in [11_500, 12_000] {
        cab.press(UP);
        let settings = cab.rig.controller.settings().expect("settings");
        assert_eq!(settings.rate(Product::First), rate(expected), "in force");
    }
    assert!(cab.rows()[1].contains("120.0/"), "have {:?}", cab.rows());
    cab.press(UP);
    assert_eq!(cab.rows()[..2], ["Not done", "rate at limit"]);
    assert_eq!(cab.wishes.len(), 2, "at the limit nothing is wished");
    cab.press(DOWN);
    assert_eq!(cab.wishes.len(), 2, "the word is read first");
    cab.press(DOWN);
    assert_eq!(cab.wishes.last(), Some(&Wish::Rate { product: 0, rate: rate(11_500) }));
    assert_eq!(
        cab.values(EventKind::Rate),
        [11_000_u32, 11_500, 12_000, 11_500].map(|rate| rate << 16)
    );
}

#[test]
fn a_rate_that_is_not_seen_is_shown_before_it_is_changed() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.press(NEXT);
    assert!(cab.rows()[0].starts_with("Shaft 1"), "have {:?}", cab.rows());
    cab.press(UP);
    assert_eq!(cab.wishes, [], "the first press shows it");
    assert!(cab.rows()[0].starts_with("SOWING"), "have {:?}", cab.rows());
    cab.press(UP);
    assert_eq!(cab.wishes, [Wish::Rate { product: 0, rate: rate(11_500) }]);
}

#[test]
fn a_lot_is_chosen_by_a_second_press_within_five_seconds() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[..2], ["Take this lot?", "wheat"]);
    cab.press(UP);
    assert_eq!(cab.rows()[1], "barley");
    cab.press(CHOOSE);
    assert_eq!(cab.wishes, [Wish::Lot(1)]);
    assert_eq!(cab.rows()[..2], ["Done", "lot chosen"]);
    assert_eq!(cab.values(EventKind::Lot), [2], "lots count from 1 in the log");
    cab.wait(31);
    cab.press(CHOOSE);
    cab.press(CHOOSE);
    assert_eq!(cab.wishes.len(), 1, "the lot in force, chosen by mistake, is no wish");
}

#[test]
fn a_late_press_a_no_and_another_button_choose_nothing() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.press(CHOOSE);
    cab.wait(50);
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[0], "Take this lot?", "after five seconds it is asked anew");
    for other in [NEXT, FILLED, FIELD] {
        cab.press(other);
        assert!(cab.rows()[0].starts_with("SOWING"), "{other:?}: have {:?}", cab.rows());
        cab.press(CHOOSE);
    }
    assert_eq!(cab.wishes, []);
}

#[test]
fn a_fill_is_told_by_bags_and_confirmed() {
    let mut cab = Cab::of(Rig::new());
    cab.press(NEXT);
    cab.press(FILLED);
    assert_eq!(cab.rows()[..2], ["Box 1 now holds?", "600.0kg"]);
    cab.press(DOWN);
    cab.press(UP);
    cab.press(UP);
    assert_eq!(cab.rows()[1], "600.0kg", "no more than the box holds");
    cab.press(DOWN);
    cab.press(CHOOSE);
    assert_eq!(cab.rig.controller.hopper_left(Product::First), 575_000_000_000);
    assert_eq!(cab.values(EventKind::Filled), [575_000], "g");
}

#[test]
fn a_field_counts_from_its_begin() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.wait(100);
    cab.press(FIELD);
    assert_eq!(cab.rows()[0], "Field begins?");
    cab.press(CHOOSE);
    let before = cab.rig.controller.account();
    cab.wait(200);
    let after = cab.rig.controller.account();
    let have = cab.panel.view().of_all();
    let close = |have: u64, want: u64| have.abs_diff(want) * 50 < want;
    assert!(close(have.area_mm2, after.area_mm2 - before.area_mm2), "area {have:?}");
    assert!(close(have.mass_ug, after.mass_ug - before.mass_ug), "mass {have:?}");
    assert!(close(have.distance_um, after.distance_um - before.distance_um), "way {have:?}");
    // 20 s at 2 m/s, 4 m wide: 160 m².
    assert!(close(have.area_mm2, 160_000_000), "area {have:?}");
    cab.press(FIELD);
    assert_eq!(cab.rows()[0], "Field ends?");
    cab.press(CHOOSE);
    assert_eq!(cab.values(EventKind::FieldBegins), [1]);
    assert!((158..=172).contains(&cab.values(EventKind::FieldEnds)[0]), "m²");
}

#[test]
fn a_wish_that_nobody_answers_is_not_done_and_says_so() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    let seen = |cab: &Cab| {
        controller::panel::Seen::of(&cab.rig.controller, &cab.rig.inputs, &cab.rig.outputs)
    };
    let mut wish = None;
    for buttons in [UP, UP] {
        cab.rig.run(5);
        wish = cab.panel.update(seen(&cab), buttons, cab.rig.inputs.now);
    }
    assert_eq!(wish, Some(Wish::Rate { product: 0, rate: rate(11_500) }));
    cab.look(NONE);
    assert_eq!(cab.rows()[..2], ["Not done", "no answer"]);
    assert_eq!(cab.values(EventKind::Refused), [u32::from(EventKind::Rate.number())]);
}

#[test]
fn what_the_core_refuses_is_said_with_its_reason() {
    let mut cab = Cab::of(Rig::new());
    cab.rig.controller = controller::Controller::unconfigured();
    cab.press(NEXT);
    cab.press(FILLED);
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[..2], ["Not done", "no settings"]);
    assert_eq!(cab.values(EventKind::Refused), [u32::from(EventKind::Filled.number())]);
}

#[test]
fn a_lost_encoder_goes_on_by_its_map_after_two_presses_with_the_master_off() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.rig.shafts[0] = Shaft::Turns(0);
    cab.wait(20);
    cab.press(NEXT);
    cab.press(CHOOSE);
    assert_ne!(cab.rows()[0], "Side 1 by map?", "the master is on");
    cab.press(NEXT);
    cab.rig.inputs.master = false;
    cab.wait(2);
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[0], "Side 1 by map?");
    cab.press(CHOOSE);
    assert_eq!(cab.values(EventKind::ByMap), [1]);
    cab.rig.inputs.master = true;
    cab.wait(100);
    assert!(cab.rig.controller.runs_by_map(0));
    assert_eq!(cab.rig.outputs.sides[0].state, SideState::Sowing);
}

#[test]
fn a_drive_that_is_barred_is_armed_again_once_it_was_mended() {
    let mut cab = Cab::of(Rig::sowing(&config(1), 2_000));
    cab.rig.shafts[0] = Shaft::Follows(920);
    cab.wait(600);
    cab.rig.inputs.master = false;
    while cab.rig.speed > 0 {
        cab.rig.speed -= 20;
        cab.rig.step();
    }
    cab.wait(60);
    cab.press(NEXT);
    cab.press(CHOOSE);
    assert_eq!(cab.rows()[0], "Drive mended?");
    cab.press(CHOOSE);
    assert_eq!(cab.values(EventKind::Mended), [0]);
    cab.rig.shafts[0] = Shaft::Follows(1_000);
    cab.rig.inputs.master = true;
    cab.rig.speed = 2_000;
    cab.wait(20);
    assert_eq!(cab.rig.outputs.sides[0].state, SideState::Sowing);
}
