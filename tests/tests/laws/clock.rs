//! The clock may start anywhere: what comes out depends on differences alone.

use crate::rig::{Feed, drills, sequence};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 1_000,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    #[test]
    fn a_shifted_clock_gives_the_same_outputs(
        settings in drills(),
        steps in sequence(),
        origin in any::<u32>(),
        soon in 0..3_000_000_u32,
    ) {
        let mut zero = Feed::new(settings.clone(), 0);
        let mut anywhere = Feed::new(settings.clone(), origin);
        let mut wrapping = Feed::new(settings, u32::MAX - soon);
        for step in &steps {
            let out = zero.step(step);
            prop_assert_eq!(out, anywhere.step(step));
            prop_assert_eq!(out, wrapping.step(step));
        }
        prop_assert_eq!(zero.controller.account(), wrapping.controller.account());
    }

    #[test]
    fn counts_may_start_anywhere_too(
        settings in drills(),
        steps in sequence(),
        origins in any::<[u32; 5]>(),
    ) {
        let mut zero = Feed::new(settings.clone(), 0);
        let mut anywhere = Feed::new(settings, 0);
        anywhere.inputs.ground.count = origins[0];
        for (side, origin) in anywhere.inputs.sides.iter_mut().zip(&origins[1..]) {
            side.shaft.count = *origin;
        }
        for step in &steps {
            prop_assert_eq!(zero.step(step), anywhere.step(step));
        }
        prop_assert_eq!(zero.controller.account(), anywhere.controller.account());
    }
}
