//! The delivery run: the delay of every machine, by eye and by tube sensor.

use crate::distribution::Distribution;
use crate::machine::{MACHINES, Machine};
use crate::read;
use controller::measure::{DeliveryConfig, DeliveryPlan, RunHead, RunKind};
use rayon::prelude::*;
use sim::fit::FitError;
use sim::fit::delivery::{DeliveryFit, Known, delivery};
use sim::machine::command_for;
use sim::shop::{OutletShop, Person};

/// The shaft turns at this share of full speed in the trials.
const SHARE: f64 = 0.4;

fn fitted(machine: &Machine, sensor: bool, trials: u8) -> Result<DeliveryFit, FitError> {
    once(machine, (sensor, trials), 0)
}

/// Two runs by eye, of as many trials as a plan may have.
pub(crate) fn twice(machine: &Machine) -> Result<DeliveryFit, FitError> {
    Ok(once(machine, (false, 50), 0)?.with(&once(machine, (false, 50), 1)?))
}

fn once(
    machine: &Machine,
    (sensor, trials): (bool, u8),
    run: u32,
) -> Result<DeliveryFit, FitError> {
    let drive = &machine.truth.drive;
    let shop = OutletShop {
        truth: machine.truth.clone(),
        pulses_per_turn: machine.pulses_per_turn,
        seeds_per_turn: machine.seeds_per_turn,
        delay_s: machine.delay_s,
        spread_s: machine.delay_spread_s,
        person: Person { reaction_s: machine.reaction_s, uneven_s: machine.uneven_s, misses: 0.03 },
        sensor,
        command: command_for(&drive.map, SHARE * drive.full_turns_per_s()),
        seed: 0x8000_0000 + machine.seed + 1_000 * u64::from(run),
    };
    let odd = run + u32::try_from(machine.seed).expect("a small seed");
    let plan = DeliveryPlan::new(DeliveryConfig { trials, odd }).expect("a plan");
    let head = RunHead {
        kind: RunKind::Delivery,
        side: 0,
        sides: 1,
        edges_per_turn: machine.pulses_per_turn,
    };
    // Dead time and lag as the spin run finds them, the seeds as a person counts them.
    let off = if machine.seed.is_multiple_of(2) { 1.0 } else { -1.0 };
    let known = Known {
        dead_time_s: drive.dead_time_s + 0.005 * off,
        lag_s: drive.lag_s * (1.0 + 0.05 * off),
        seeds_per_turn: Some(machine.seeds_per_turn * (1.0 - 0.2 * off)),
    };
    delivery(&read(sim::shop::outlet(&shop, &plan, head)), known)
}

#[test]
fn two_hundred_machines_are_found_by_their_delivery_runs() {
    let machines: Vec<Machine> = (0..MACHINES).map(Machine::drawn).collect();
    for (sensor, trials) in [(false, DeliveryConfig::BY_EYE.trials), (true, 6)] {
        let name = if sensor { "delivery delay by tube sensor" } else { "delivery delay by eye" };
        let mut all = Distribution::new(name, "s", 0.05);
        let fits: Vec<DeliveryFit> = (machines.par_iter())
            .map(|machine| fitted(machine, sensor, trials).expect("a delay"))
            .collect();
        for (machine, fit) in machines.iter().zip(&fits) {
            all.add(fit.delay_s.value - machine.delay_s);
        }
        all.check();
    }
}

#[test]
fn the_reaction_of_the_person_is_told() {
    let machine = Machine::drawn(3);
    let fit = fitted(&machine, false, 32).expect("a delay");
    let reaction = fit.reaction_s.expect("a person").value;
    assert!((reaction - machine.reaction_s).abs() < 0.04, "{reaction}");
}

#[test]
fn too_few_trials_are_told() {
    let machine = Machine { uneven_s: 0.05, delay_spread_s: 0.03, ..Machine::drawn(4) };
    let fit = fitted(&machine, false, 5).expect("a delay");
    assert!(fit.cautions.iter().any(|it| it.contains("do more")), "{fit}");
}
