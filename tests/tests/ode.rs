//! The machine's equations against a general-purpose solver: Dormand and Prince of order 8 with error
//! control at 1e-10. The equations are written out anew here, from the physics and not from the machine's code.
//!
//! | machine | bound over the whole run |
//! |---|---|
//! | reduced drive, held commands | 1e-7 turns/s |
//! | reduced drive, gain that swings | 5e-5 turns/s (the gain is held over a step of 1 ms) |
//! | physical drive | 1e-6 turns/s, 50 Pa |

use differential_equations::prelude::*;
use sim::machine::{PhysicalConfig, PhysicalDrive, ReducedDrive};
use sim::scenario::Truth;
use std::f64::consts::TAU;

/// Commands held for 1 s each: opened wide, throttled, shut, just open, wide again.
const COMMANDS: [f64; 6] = [0.5, 1.0, 0.35, 0.0, 0.25, 0.8];

/// Solves from `start` at 0 to `span_s` and returns the states every 10 ms, the first after 10 ms.
fn solved<const N: usize>(
    ode: &impl ODE<f64, [f64; N]>,
    from_s: f64,
    start: [f64; N],
) -> Vec<[f64; N]> {
    let times: Vec<f64> = (1..=100).map(|step| from_s + f64::from(step) / 100.0).collect();
    let method =
        ExplicitRungeKutta::dop853().rtol(1e-10).atol(1e-10).h_max(0.005).max_steps(1_000_000);
    let problem = IVP::ode(ode, from_s, from_s + 1.0, start).t_eval(times).method(method);
    let solution = problem.solve().unwrap_or_else(|error| panic!("{error:?}"));
    let states: Vec<[f64; N]> = solution.iter().map(|(_, state)| *state).collect();
    assert_eq!(states.len(), 100, "a state every 10 ms");
    states
}

/// `τ1 dn/dt = gain (1 + swing sin(rate t)) f(u) − n`.
struct FirstOrder {
    lag_s: f64,
    aim: f64,
    swing: f64,
    rad_per_s: f64,
}

impl ODE<f64, [f64; 1]> for FirstOrder {
    fn diff(&self, t: f64, n: &[f64; 1], slope: &mut [f64; 1]) {
        let aim = self.aim * (1.0 + self.swing * (self.rad_per_s * t).sin());
        slope[0] = (aim - n[0]) / self.lag_s;
    }
}

/// The reference drill's drive without dead time: a dead time only moves the commands.
fn reference(swing: f64) -> Truth {
    let mut truth =
        sim::scenario::read::drill(&tests::demo("drills/reference.toml")).unwrap().truth;
    truth.drive.dead_time_s = 0.0;
    Truth { swing, ..truth }
}

/// Largest difference of the shaft speed, turns/s.
fn reduced_apart(swing: f64) -> f64 {
    let mut drive = ReducedDrive::new(&reference(swing), &[], 0.001);
    let (mut state, mut worst) = ([0.0], 0.0_f64);
    for (second, command) in (0_i32..).zip(COMMANDS) {
        let aim = 0.9 * 1.65 * f64::max(0.0, (command - 0.2) / 0.8);
        let ode = FirstOrder { lag_s: 0.15, aim, swing, rad_per_s: 0.9 };
        let states = solved(&ode, f64::from(second), state);
        for (index, solved) in (0_i32..).zip(&states) {
            for step in 1..=10 {
                let tick = 1000 * second + 10 * index + step;
                drive.step(command, f64::from(tick) / 1000.0);
            }
            worst = worst.max((drive.turns_per_s() - solved[0]).abs());
        }
        state = states[99];
    }
    worst
}

#[test]
fn the_reduced_drive_is_its_differential_equation() {
    let apart = reduced_apart(0.0);
    assert!(apart < 1e-7, "{apart} turns/s apart");
    let apart = reduced_apart(0.03);
    assert!(apart < 5e-5, "with a gain that swings {apart} turns/s apart");
}

/// The physical drive: current, spool, pressure in megapascals, motor speed, motor turns.
struct Physical {
    config: PhysicalConfig,
    current: f64,
}

impl ODE<f64, [f64; 5]> for Physical {
    fn diff(&self, _t: f64, state: &[f64; 5], slope: &mut [f64; 5]) {
        let PhysicalConfig { supply, valve, motor, hose_m3, bulk_modulus_pa, .. } = self.config;
        let [current, spool, mega_pascals, n, turns] = *state;
        let pressure = 1e6 * mega_pascals;
        slope[0] = (self.current - current) / valve.coil_lag_s;
        let balance = ((current - valve.opening) / (1.0 - valve.opening)).clamp(0.0, 1.0);
        slope[1] = (balance - spool) / valve.spool_lag_s;
        // Q = Q_N f(x) sqrt(Δp / Δp_N); the drop stays far above the laminar range here.
        let drop = supply.pressure_pa - pressure;
        let curve = spool + valve.bend * (spool * spool - spool);
        let flow = valve.rated_flow_m3_per_s * curve * (drop / valve.rated_drop_pa).sqrt();
        let flow = flow.min(supply.flow_limit_m3_per_s);
        let taken = motor.displacement_m3 * n + motor.leak_m3_per_s_pa * pressure;
        slope[2] = bulk_modulus_pa / hose_m3 * (flow - taken) / 1e6;
        let load =
            motor.load_nm * (1.0 + motor.ripple * (TAU * motor.ripples_per_turn * turns).sin());
        let torque = motor.displacement_m3 * pressure / TAU
            - load * (n / 0.02).tanh()
            - motor.viscous_nm_s * TAU * n;
        slope[3] = torque / (TAU * motor.inertia_kg_m2);
        slope[4] = n;
    }
}

/// Largest differences of shaft speed (turns/s) and pressure (Pa) over all commands.
fn physical_apart(mut config: PhysicalConfig) -> (f64, f64) {
    config.valve.dead_time_s = 0.0;
    let mut drive = PhysicalDrive::new(config, 0.001);
    let (mut state, mut worst) = ([0.0; 5], (0.0_f64, 0.0_f64));
    for (second, command) in (0_i32..).zip(COMMANDS) {
        let ode = Physical { config, current: command };
        let states = solved(&ode, f64::from(second), state);
        for solved in &states {
            assert!(solved[2] > -0.001, "the return line makes up for nothing here: {solved:?}");
            for _ in 0..10 {
                drive.step(command, 0.001);
            }
            let speed = solved[3] / config.motor_turns_per_turn;
            worst.0 = worst.0.max((drive.turns_per_s() - speed).abs());
            worst.1 = worst.1.max((drive.state().pressure_pa - 1e6 * solved[2]).abs());
        }
        state = states[99];
    }
    worst
}

#[test]
fn the_physical_drive_is_its_differential_equations() {
    let mut bent = PhysicalConfig::REFERENCE;
    bent.valve.bend = 0.4;
    let mut starved = PhysicalConfig::REFERENCE;
    starved.supply.flow_limit_m3_per_s = 1e-4;
    for (name, config) in
        [("reference", PhysicalConfig::REFERENCE), ("bent curve", bent), ("starved", starved)]
    {
        let (speed, pressure) = physical_apart(config);
        eprintln!("{name}: {speed} turns/s and {pressure} Pa apart");
        assert!(speed < 1e-6, "{name}: {speed} turns/s apart");
        assert!(pressure < 50.0, "{name}: {pressure} Pa apart");
    }
}
