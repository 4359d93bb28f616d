//! The arithmetic of a settled fill: its uncertainty against draws at random, and laws that it keeps.

use proptest::prelude::*;
use sim::desk::settle::{Sure, kg_per_turn, laid_kg, mean, over_kg, rate_kg_per_ha, trend};
use sim::machine::Noise;

/// Draws of each quantity.
const DRAWS: usize = 200_000;

/// Standard deviations in half a 95 % interval.
const HALF_95: f64 = 1.96;

/// Half the 95 % interval of drawn values, by their standard deviation.
fn spread(values: &[f64]) -> Sure {
    let count = f64::from(u32::try_from(values.len()).expect("few"));
    let value = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|it| (it - value) * (it - value)).sum();
    Sure { value, uncertainty: HALF_95 * (squares / (count - 1.0)).sqrt() }
}

fn agree(drawn: Sure, stated: Sure, what: &str) {
    // The standard deviation of 200 000 draws is known to 0.16 % (1/√2n): five of that.
    let ratio = drawn.uncertainty / stated.uncertainty;
    assert!((ratio - 1.0).abs() < 0.008, "{what}: drawn ± {drawn:?}, stated {stated:?}");
    let off = (drawn.value - stated.value).abs() / stated.uncertainty;
    assert!(off < 0.01, "{what}: drawn {drawn:?}, stated {stated:?}");
}

#[test]
fn what_is_stated_of_a_fill_is_what_weighings_at_random_give() {
    let (loaded, left, scale, area, share) = (1350.0, 31.0, 2.0, 120_000.0, 0.008);
    let (turns, asked) = (10_800.0, 110.0);
    let mut noise = Noise::new(20_260_412);
    let mut draw = |value: f64, half_95: f64| value + noise.gauss() * half_95 / HALF_95;
    let (mut laid, mut rates, mut masses, mut over) = (vec![], vec![], vec![], vec![]);
    for _ in 0..DRAWS {
        let mass = draw(loaded, scale) - draw(left, scale);
        let ground = draw(area, share * area);
        laid.push(mass);
        rates.push(mass / ground * 10_000.0);
        masses.push(mass / turns);
        over.push(mass - asked * ground / 10_000.0);
    }
    let stated = laid_kg(loaded, left, 2, scale);
    let ground = Sure { value: area, uncertainty: share * area };
    agree(spread(&laid), stated, "mass laid");
    agree(spread(&rates), rate_kg_per_ha(&stated, &ground), "rate");
    agree(spread(&masses), kg_per_turn(&stated, turns), "mass per turn");
    agree(spread(&over), over_kg(&stated, &ground, asked), "seed over");
}

#[test]
fn the_mean_and_the_drift_of_fills_at_random_are_as_sure_as_they_say() {
    let sure = [0.004, 0.006, 0.003, 0.008];
    let mut noise = Noise::new(7);
    let (mut inside_mean, mut inside_drift) = (0_u32, 0_u32);
    let runs = 20_000;
    for _ in 0..runs {
        let fill = |(place, half): (u32, &f64)| Sure {
            value: 1.0 + 0.01 * f64::from(place) + noise.gauss() * half / HALF_95,
            uncertainty: *half,
        };
        let drifting: Vec<Sure> = (0..).zip(&sure).map(fill).collect();
        let drift = trend(&drifting).expect("four fills");
        inside_drift += u32::from(!drift.differs_from(0.01));
        let still = |(fill, place): (&Sure, u32)| Sure {
            value: fill.value - 0.01 * f64::from(place),
            ..*fill
        };
        let still: Vec<Sure> = drifting.iter().zip(0..).map(still).collect();
        inside_mean += u32::from(!mean(&still).expect("four fills").differs_from(1.0));
    }
    // 95 % where the scatter is as stated; Birge's ratio widens some, never narrows: a little more is inside.
    for (name, inside) in [("mean", inside_mean), ("drift", inside_drift)] {
        let share = f64::from(inside) / f64::from(runs);
        assert!((0.945..0.985).contains(&share), "{name}: {share} inside");
    }
}

proptest! {
    #[test]
    fn masses_in_another_unit_give_the_same_in_that_unit(
        loaded in 100.0..5000.0_f64, share_left in 0.0..0.9_f64, scale in 0.01..2.0_f64,
        area in 1e3..1e6_f64, turns in 100.0..1e6_f64, factor in 0.01..100.0_f64,
    ) {
        let ground = Sure { value: area, uncertainty: 0.01 * area };
        let one = laid_kg(loaded, share_left * loaded, 2, scale);
        let other = laid_kg(factor * loaded, factor * share_left * loaded, 2, factor * scale);
        let near = |have: f64, want: f64| (have - want).abs() <= 1e-9 * want.abs() + 1e-12;
        let pairs = [
            (rate_kg_per_ha(&one, &ground), rate_kg_per_ha(&other, &ground)),
            (kg_per_turn(&one, turns), kg_per_turn(&other, turns)),
        ];
        for (one, other) in pairs {
            prop_assert!(near(other.value, factor * one.value));
            prop_assert!(near(other.uncertainty, factor * one.uncertainty));
        }
        // Twice the turns for twice the mass is the same meter.
        let twice = kg_per_turn(&one.times(2.0), 2.0 * turns);
        prop_assert!(near(twice.value, kg_per_turn(&one, turns).value));
    }

    #[test]
    fn a_better_scale_never_makes_a_result_less_sure(
        laid in 10.0..5000.0_f64, scale in 0.01..5.0_f64, finer in 0.1..1.0_f64,
    ) {
        let ground = Sure { value: 1e5, uncertainty: 500.0 };
        let rate = |scale| rate_kg_per_ha(&laid_kg(laid + 20.0, 20.0, 2, scale), &ground);
        prop_assert!(rate(scale * finer).uncertainty <= rate(scale).uncertainty);
    }
}
