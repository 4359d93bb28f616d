//! What is planted in a machine is what the spin run says is wrong, and nothing else.

use crate::machine::{Machine, bent};
use crate::read;
use crate::spin::log;
use sim::fit::{FitError, SpinFit, Trouble, Wanted, spin};
use sim::machine::Noise;
use sim::scenario::{Drive, Truth};
use sim::shop::SpinTrouble;

/// A plain machine: the reference drill's drive, 180 pulses per turn.
fn plain() -> Machine {
    let drawn = Machine::drawn(0);
    let drive = Drive { map: bent(0.2, 1.5, 0.1), lag_s: 0.15, dead_time_s: 0.05, motor: None };
    let truth = Truth { drive, hysteresis: 0.02, swing: 0.01, encoder_jitter: 0.01, ..drawn.truth };
    Machine { truth, pulses_per_turn: 180, tooth: 0.2, sheet_opening: 0.22, ..drawn }
}

fn found(trouble: SpinTrouble, wanted: Wanted) -> Result<SpinFit, FitError> {
    spin(&read(log(&plain(), trouble)), wanted)
}

fn troubles(trouble: SpinTrouble) -> Vec<Trouble> {
    found(trouble, Wanted::default()).expect("a drive").troubles
}

/// What a run of another drive says.
fn of_map(map: Vec<(f64, f64)>, wanted: Wanted) -> Result<SpinFit, FitError> {
    let mut machine = plain();
    machine.truth.drive.map = map;
    spin(&read(log(&machine, SpinTrouble::Nothing)), wanted)
}

#[test]
fn a_sound_machine_has_no_trouble() {
    let sound = found(SpinTrouble::Nothing, Wanted::default()).expect("a drive");
    assert!(sound.is_sure(), "{sound}");
}

#[test]
fn an_encoder_on_the_wrong_shaft_is_told() {
    let seen_turning = Some(0);
    let wanted = Wanted { seen_turning, ..Wanted::default() };
    let error = found(SpinTrouble::Elsewhere(1), wanted).unwrap_err();
    assert_eq!(error, FitError::WrongEncoder { side: 1, other: 2 });
}

#[test]
fn hoses_swapped_between_sides_are_told() {
    let wanted = Wanted { seen_turning: Some(1), ..Wanted::default() };
    let error = found(SpinTrouble::Elsewhere(1), wanted).unwrap_err();
    assert_eq!(error, FitError::WrongHoses { side: 1, other: 2 });
}

#[test]
fn without_a_look_at_the_shafts_both_causes_are_named() {
    let error = found(SpinTrouble::Elsewhere(1), Wanted::default()).unwrap_err();
    assert_eq!(error, FitError::OtherSide { side: 1, other: 2 });
    assert!(error.to_string().contains("encoders") && error.to_string().contains("hoses"));
}

#[test]
fn hoses_swapped_at_the_motor_are_told_by_two_channels() {
    let error = found(SpinTrouble::Backwards, Wanted::default()).unwrap_err();
    assert_eq!(error, FitError::TurnsBackwards { side: 1 });
}

#[test]
fn air_in_the_oil_is_told() {
    let troubles = troubles(SpinTrouble::Air(0.3));
    assert!(matches!(troubles[..], [Trouble::Air { .. }]), "{troubles:?}");
}

#[test]
fn a_missing_tooth_is_told_from_edges_that_are_lost() {
    let tooth = troubles(SpinTrouble::MissingTooth);
    let [Trouble::MissingTooth { per_turn }] = tooth[..] else { panic!("{tooth:?}") };
    assert!((0.8..1.2).contains(&per_turn), "{per_turn} a turn");
    let lost = troubles(SpinTrouble::Lost(0.01));
    let [Trouble::PulsesLost { share }] = lost[..] else { panic!("{lost:?}") };
    assert!((0.005..0.015).contains(&share), "{share}");
}

#[test]
fn a_motor_of_the_wrong_size_is_told() {
    let wanted = |highest| Wanted { highest_turns_per_s: Some(highest), ..Wanted::default() };
    let large = found(SpinTrouble::Nothing, wanted(0.3)).expect("a drive").troubles;
    assert!(matches!(large[..], [Trouble::MotorTooLarge { .. }]), "{large:?}");
    let small = found(SpinTrouble::Nothing, wanted(1.45)).expect("a drive").troubles;
    assert!(matches!(small[..], [Trouble::MotorTooSmall { .. }]), "{small:?}");
    let right = found(SpinTrouble::Nothing, wanted(1.0)).expect("a drive").troubles;
    assert!(right.is_empty(), "{right:?}");
}

#[test]
fn a_shaft_that_jerks_at_the_lowest_speed_wanted_is_told() {
    let lowest = |lowest| Wanted { lowest_turns_per_s: Some(lowest), ..Wanted::default() };
    let jerks = found(SpinTrouble::Jerks(0.25), lowest(0.1)).expect("a drive");
    assert!(matches!(jerks.troubles[..], [Trouble::Jerks { .. }]), "{jerks}");
    let smooth = jerks.smooth_from_turns_per_s;
    assert!((0.2..0.45).contains(&smooth), "smooth from {smooth}");
    let enough = found(SpinTrouble::Jerks(0.25), lowest(0.45)).expect("a drive");
    assert!(enough.troubles.is_empty(), "{enough}");
}

#[test]
fn a_map_that_does_not_rise_is_refused() {
    let falls = of_map(vec![(0.2, 0.0), (0.7, 1.2), (1.0, 0.9)], Wanted::default());
    assert!(matches!(falls, Err(FitError::NotRising { .. })), "{falls:?}");
    let flat = of_map(vec![(0.2, 0.0), (0.201, 1.0), (1.0, 1.01)], Wanted::default());
    assert!(matches!(flat, Err(FitError::NotRising { .. })), "{flat:?}");
}

#[test]
fn a_shaft_that_never_turns_is_refused() {
    let still = of_map(vec![(0.2, 0.0), (1.0, 1e-6)], Wanted::default());
    assert_eq!(still.unwrap_err(), FitError::NeverTurned);
}

#[test]
fn noise_alone_makes_no_trouble() {
    let mut noise = Noise::new(0x5EED_7070);
    for _ in 0..10 {
        let mut machine = plain();
        machine.seed = noise.uniform().to_bits();
        let fit = spin(&read(log(&machine, SpinTrouble::Nothing)), Wanted::default());
        let troubles = fit.expect("a drive").troubles;
        assert!(troubles.is_empty(), "{troubles:?}");
    }
}
