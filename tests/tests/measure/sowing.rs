//! Machines of the reference class, measured by their runs and then sown with: what `verify` says of them.
//!
//! The class: lag 0.10 to 0.20 s, dead time 0.03 to 0.07 s, full speed 1.3 to 2.2 turns/s, bent by up to 0.3,
//! hysteresis up to 0.01 of full command, a swing as that of the reference machine (up to 3 % at 0.9 rad/s), 120 to 360
//! pulses per turn.

use crate::distribution::Distribution;
use crate::machine::{Machine, bent, between};
use crate::spin::log;
use crate::{on_the_ground, outlet, read};
use rayon::prelude::*;
use sim::bench::judge;
use sim::fit::{Wanted, spin};
use sim::machine::Noise;
use sim::scenario::{Drill, Drive, Truth};
use sim::shop::SpinTrouble;

/// The frozen profiles, and what the main job promises: within 5 %, within 10 %, typical miss.
const PROFILES: [(&str, [f64; 3]); 4] = [
    ("ramp-0.3-pulses", [99.4, 100.0, 1.05]),
    ("ramp-0.5-pulses", [99.4, 100.0, 1.10]),
    ("ramp-1.0-pulses", [97.5, 99.4, 1.60]),
    ("staircase-pulses", [98.0, 100.0, 1.5]),
];
/// How many machines are drawn.
const CLASS: u64 = 12;

fn of_the_class(seed: u64) -> Machine {
    let noise = &mut Noise::new(0x5EED_C1A5 + seed);
    let drawn = Machine::drawn(seed);
    let opening = between(noise, 0.1, 0.3);
    let drive = Drive {
        map: bent(opening, between(noise, 1.3, 2.2), between(noise, -0.3, 0.3)),
        lag_s: between(noise, 0.10, 0.20),
        dead_time_s: between(noise, 30.0, 70.0).round() / 1000.0,
        motor: None,
    };
    let truth = Truth {
        drive,
        swing: between(noise, 0.0, 0.03),
        swing_rad_per_s: 0.9,
        hysteresis: between(noise, 0.0, 0.01),
        encoder_jitter: between(noise, 0.0, 0.01),
        ..drawn.truth
    };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "120 to 360")]
    let pulses_per_turn = between(noise, 120.0, 360.0).round() as u32;
    let sheet_opening = opening + between(noise, -0.08, 0.08);
    Machine {
        truth,
        pulses_per_turn,
        sheet_opening,
        tooth: 0.1,
        pulses_per_m: between(noise, 100.0, 160.0),
        delay_s: between(noise, 0.25, 0.45),
        ..drawn
    }
}

/// Within 5 %, within 10 %, rms of every frozen profile, on the machine as spin, ground and delivery run measured it.
fn sown(machine: &Machine) -> Vec<[f64; 3]> {
    let found = spin(&read(log(machine, SpinTrouble::Nothing)), Wanted::default());
    let mut drill = tests::demo_scenario("ramp-0.5-pulses").drill;
    drill.told = found.expect("a drive").fit.drive();
    drill.ground_pulses_per_m = on_the_ground::measured(machine).pulses_per_m.value;
    drill.delivery_delay_s = outlet::twice(machine).expect("a delay").delay_s.value;
    drill.truth = machine.truth.clone();
    drill.truth.ways.ground_pulses_per_m = Some(machine.pulses_per_m);
    drill.truth.ways.delivery_delay_s = Some(machine.delay_s);
    PROFILES.iter().map(|(name, _)| figures(&drill, machine, name)).collect()
}

fn figures(drill: &Drill, machine: &Machine, name: &str) -> [f64; 3] {
    let mut scenario = tests::demo_scenario(name);
    scenario.drill = drill.clone();
    scenario.drill.sides[0].encoder_pulses_per_turn = machine.pulses_per_turn;
    let score = judge(&scenario, &|_| {}).expect("the settings are right").score;
    [score.within_5_pct, score.within_10_pct, score.rms_pct]
}

#[test]
fn measured_machines_of_the_reference_class_reach_the_figures_of_the_main_job() {
    let machines: Vec<Machine> = (0..CLASS).map(of_the_class).collect();
    let scores: Vec<Vec<[f64; 3]>> = machines.par_iter().map(sown).collect();
    for (profile, &(name, [five, ten, rms])) in PROFILES.iter().enumerate() {
        let mut figures = [
            Distribution::new("ground beyond 5 %", "%", 100.0 - five),
            Distribution::new("ground beyond 10 %", "%", 100.0 - ten),
            Distribution::new("typical miss", "%", rms),
        ];
        let mut reached = 0;
        for score in &scores {
            let [within_5, within_10, typical] = score[profile];
            let bad = [100.0 - within_5, 100.0 - within_10, typical];
            figures.iter_mut().zip(bad).for_each(|(figure, bad)| figure.add(bad));
            reached += u64::from(within_5 >= five && within_10 >= ten && typical <= rms);
        }
        for figure in &figures {
            eprintln!("{name}: {figure}");
        }
        eprintln!("{name}: {reached} of {CLASS} reach all three figures");
        assert!(reached >= least(name), "{name}: {reached} of {CLASS} reach the figures");
    }
}

/// How many of the machines must reach a profile's figures. The steepest ramp is promised for the reference machine;
/// of the class, one in six may miss it by a cell, because 0.01 s of the delivery delay are 1 % there.
fn least(name: &str) -> u64 {
    if name == "ramp-1.0-pulses" { CLASS - CLASS / 6 } else { CLASS }
}
