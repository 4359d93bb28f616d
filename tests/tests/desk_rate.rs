//! Rates of mixes: what goes in comes out again, by every way, and the parts make the whole.

use proptest::prelude::*;
use sim::rate::{Given, Kind, Lot, Mix, Shares, Species, Target, Weighed, rate};

/// Any kind of seed of which everything is known.
fn lot() -> impl Strategy<Value = Lot> {
    let shares = (0.01..=1.0_f64, 0.0..=1.0_f64, 0.5..=1.0_f64, 0.0..=0.6_f64, 0.0..=0.9_f64);
    (shares, 1e-4..1.0_f64, prop::bool::ANY).prop_map(|(shares, thousand_kg, coated)| {
        let (germination, hard_of_rest, purity, coating, losses) = shares;
        let given = Given {
            thousand_kg: Some(thousand_kg),
            weighed: Some(if coated { Weighed::Coated } else { Weighed::Bare }),
            germination: Some(germination),
            hard: Some(hard_of_rest * (1.0 - germination)),
            purity: Some(purity),
            coating: Some(coating),
            losses: Some(losses),
            ..Given::default()
        };
        Lot::new(&given).expect("these go together")
    })
}

/// Any mix of one to five species.
fn mix() -> impl Strategy<Value = Mix> {
    let kinds = prop_oneof![Just(Shares::Mass), Just(Shares::Seeds), Just(Shares::Bag)];
    (prop::collection::vec((lot(), 0.05..1.0_f64), 1..=5), kinds).prop_map(|(lots, shares)| {
        let sum: f64 = lots.iter().map(|it| it.1).sum();
        let species = lots.into_iter().enumerate().map(|(at, (lot, share))| Species {
            name: format!("species {at}"),
            share: share / sum,
            lot,
        });
        let species = species.collect();
        Mix { name: None, demo: true, shares: Some(shares), row_m: Some(0.15), species }
    })
}

fn near(have: f64, want: f64) -> bool {
    (have / want - 1.0).abs() < 1e-9
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_bag_rate_turned_into_anything_and_back_is_the_same(mix in mix(), bag in 0.5..500.0_f64) {
        let there = rate(&mix, Target { kind: Kind::Bag, value: bag }).expect("all is known");
        let total = there.total;
        for (kind, value) in [
            (Kind::Plants, total.plants_per_m2),
            (Kind::Seeds, total.seeds_per_m2),
            (Kind::LiveSeeds, total.live_seeds_per_m2),
            (Kind::PureLiveSeed, total.pls_kg_per_ha),
        ] {
            let value = value.expect("all is known");
            let back = rate(&mix, Target { kind, value }).expect("all is known");
            prop_assert!(near(back.total.bag_kg_per_ha, bag), "{kind:?}: {} of {bag}", back.total.bag_kg_per_ha);
        }
    }

    #[test]
    fn the_species_of_a_mix_have_the_shares_that_were_written(mix in mix(), bag in 0.5..500.0_f64) {
        let rating = rate(&mix, Target { kind: Kind::Bag, value: bag }).expect("all is known");
        let bags: f64 = rating.species.iter().map(|it| it.figures.bag_kg_per_ha).sum();
        prop_assert!(near(bags, bag));
        for (species, rated) in mix.species.iter().zip(&rating.species) {
            let (part, whole) = match mix.shares {
                Some(Shares::Seeds) => (rated.figures.live_seeds_per_m2, rating.total.live_seeds_per_m2),
                Some(Shares::Mass) => (rated.figures.pls_kg_per_ha, rating.total.pls_kg_per_ha),
                Some(Shares::Bag) | None => (Some(rated.figures.bag_kg_per_ha), Some(bag)),
            };
            let share = part.zip(whole).map(|(part, whole)| part / whole).expect("all is known");
            prop_assert!(near(share, species.share), "{share} of {}", species.share);
        }
    }

    #[test]
    fn no_more_stands_than_lives_and_no_more_lives_than_is_laid(mix in mix(), bag in 0.5..500.0_f64) {
        let total = rate(&mix, Target { kind: Kind::Bag, value: bag }).expect("all is known").total;
        let all = (total.seeds_per_m2, total.live_seeds_per_m2, total.plants_per_m2);
        let (Some(laid), Some(live), Some(plants)) = all else { panic!("all is known") };
        prop_assert!(plants <= live * (1.0 + 1e-9) && live <= laid * (1.0 + 1e-9));
        prop_assert!(total.pls_kg_per_ha.is_some_and(|pls| pls <= bag * (1.0 + 1e-9)));
    }
}

#[test]
fn a_coated_count_and_a_bare_count_of_one_seed_agree() {
    // A third of the coated seed's mass is coating: a thousand bare ones weigh 2 g, coated 3 g.
    let given = |thousand_kg, weighed| Given {
        thousand_kg: Some(thousand_kg),
        weighed: Some(weighed),
        coating: Some(1.0 / 3.0),
        ..Given::default()
    };
    let bare = Lot::new(&given(0.002, Weighed::Bare)).expect("these go together");
    let coated = Lot::new(&given(0.003, Weighed::Coated)).expect("these go together");
    let seeds = |lot: &Lot| lot.per_bag_kg_per_ha(Kind::Seeds).expect("the size is known");
    assert!(near(seeds(&bare), seeds(&coated)));
    // 1 kg/ha of the bag: 100 mg/m² of seeds that weigh 3 mg each.
    assert!(near(seeds(&coated), 100.0 / 3.0), "{}", seeds(&coated));
}
