//! Two products, lots and outlets under any inputs: ground in all, folds that lose nothing.

use crate::rig::{Feed, Step, config, sequence};
use controller::quantity::{
    MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre, TurnsPerSecond,
};
use controller::seed::{Lot, MeterPoint, Product};
use controller::{Act, Controller, Settings};
use proptest::collection::vec;
use proptest::prelude::*;

/// Two boxes over the same two strips, in an order that mixes them.
fn boxes(samples: bool, curve: bool) -> Settings {
    let mut config = config(4, samples, curve);
    let strips = [(1_500, Product::First), (1_500, Product::Second)];
    let strips = strips.into_iter().chain([(-1_500, Product::Second), (-1_500, Product::First)]);
    for (side, (offset, product)) in config.sides.iter_mut().zip(strips) {
        side.width = Micrometres::from_millimetres(3_000);
        side.offset = Micrometres::from_millimetres(offset);
        side.product = product;
    }
    config.second_rate = Some(MilligramsPerSquareMetre::from_whole(4_000));
    Settings::new(&config).expect("the settings are valid")
}

/// What changes by what counts convert.
#[derive(Clone, Debug)]
enum Change {
    Outlets { side: usize, open: u16, narrows: bool },
    Lot { product: Product, micrograms: u64 },
}

fn change() -> impl Strategy<Value = Change> {
    let product = prop_oneof![Just(Product::First), Just(Product::Second)];
    prop_oneof![
        (0..5_usize, 0..30_u16, any::<bool>()).prop_map(|(side, open, narrows)| Change::Outlets {
            side,
            open,
            narrows
        }),
        (product, 1_000_000..500_000_000_u64)
            .prop_map(|(product, micrograms)| Change::Lot { product, micrograms }),
    ]
}

/// Makes a change, whether it is accepted or not.
fn make(feed: &mut Feed, change: &Change) -> bool {
    let now = feed.inputs.now;
    match *change {
        Change::Outlets { side, open, narrows } => {
            feed.controller.act(Act::Outlets { side, open, narrows }, now).is_ok()
        }
        Change::Lot { product, micrograms } => {
            let shaft = TurnsPerSecond::from_bits(1 << 21);
            let catch = MeterPoint { shaft, mass: MicrogramsPerTurn::new(micrograms) };
            let rate = MilligramsPerSquareMetre::from_whole(8_000);
            let meter = core::iter::once(catch).collect();
            feed.controller.set_lot(&Lot { product, rate, meter }, now).is_ok()
        }
    }
}

/// What holds of the accounts at any time.
fn hold(controller: &Controller) -> Result<(), TestCaseError> {
    let [first, second] = Product::ALL.map(|product| controller.account_of(product));
    let all = controller.account();
    prop_assert!(all.area_mm2 <= first.area_mm2.saturating_add(second.area_mm2), "{all:?}");
    prop_assert!(all.area_mm2 >= first.area_mm2.max(second.area_mm2), "{all:?}");
    prop_assert_eq!(all.mass_ug, first.mass_ug.saturating_add(second.mass_ug));
    let sides = (0..4).map(|side| controller.side_account(side));
    let mass = sides.fold(0_u64, |sum, side| sum.saturating_add(side.mass_ug));
    prop_assert_eq!(all.mass_ug, mass, "each side belongs to one product");
    Ok(())
}

/// Steps at work, and what changes before some of them.
fn work() -> impl Strategy<Value = (Vec<Step>, Vec<(prop::sample::Index, Change)>)> {
    (sequence(), vec((any::<prop::sample::Index>(), change()), 0..8))
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 500,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn ground_in_all_is_no_less_than_of_each_product_and_no_more_than_of_both(
        (samples, curve) in any::<(bool, bool)>(),
        (steps, changes) in work(),
    ) {
        let mut feed = Feed::new(boxes(samples, curve), 0);
        for (index, step) in steps.iter().enumerate() {
            for (_, change) in changes.iter().filter(|(at, _)| at.index(steps.len()) == index) {
                make(&mut feed, change);
            }
            feed.step(step);
            hold(&feed.controller)?;
        }
    }

    #[test]
    fn a_change_of_lot_or_outlets_changes_nothing_that_was_sown(
        (samples, curve) in any::<(bool, bool)>(),
        (steps, changes) in work(),
    ) {
        let mut feed = Feed::new(boxes(samples, curve), 0);
        let mut totals = [controller::tally::Totals::default(); 4];
        for (index, step) in steps.iter().enumerate() {
            for (_, change) in changes.iter().filter(|(at, _)| at.index(steps.len()) == index) {
                let before = (feed.controller.account(), feed.controller.snapshot().sides);
                make(&mut feed, change);
                let after = (feed.controller.account(), feed.controller.snapshot().sides);
                prop_assert_eq!(before, after);
            }
            feed.step(step);
            for (side, kept) in totals.iter_mut().enumerate() {
                let now = feed.controller.tally(side).expect("a side").totals;
                prop_assert!(now.follows(kept), "{kept:?} fell to {now:?}");
                *kept = now;
            }
        }
    }

    #[test]
    fn a_snapshot_is_taken_up_whole_and_again(
        (samples, curve) in any::<(bool, bool)>(),
        (steps, changes) in work(),
    ) {
        let settings = boxes(samples, curve);
        let mut feed = Feed::new(settings.clone(), 0);
        for (index, step) in steps.iter().enumerate() {
            for (_, change) in changes.iter().filter(|(at, _)| at.index(steps.len()) == index) {
                make(&mut feed, change);
            }
            feed.step(step);
        }
        let kept = feed.controller.snapshot();
        let mut again = Controller::new(settings);
        prop_assert_eq!(again.restore(&kept), Ok(()));
        prop_assert_eq!(again.snapshot(), kept);
        prop_assert_eq!(again.account(), feed.controller.account());
    }
}

#[test]
fn the_sequences_sow_both_products_fold_and_share_ground() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let (mut accepted, mut shared, mut alone) = (0, 0, 0);
    for _ in 0..200 {
        let (steps, changes) = work().new_tree(&mut runner).expect("a case").current();
        let mut feed = Feed::new(boxes(false, true), 0);
        for (index, step) in steps.iter().enumerate() {
            for (_, change) in changes.iter().filter(|(at, _)| at.index(steps.len()) == index) {
                accepted += u32::from(make(&mut feed, change));
            }
            feed.step(step);
        }
        let [first, second] = Product::ALL.map(|product| feed.controller.account_of(product));
        let all = feed.controller.account().area_mm2;
        shared += u32::from(all < first.area_mm2.saturating_add(second.area_mm2));
        alone += u32::from(all > first.area_mm2.max(second.area_mm2));
    }
    assert!(accepted > 300 && shared > 50 && alone > 20, "{accepted}, {shared}, {alone}");
}
