//! Every fault at fourteen places of the headland cycle: each verdict is as stated.

use sim::fault::board::Flashed;
use sim::fault::bytes::flip_settings;
use sim::fault::report::Verdict;
use sim::fault::setup::Setup;
use sim::fault::sweep::{Plan, sweep};

#[test]
fn every_fault_is_told_tolerated_or_proved_untellable_as_stated() {
    let plan = Plan { step: 300, seed: 1, only: None };
    let swept = sweep(plan, Flashed::new, &|_| {}).expect("the settings are valid");
    assert!(swept.injections() >= 1_500, "have {} injections", swept.injections());
    assert!(swept.healthy_broken.is_empty(), "healthy: {:?}", swept.healthy_broken);
    for row in &swept.rows {
        let at = (row.fault.name, row.setup.word(), row.lasting);
        assert!(row.broken().is_none(), "{at:?} broke an invariant: {:?}", row.broken());
        assert_ne!(row.verdict(), Verdict::Wrong, "{at:?} is not as stated");
    }
}

#[test]
fn what_the_second_source_and_the_sensors_are_for_shows_in_the_verdicts() {
    let plan = Plan { step: 1_000, seed: 1, only: None };
    let swept = sweep(plan, Flashed::new, &|_| {}).expect("the settings are valid");
    let latched = |name: &str, setup: Setup| {
        let of = |row: &&sim::fault::sweep::Row| row.fault.name == name && row.setup == setup;
        swept.rows.iter().rfind(of).map(sim::fault::sweep::Row::verdict)
    };
    for name in ["delivery blocked", "hopper empty"] {
        assert_eq!(latched(name, Setup::Pulses), Some(Verdict::Untellable), "{name}, no sensors");
        assert_eq!(latched(name, Setup::All), Some(Verdict::Told), "{name}, sensors");
    }
    for name in ["valve sluggish", "valve dead band doubled", "receiver frozen"] {
        let verdict = latched(name, Setup::All);
        assert_eq!(verdict, Some(Verdict::ToldOrSmall), "{name}: no time is stated to be told in");
    }
    assert_eq!(latched("clock wraps", Setup::All), Some(Verdict::NoEffect));
    assert_eq!(latched("brown-out", Setup::All), Some(Verdict::Told));
}

#[test]
fn a_settings_image_with_any_bit_flipped_is_refused() {
    let flips = flip_settings(Setup::All).expect("there is room");
    assert!(flips.tried > 1_000, "have {}", flips.tried);
    assert_eq!((flips.refused, flips.taken), (flips.tried, 0));
}
