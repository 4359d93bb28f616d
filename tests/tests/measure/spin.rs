//! The spin run: map, gain, opening, lag, dead time of every machine.

use crate::distribution::Distribution;
use crate::machine::{MACHINES, Machine};
use crate::read;
use controller::measure::{RunHead, RunKind, SpinConfig, SpinPlan};
use controller::quantity::Command;
use rayon::prelude::*;
use sim::fit::{SpinFit, Wanted, spin};
use sim::machine::flow;
use sim::scenario::Drive;
use sim::shop::{SpinShop, SpinTrouble};

/// The command of a share.
pub(crate) fn command(share: f64) -> Command {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share of 1")]
    Command::from_bits((share * 65_535.0).round() as u16)
}

/// The machine in the shop.
pub(crate) fn shop(machine: &Machine, trouble: SpinTrouble) -> SpinShop {
    SpinShop {
        truth: machine.truth.clone(),
        pulses_per_turn: machine.pulses_per_turn,
        tooth: machine.tooth,
        trouble,
        seed: machine.seed,
    }
}

/// The log of a machine's spin run.
pub(crate) fn log(machine: &Machine, trouble: SpinTrouble) -> String {
    let shop = shop(machine, trouble);
    let plan = SpinPlan::new(SpinConfig::about(command(machine.sheet_opening))).unwrap();
    let head =
        RunHead { kind: RunKind::Spin, side: 0, sides: 2, edges_per_turn: machine.pulses_per_turn };
    sim::shop::spin(&shop, head, &mut |now| plan.command(now.since))
}

fn measured(machine: &Machine) -> SpinFit {
    let fit = spin(&read(log(machine, SpinTrouble::Nothing)), Wanted::default());
    fit.unwrap_or_else(|error| panic!("machine {}: {error}", machine.seed))
}

/// Largest error of a map, in per cent: of the speed, or of a tenth of full speed where it turns slower.
fn map_error_pct(told: &Drive, truth: &Drive) -> f64 {
    let full = truth.full_turns_per_s();
    let error = |step: u32| {
        let command = f64::from(step) / 200.0;
        let want = flow(&truth.map, command);
        (100.0 * (flow(&told.map, command) - want) / want.max(0.1 * full)).abs()
    };
    (0..=200).map(error).fold(0.0, f64::max)
}

/// What is judged, its unit, its bound.
pub(crate) const NAMES: [&str; 6] = ["map", "gain", "opening", "hysteresis", "lag", "dead time"];
const UNITS: [&str; 6] = ["%", "%", "of full command", "of full command", "%", "ms"];
pub(crate) const BOUNDS: [f64; 6] = [2.0, 2.0, 0.01, 0.02, 15.0, 10.0];

/// How far off the numbers of a machine are.
pub(crate) fn errors(machine: &Machine, found: &SpinFit) -> [f64; 6] {
    let truth = &machine.truth.drive;
    let gain = truth.full_turns_per_s() / (1.0 - truth.opening());
    [
        map_error_pct(&found.fit.drive(), truth),
        100.0 * (found.fit.gain.value / gain - 1.0),
        found.fit.opening.value - truth.opening(),
        found.hysteresis.value - machine.truth.hysteresis,
        100.0 * (found.fit.lag_s.value / truth.lag_s - 1.0),
        1000.0 * (found.fit.dead_time_s.value - truth.dead_time_s),
    ]
}

#[test]
fn two_hundred_machines_are_found_by_their_spin_runs() {
    let machines: Vec<Machine> = (0..MACHINES).map(Machine::drawn).collect();
    let fits: Vec<SpinFit> = machines.par_iter().map(measured).collect();
    let mut all: Vec<Distribution> =
        (0..NAMES.len()).map(|it| Distribution::new(NAMES[it], UNITS[it], BOUNDS[it])).collect();
    for (machine, found) in machines.iter().zip(&fits) {
        let errors = errors(machine, found);
        all.iter_mut().zip(errors).for_each(|(distribution, error)| distribution.add(error));
    }
    all.iter().for_each(Distribution::check);
    for (machine, found) in machines.iter().zip(&fits) {
        assert!(found.troubles.is_empty(), "machine {}: {:?}", machine.seed, found.troubles);
    }
}
