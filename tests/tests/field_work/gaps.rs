//! Gaps: told at once, entered with cause, start, length, side and place, and found again.

use crate::{driven, receiver, watch};
use controller::gap::Cause;
use sim::scenario::{Act, Disturbance, Event, Silence};

#[test]
fn an_oil_supply_that_fails_leaves_a_gap_of_the_true_length() {
    let mut scenario = driven(&[(0.0, 0.0), (4.0, 2.0), (60.0, 2.0)]);
    scenario.source = receiver();
    // Steering takes all the oil.
    let gone =
        |for_s| Disturbance { at_s: 30.0, for_s, edge_s: 0.05, gain: 1.0, limit_turns_per_s: 0.0 };
    scenario.disturbances = vec![gone(0.45)];
    let (mut told, mut bare_m) = (None, 0.0);
    let ours = watch(&scenario, 1, &mut |seen| {
        if seen.shown[0].alarm == 14 && told.is_none() {
            told = Some(seen.senses.t_s);
        }
        let half = seen.speed_mps * 0.366_67 / 2.0;
        if seen.senses.t_s > 20.0 && seen.shafts_turns_per_s[0] < half {
            bare_m += seen.speed_mps * 0.01;
        }
    });
    let gap = ours.gaps().first().copied().expect("the gap is in the log");
    println!("0.45 s without oil at 2 m/s: {gap:?}, told at {told:?}");
    assert_eq!((gap.side, gap.cause, gap.number), (0, Cause::Shaft, 1));
    // By the true shaft speed; the encoder's window is 20 ms old.
    let off_m = f64::from(gap.length_mm) / 1e3 - bare_m;
    assert!(bare_m > 0.5 && off_m.abs() < 0.15, "true {bare_m} m, logged {} mm", gap.length_mm);
    // 2 m/s from the middle of the ramp at 2 s on, the tractor's lags of 0.6 s, τ1 ln 2: 55.1 m.
    assert!(gap.start_mm.abs_diff(55_100) < 300, "start {} mm", gap.start_mm);
    let told = told.expect("the person is told");
    assert!(told > 30.2 && told < 30.6, "told as it passed half a metre: {told}");
    let place = gap.position.expect("the receiver knows the place");
    // The bench drives east from 10° E at 52° N: 1° is 68 534 m there; the antenna is over the openers.
    let east_m = f64::from(place.longitude() - 100_000_000) * 1e-7 * 68_534.2;
    assert!((east_m - f64::from(gap.start_mm) / 1e3).abs() < 0.5, "entered at {east_m} m");
}

#[test]
fn a_side_that_was_switched_off_is_entered_and_not_told() {
    let mut scenario = driven(&[(0.0, 0.0), (4.0, 2.0), (60.0, 2.0)]);
    let switch = |at_s, on| Event { at_s, act: Act::SideSwitch(0, on) };
    scenario.events = vec![switch(20.0, false), switch(30.0, true)];
    let mut told = false;
    let ours = watch(&scenario, 1, &mut |seen| told |= seen.shown[0].alarm == 14);
    assert!(!told, "the operator knows");
    let gap = ours.gaps().first().expect("an entry");
    assert_eq!(gap.cause, Cause::SwitchedOff);
    assert!(gap.length_mm.abs_diff(20_300) < 400, "20 m and the start: {} mm", gap.length_mm);
}

#[test]
fn a_lost_speed_source_leaves_a_gap_that_the_last_speed_measures() {
    let mut scenario = driven(&[(0.0, 0.0), (4.0, 2.0), (60.0, 2.0)]);
    scenario.fitted.silences = vec![Silence { source: 0, at_s: 30.0, for_s: 1.5 }];
    let ours = watch(&scenario, 1, &mut |_| {});
    let gap = ours.gaps().first().expect("an entry");
    println!("pulses lost for 1.5 s at 2 m/s: {gap:?}");
    assert!(gap.length_mm > 2_000 && gap.length_mm < 3_600, "3 m less the detection: {gap:?}");
}

#[test]
fn headlands_and_lifts_are_no_gaps() {
    for name in ["headland-pulses", "headland-two-sides", "ramp-0.5-pulses", "hills"] {
        let scenario = tests::demo_scenario(name);
        let ours = watch(&scenario, 1, &mut |_| {});
        assert!(ours.gaps().is_empty(), "{name}: {:?}", ours.gaps());
    }
}
