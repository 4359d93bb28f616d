//! Two boxes, seed lots, outlets shut: what is metered, what is counted, and what a power cut leaves.

use crate::rig::{PER_TURN, Rig, config, rate, turns};
use controller::quantity::{MicrogramsPerTurn, Micrometres, Micros, MilligramsPerSquareMetre};
use controller::run::{CatchRun, Run};
use controller::section::SideState;
use controller::seed::{Lot, MeterPoint, Product};
use controller::settings::{Rule, SettingsConfig};
use controller::watch::Item;
use controller::{Act, Controller, Refusal, Settings};

/// Two boxes over the same 4 m; the small seed is on the second side, or on the first.
fn boxes(second: usize) -> SettingsConfig {
    let mut config = config(2);
    config.sides[second].product = Product::Second;
    config.sides[second].meter = one(12_000_000);
    config.second_rate = Some(MilligramsPerSquareMetre::from_whole(800));
    config
}

/// A curve of one catch.
fn one<T: FromIterator<MeterPoint>>(mass: u64) -> T {
    core::iter::once(MeterPoint { shaft: turns(1_000), mass: MicrogramsPerTurn::new(mass) })
        .collect()
}

fn lot(mass: u64) -> Lot {
    let rate = MilligramsPerSquareMetre::from_whole(11_000);
    Lot { product: Product::First, rate, meter: one(mass) }
}

const fn outlets(side: usize, open: u16, narrows: bool) -> Act {
    Act::Outlets { side, open, narrows }
}

/// Raw edges of the first side since the last fold.
fn edges(rig: &Rig) -> u64 {
    rig.controller.tally(0).expect("a side").turned.iter().map(|turned| turned.edges).sum()
}

#[test]
fn ground_counts_once_for_each_box_and_once_in_all_whichever_is_on() {
    for second in [0, 1] {
        let mut rig = Rig::sowing(&boxes(second), 2_000);
        let areas = |rig: &Rig| {
            let of = |product| rig.controller.account_of(product).area_mm2;
            [of(Product::First), of(Product::Second), rig.controller.account().area_mm2]
        };
        let before = areas(&rig);
        for (ticks, [first, other]) in
            [(500, [true, true]), (300, [true, false]), (200, [false, true]), (100, [false, false])]
        {
            rig.inputs.sides[1 - second].switch = first;
            rig.inputs.sides[second].switch = other;
            rig.run(ticks);
        }
        let after = areas(&rig);
        // 20 mm a tick on 4 m; a pulse more or less on each change, 31 000 mm² each.
        for (place, ticks) in [800_u64, 700, 1_000].into_iter().enumerate() {
            let (have, want) = (after[place] - before[place], ticks * 80_000);
            assert!(have.abs_diff(want) < 70_000, "{place}: {have} mm², want {want}");
        }
    }
}

#[test]
fn sides_of_two_boxes_that_lie_apart_share_no_ground() {
    let mut config = boxes(1);
    config.sides[0].offset = Micrometres::from_millimetres(2_000);
    config.sides[1].offset = Micrometres::from_millimetres(-2_000);
    let rig = Rig::sowing(&config, 2_000);
    let of = |product| rig.controller.account_of(product).area_mm2;
    let all = rig.controller.account().area_mm2;
    assert!(all > 10_000_000);
    assert_eq!(all, of(Product::First) + of(Product::Second));
}

#[test]
fn a_rate_and_a_fill_belong_to_their_box() {
    let mut rig = Rig::sowing(&boxes(1), 2_000);
    let before = [0, 1].map(|side| rig.outputs.sides[side].wanted.to_bits());
    let rate = MilligramsPerSquareMetre::from_whole(1_600);
    let now = rig.inputs.now;
    rig.controller.act(Act::Rate { product: Product::Second, rate }, now).expect("possible");
    let fill = Act::Filled { product: Product::Second, micrograms: 50_000_000_000 };
    rig.controller.act(fill, now).expect("possible");
    let metered = rig.controller.account_of(Product::Second).mass_ug;
    rig.run(100);
    let after = [0, 1].map(|side| rig.outputs.sides[side].wanted.to_bits());
    let off = (after[0] - before[0]).abs();
    assert!(off * 1_000 < before[0], "the other box goes on at {}", after[0]);
    let off = (after[1] - 2 * before[1]).abs();
    assert!(off * 1_000 < before[1], "{} from {}", after[1], before[1]);
    let used = rig.controller.account_of(Product::Second).mass_ug - metered;
    assert!(used > 0);
    assert_eq!(rig.controller.hopper_left(Product::Second), 50_000_000_000 - used);
    assert_eq!(rig.controller.hopper_left(Product::First), 0, "never filled");
}

#[test]
fn a_box_that_is_not_there_has_no_rate_fill_or_lot() {
    let mut rig = Rig::new();
    let (product, now) = (Product::Second, rig.inputs.now);
    let rate = MilligramsPerSquareMetre::from_whole(800);
    let refused = Err(Refusal::NoProduct);
    assert_eq!(rig.controller.act(Act::Rate { product, rate }, now), refused);
    assert_eq!(rig.controller.act(Act::Filled { product, micrograms: 1 }, now), refused);
    assert_eq!(rig.controller.set_lot(&Lot { product, ..lot(100_000_000) }, now), refused);
}

#[test]
fn mass_by_lots_adds_up_exactly() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let (mut mass, mut grams) = (0, 120_000_000);
    for next in [100_000_001, 133_333_333, 120_000_000] {
        rig.run(500);
        let before = rig.controller.account();
        mass += edges(&rig) * grams / PER_TURN;
        assert_eq!(before.mass_ug, mass, "by the lot of {grams} µg");
        let wanted = i64::from(rig.outputs.sides[0].wanted.to_bits());
        rig.controller.set_lot(&lot(next), rig.inputs.now).expect("a good lot");
        assert_eq!(rig.controller.account(), before, "what was sown stays sown");
        assert_eq!(edges(&rig), 0, "folded");
        rig.step();
        let want = wanted * i64::try_from(grams).unwrap() / i64::try_from(next).unwrap();
        let now = i64::from(rig.outputs.sides[0].wanted.to_bits());
        // The speed by pulses trembles by some 100 ppm from tick to tick.
        assert!((now - want).abs() * 1_000 < want, "wanted {now}, by the new lot {want}");
        grams = next;
    }
}

#[test]
fn a_lot_that_breaks_a_rule_changes_nothing() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    let before = rig.controller.snapshot();
    let wrong = |lot: Lot, rig: &mut Rig| match rig.controller.set_lot(&lot, rig.inputs.now) {
        Err(Refusal::Settings(error)) => (error.rule, error.side),
        other => panic!("{other:?}"),
    };
    let none = Lot { meter: heapless::Vec::new(), ..lot(1) };
    assert_eq!(wrong(none, &mut rig), (Rule::MeterPoints, Some(0)));
    assert_eq!(wrong(lot(199_999), &mut rig), (Rule::MeterMass, Some(0)));
    let sparse = Lot { rate: MilligramsPerSquareMetre::from_whole(49), ..lot(120_000_000) };
    assert_eq!(wrong(sparse, &mut rig), (Rule::Rate, None));
    assert_eq!(wrong(lot(200_000), &mut rig), (Rule::TurnsPerMetre, Some(0)));
    assert_eq!(rig.controller.snapshot(), before);
}

#[test]
fn neither_lot_nor_outlets_change_while_a_catch_turns() {
    let mut rig = Rig::new();
    rig.run(50);
    let run = CatchRun {
        side: 0,
        shaft: turns(1_000),
        prime: 0,
        edges: 1_800,
        at_most: Micros::from_millis(10_000),
    };
    rig.controller.act(Act::ArmRun(Run::Catch(run)), rig.inputs.now).expect("at rest");
    rig.run(5);
    rig.inputs.hold = true;
    rig.until(3, |out| out.sides[0].state == SideState::Run);
    let now = rig.inputs.now;
    assert_eq!(rig.controller.set_lot(&lot(100_000_000), now), Err(Refusal::Turning));
    assert_eq!(rig.controller.act(outlets(0, 20, false), now), Err(Refusal::Turning));
}

#[test]
fn outlets_shut_change_mass_and_width_and_leave_the_shaft_alone() {
    let mut rig = Rig::sowing(&config(1), 2_000);
    for (open, narrows, width) in [(18, false, 24), (18, true, 18), (1, true, 1), (24, true, 24)] {
        let wanted = rig.outputs.sides[0].wanted;
        rig.controller.act(outlets(0, open, narrows), rig.inputs.now).expect("possible");
        let before = rig.controller.account();
        rig.run(1_000);
        let after = rig.controller.account();
        let now = rig.outputs.sides[0].wanted;
        let off = (now.to_bits() - wanted.to_bits()).abs();
        assert!(off * 1_000 < wanted.to_bits(), "open outlets keep their rate, {wanted:?} {now:?}");
        let mass = edges(&rig) * 120_000_000 * u64::from(open) / (PER_TURN * 24);
        assert!((after.mass_ug - before.mass_ug).abs_diff(mass) <= 1, "mass with {open} open");
        let area = (after.distance_um - before.distance_um) * 4 * width / 24;
        assert!((after.area_mm2 - before.area_mm2).abs_diff(area) <= 5, "area with {open} open");
    }
}

#[test]
fn more_outlets_than_there_are_or_none_are_refused() {
    let mut rig = Rig::new();
    for act in [outlets(0, 0, false), outlets(0, 25, true), outlets(1, 20, false)] {
        assert_eq!(rig.controller.act(act, rig.inputs.now), Err(Refusal::Outlets), "{act:?}");
    }
}

#[test]
fn a_narrowed_box_shares_no_more_ground_than_it_sows() {
    let mut rig = Rig::sowing(&boxes(1), 2_000);
    rig.controller.act(outlets(1, 12, true), rig.inputs.now).expect("possible");
    let of = |rig: &Rig, product| rig.controller.account_of(product).area_mm2;
    let before = [of(&rig, Product::First), rig.controller.account().area_mm2];
    rig.run(1_000);
    let after = [of(&rig, Product::First), rig.controller.account().area_mm2];
    // All that the narrow one sows lies under the wide one.
    assert!((after[1] - before[1]).abs_diff(after[0] - before[0]) <= 10, "{before:?}, {after:?}");
}

/// A drill that has worked with a lot of its own and outlets shut, and what it kept.
fn worked() -> Rig {
    let mut rig = Rig::sowing(&boxes(1), 2_000);
    rig.controller.set_lot(&lot(100_000_000), rig.inputs.now).expect("a good lot");
    rig.controller.act(rate(9_000), rig.inputs.now).expect("possible");
    rig.controller.act(outlets(1, 20, true), rig.inputs.now).expect("possible");
    rig.run(500);
    rig
}

#[test]
fn lot_rates_and_outlets_in_force_come_back_after_a_power_cut() {
    let rig = worked();
    let kept = rig.controller.snapshot();
    let mut again = Controller::new(Settings::new(&boxes(1)).expect("valid"));
    again.restore(&kept).expect("a snapshot of this drill");
    assert_eq!(again.snapshot(), kept, "taken up");
    assert_eq!(again.account(), rig.controller.account());
    let mut back = Rig::of(&boxes(1));
    back.controller = again;
    back.speed = 2_000;
    back.run(10);
    back.inputs.master = true;
    back.run(300);
    for side in 0..2 {
        let wanted = [&rig, &back].map(|rig| rig.outputs.sides[side].wanted.to_bits());
        assert!((wanted[0] - wanted[1]).abs() < 100, "side {side} wants {wanted:?}");
    }
}

#[test]
fn what_was_sown_is_not_converted_anew_by_other_settings() {
    let rig = Rig::sowing(&config(1), 2_000);
    let kept = rig.controller.snapshot();
    let mut config = config(1);
    config.sides[0].width = Micrometres::from_millimetres(3_000);
    config.sides[0].meter = one(90_000_000);
    let mut again = Controller::new(Settings::new(&config).expect("valid"));
    again.restore(&kept).expect("no lot was in force");
    assert_eq!(again.account(), rig.controller.account());
}

#[test]
fn a_lot_over_other_catches_is_not_used_in_silence() {
    let kept = worked().controller.snapshot();
    let mut config = boxes(1);
    config.sides[0].meter = one(110_000_000);
    let mut rig = Rig::of(&config);
    assert_eq!(rig.controller.restore(&kept), Err(Refusal::Lot(Product::First)));
    assert_eq!(rig.controller.account().mass_ug, 0, "nothing was taken up");
    rig.speed = 2_000;
    for _ in 0..5 {
        rig.fresh_master();
        assert!(rig.outputs.at_rest(), "metered by a curve that nobody knows");
        assert_eq!(rig.outputs.alarm, Some(Item::SettingsInvalid));
    }
    let other = Lot { product: Product::Second, ..lot(12_000_000) };
    rig.controller.set_lot(&other, rig.inputs.now).expect("a good lot");
    assert!(rig.step().at_rest(), "the lot of the other box answers nothing");
    rig.controller.set_lot(&lot(105_000_000), rig.inputs.now).expect("a good lot");
    rig.controller.restore(&kept).expect("the lot is known");
    assert_eq!(rig.controller.account_of(Product::First).mass_ug, kept.sides[0].mass_ug);
    rig.inputs.master = false;
    rig.run(10);
    rig.inputs.master = true;
    rig.run(300);
    assert_eq!(rig.outputs.sides[0].state, SideState::Sowing, "{:?}", rig.outputs.alarm);
}

#[test]
fn a_snapshot_laid_over_a_used_one_is_the_same() {
    let worked = worked();
    let laid_over = |other: &Controller| {
        let mut used = worked.controller.snapshot();
        other.snapshot_into(&mut used);
        assert_eq!(used, other.snapshot());
    };
    laid_over(&Controller::new(Settings::new(&boxes(1)).expect("valid")));
    laid_over(&Controller::unconfigured());
    laid_over(&worked.controller);
}
