//! Folded totals against exact fractions of the raw counts.
//!
//! With k of N outlets open a pulse is `width · k / (pulses per metre · N)` of ground where they narrow the strip, and
//! an edge `mass per turn · k / (edges per turn · N)` of seed: sums of these are kept here as numerators over one common
//! denominator. Each fold rounds down; for a drill that drives straight on by less than 1 µm of distance, `width + 1 mm²`
//! of area (width in metres) and 3 µg (a segment below the catch, one above, the outlets).

use crate::shaft::config;
use controller::quantity::{
    Instant, MicrogramsPerTurn, Micrometres, MilligramsPerSquareMetre, TurnsPerSecond,
};
use controller::seed::{Lot, MeterPoint, Product};
use controller::{Act, Controller, Inputs, Settings};
use proptest::prelude::*;

const WIDTH_UM: u128 = 6_000_000;
const OUTLETS: u16 = 24;
const PULSES_PER_METRE: u128 = 130;
const EDGES_PER_TURN: u128 = 180;

/// A drill at work, and the exact fractions of what it has counted up to the last fold.
struct Oracle {
    controller: Controller,
    inputs: Inputs,
    /// Over `PULSES_PER_METRE · OUTLETS`, mm²; ... · 10^-6, µm.
    area: u128,
    pulses: u128,
    /// Over `EDGES_PER_TURN · OUTLETS`, µg.
    mass: u128,
    open: u16,
    narrows: bool,
    micrograms: u64,
    folds: u128,
}

impl Oracle {
    fn new() -> Self {
        let mut config = config(180);
        config.sides[0].width = Micrometres::from_millimetres(6_000);
        config.sides[0].outlets = OUTLETS;
        let settings = Settings::new(&config).expect("the settings are valid");
        let mut inputs = Inputs { lift: true, ..Inputs::default() };
        inputs.sides[0].switch = true;
        Self {
            controller: Controller::new(settings),
            inputs,
            area: 0,
            pulses: 0,
            mass: 0,
            open: OUTLETS,
            narrows: false,
            micrograms: 120_000_000,
            folds: 0,
        }
    }

    /// One tick at 2.3 m/s with so many edges of the shaft.
    fn step(&mut self, edges: u32) {
        self.inputs.master = self.inputs.now.micros() > 200_000;
        let now = Instant::from_micros(self.inputs.now.micros() + 10_000);
        self.inputs.now = now;
        for (pulses, count) in
            [(&mut self.inputs.ground, 3), (&mut self.inputs.sides[0].shaft, edges)]
        {
            if count > 0 {
                pulses.count += count;
                pulses.edge_at = now;
            }
        }
        self.controller.tick(&self.inputs);
    }

    /// Adds what was counted since the last fold, by what is in force.
    fn account(&mut self) {
        let tally = self.controller.tally(0).expect("a side");
        let open = u128::from(self.open);
        let edges: u64 = tally.turned.iter().map(|turned| turned.edges).sum();
        let pulses = u128::from(tally.passed.pulses);
        assert_eq!(tally.passed.beyond, 0, "pulses alone");
        self.pulses += pulses;
        self.area += pulses * WIDTH_UM * if self.narrows { open } else { u128::from(OUTLETS) };
        self.mass += u128::from(edges) * u128::from(self.micrograms) * open;
        self.folds += 1;
    }

    /// The totals lie below the exact sums, by no more than the folds have rounded.
    fn check(&self) {
        let have = self.controller.account();
        let near = |have: u64, top: u128, bottom: u128, each: u128| {
            let have = u128::from(have) * bottom;
            assert!(have <= top, "more than there is: {have} over {top}");
            let off = top - have;
            assert!(
                off < each * self.folds * bottom,
                "{off} / {bottom} after {} folds",
                self.folds
            );
        };
        near(have.distance_um, self.pulses * 1_000_000, PULSES_PER_METRE, 1);
        near(have.area_mm2, self.area, PULSES_PER_METRE * u128::from(OUTLETS), 7);
        near(have.mass_ug, self.mass, EDGES_PER_TURN * u128::from(OUTLETS), 3);
    }
}

/// Ticks, edges in each, and what is put in force after them: outlets and whether they narrow, or a lot.
type Leg = (u32, u32, Result<(u16, bool), u64>);

fn leg() -> impl Strategy<Value = Leg> {
    let outlets = (1..=OUTLETS, any::<bool>()).prop_map(Ok);
    let lot = (50_000_000..300_000_000_u64).prop_map(Err);
    (1..120_u32, 1..4_u32, prop_oneof![outlets, lot])
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 200,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn totals_are_the_exact_sums_of_their_lots_and_outlets_rounded_down_once_a_fold(
        legs in prop::collection::vec(leg(), 1..25),
    ) {
        let mut oracle = Oracle::new();
        for _ in 0..100 {
            oracle.step(2);
        }
        for (ticks, edges, next) in legs {
            (0..ticks).for_each(|_| oracle.step(edges));
            oracle.account();
            oracle.check();
            let now = oracle.inputs.now;
            match next {
                Ok((open, narrows)) => {
                    let act = Act::Outlets { side: 0, open, narrows };
                    oracle.controller.act(act, now).expect("possible");
                    (oracle.open, oracle.narrows) = (open, narrows);
                }
                Err(micrograms) => {
                    let shaft = TurnsPerSecond::from_bits(1 << 21);
                    let mass = MicrogramsPerTurn::new(micrograms);
                    let lot = Lot {
                        product: Product::First,
                        rate: MilligramsPerSquareMetre::from_whole(11_000),
                        meter: core::iter::once(MeterPoint { shaft, mass }).collect(),
                    };
                    oracle.controller.set_lot(&lot, now).expect("a good lot");
                    oracle.micrograms = micrograms;
                }
            }
            oracle.check();
        }
        prop_assert!(oracle.controller.account().area_mm2 > 0, "nothing was sown");
    }
}
