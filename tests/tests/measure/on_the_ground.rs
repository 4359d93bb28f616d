//! Ground run and flag run: pulses per metre, and the ways of the openers, of every machine.

use crate::distribution::Distribution;
use crate::machine::{MACHINES, Machine};
use crate::read;
use controller::measure::{RunHead, RunKind};
use rayon::prelude::*;
use sim::fit::flag::{FlagFit, Tape, flags, together};
use sim::fit::ground::{GroundFit, Way, ground, pass};
use sim::machine::Noise;
use sim::shop::{LiftShop, TapeShop};

/// A tape of 100 m that lies straight within this, m rms, and a drill stopped at its mark within that.
const TAPE_M: f64 = 0.05;
const STOP_M: f64 = 0.05;
/// A tape read to this at the furrow's begin and end, which are not sharp, m rms.
const FURROW_M: f64 = 0.04;

const fn head(kind: RunKind, machine: &Machine) -> RunHead {
    RunHead { kind, side: 0, sides: 1, edges_per_turn: machine.pulses_per_turn }
}

fn shop(machine: &Machine, noise: &mut Noise, way: Way, length_m: f64) -> TapeShop {
    let slope = if way == Way::There { machine.slope } else { -machine.slope };
    TapeShop {
        pulses_per_m: machine.pulses_per_m * (1.0 + slope + machine.slip * noise.gauss()),
        wander: machine.wander,
        length_m,
        speed_mps: machine.speed_mps,
        receiver_mps: (machine.seed.is_multiple_of(2)).then_some(0.05),
        seed: noise.uniform().to_bits(),
    }
}

/// The ground run of a machine: 100 m, or 300 ft, three times there and back.
pub(crate) fn measured(machine: &Machine) -> GroundFit {
    let noise = &mut Noise::new(0x6000_0000 + machine.seed);
    let tape_m = if machine.seed.is_multiple_of(3) { 91.44 } else { 100.0 };
    let laid_m = tape_m + TAPE_M * noise.gauss();
    let passes = [Way::There, Way::Back].repeat(3).into_iter().map(|way| {
        let length_m = laid_m + STOP_M * (noise.gauss() - noise.gauss());
        let shop = shop(machine, noise, way, length_m);
        let log = sim::shop::ground(&shop, head(RunKind::Ground, machine));
        pass(&read(log), tape_m, way).expect("a pass")
    });
    ground(passes.collect()).expect("six passes")
}

/// The flag run of a machine: there and back, three times; lowered soon after flag A and lifted soon before C, because the
/// wheel wanders.
fn flagged(machine: &Machine) -> FlagFit {
    let noise = &mut Noise::new(0x7000_0000 + machine.seed);
    let drives = [Way::There, Way::Back].repeat(3).into_iter().map(|way| {
        let whole_m = 40.0 + 10.0 * noise.uniform();
        let shop = shop(machine, noise, way, whole_m);
        let lift = LiftShop {
            lowered_m: 12.0 + 3.0 * noise.uniform(),
            lifted_m: whole_m - 15.0 - 3.0 * noise.uniform(),
            bounce_s: machine.bounce_s,
            shaft_after_s: 0.1,
        };
        let (log, shaft_m) = sim::shop::flag(&shop, &lift, head(RunKind::Flag, machine));
        let tape = Tape {
            furrow_start_m: lift.lowered_m + machine.lowering_m + FURROW_M * noise.gauss(),
            furrow_end_m: lift.lifted_m + machine.lifting_m + FURROW_M * noise.gauss(),
            whole_m: whole_m + FURROW_M * noise.gauss(),
            seed_start_m: Some(shaft_m + machine.speed_mps * machine.delay_s),
        };
        flags(&read(log), tape).expect("a drive")
    });
    together(drives.collect()).expect("two drives")
}

#[test]
fn two_hundred_machines_are_found_by_their_ground_runs() {
    let machines: Vec<Machine> = (0..MACHINES).map(Machine::drawn).collect();
    let fits: Vec<GroundFit> = machines.par_iter().map(measured).collect();
    let mut pulses = Distribution::new("pulses per metre", "%", 0.3);
    // Beyond 1 % the fit would doubt the tape.
    let mut receiver = Distribution::new("way by the receiver", "%", 1.0);
    for (machine, fit) in machines.iter().zip(&fits) {
        pulses.add(100.0 * (fit.pulses_per_m.value / machine.pulses_per_m - 1.0));
        for pass in &fit.passes {
            if let Some(metres) = pass.receiver_m {
                receiver.add(100.0 * (metres / pass.tape_m - 1.0));
            }
        }
    }
    pulses.check();
    receiver.check();
}

#[test]
fn two_hundred_machines_are_found_by_their_flag_runs() {
    let machines: Vec<Machine> = (0..MACHINES).map(Machine::drawn).collect();
    let fits: Vec<FlagFit> = machines.par_iter().map(flagged).collect();
    let mut lowering = Distribution::new("lowering", "m", 0.1);
    let mut lifting = Distribution::new("lifting", "m", 0.1);
    let mut seed = Distribution::new("seed after the shaft by the flags", "s", 0.1);
    for (machine, fit) in machines.iter().zip(&fits) {
        lowering.add(fit.lowering_m.value - machine.lowering_m);
        lifting.add(fit.lifting_m.value - machine.lifting_m);
        for delay_s in fit.drives.iter().filter_map(|drive| drive.seed_delay_s) {
            seed.add(delay_s - machine.delay_s);
        }
    }
    lowering.check();
    lifting.check();
    seed.check();
}

#[test]
fn a_receiver_that_contradicts_the_tape_is_told() {
    let machine = Machine::drawn(0);
    let noise = &mut Noise::new(1);
    let passes = [Way::There, Way::Back].repeat(3).into_iter().map(|way| {
        let shop = shop(&machine, noise, way, 97.0);
        let log = sim::shop::ground(&shop, head(RunKind::Ground, &machine));
        pass(&read(log), 100.0, way).expect("a pass")
    });
    let fit = ground(passes.collect()).expect("six passes");
    assert!(fit.cautions.iter().any(|it| it.contains("by the receiver")), "{fit:?}");
}

#[test]
fn too_few_passes_are_told() {
    let machine = Machine::drawn(2);
    let shop = shop(&machine, &mut Noise::new(1), Way::There, 100.0);
    let log = read(sim::shop::ground(&shop, head(RunKind::Ground, &machine)));
    let fit = ground(vec![pass(&log, 100.0, Way::There).expect("a pass")]).expect("a fit");
    assert!(fit.cautions.iter().any(|it| it.contains("three each")), "{fit:?}");
}
