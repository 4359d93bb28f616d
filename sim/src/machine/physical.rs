//! The drive in its physical form: supply, valve, hose, motor, gearing.
//!
//! ```text
//!  i' = (duty/R − i) / τc        x' = (balance(play(i)) − x) / τx
//!  p' = β/V (Q(x, ps − p) − D n − k p)        n' = torques / (2π J)        turns' = n
//! ```
//!
//! Runge-Kutta steps of 0.1 ms; `tests/tests/ode.rs` compares them with a general-purpose solver.

use super::motor::MotorConfig;
use super::supply::SupplyConfig;
use super::valve::{ValveConfig, ValveMemory};

/// Longest step of the equations, s.
const STEP_S: f64 = 1e-4;

/// A drive from valve to meter shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PhysicalConfig {
    /// The tractor's oil.
    pub supply: SupplyConfig,
    /// The valve.
    pub valve: ValveConfig,
    /// The motor and its load.
    pub motor: MotorConfig,
    /// Oil between valve and motor, m³.
    pub hose_m3: f64,
    /// Stiffness β of that oil and its hose, Pa.
    pub bulk_modulus_pa: f64,
    /// Turns of the motor for one of the meter shaft.
    pub motor_turns_per_turn: f64,
}

impl PhysicalConfig {
    /// A demo drive whose reduced form is near that of the reference drill: 1.485 turns/s at full command, opening at
    /// 0.20, lag 0.15 s, dead time 0.05 s.
    pub const REFERENCE: Self = Self {
        supply: SupplyConfig { pressure_pa: 1.5e7, flow_limit_m3_per_s: 6e-4 },
        valve: ValveConfig {
            rated_flow_m3_per_s: 7.28e-5,
            rated_drop_pa: 3.5e6,
            opening: 0.198,
            bend: 0.0,
            hysteresis: 0.0,
            coil_lag_s: 0.008,
            coil_rise: 0.0,
            coil_warm_s: 300.0,
            spool_lag_s: 0.1555,
            dead_time_s: 0.039,
        },
        motor: MotorConfig {
            displacement_m3: 32e-6,
            leak_m3_per_s_pa: 5.3e-13,
            inertia_kg_m2: 0.025,
            load_nm: 6.7,
            ripple: 0.1,
            ripples_per_turn: 7.0,
            viscous_nm_s: 0.02,
        },
        hose_m3: 6e-5,
        bulk_modulus_pa: 1.2e9,
        motor_turns_per_turn: 3.0,
    };
}

/// Where a drive is.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct PhysicalState {
    /// Coil current over full cold current.
    pub current: f64,
    /// Spool position, 0..1.
    pub spool: f64,
    /// Pressure at the motor above that of the return line, Pa.
    pub pressure_pa: f64,
    /// Motor speed, turns/s.
    pub motor_turns_per_s: f64,
    /// Motor turns so far.
    pub motor_turns: f64,
}

/// A drive at work.
#[derive(Clone, Debug)]
pub struct PhysicalDrive {
    config: PhysicalConfig,
    memory: ValveMemory,
    state: PhysicalState,
    t_s: f64,
}

impl PhysicalDrive {
    /// A drive at rest with a cold coil, to be stepped every `step_s`.
    pub fn new(config: PhysicalConfig, step_s: f64) -> Self {
        let memory = ValveMemory::new(&config.valve, step_s);
        Self { config, memory, state: PhysicalState::default(), t_s: 0.0 }
    }

    /// Where it is.
    pub const fn state(&self) -> PhysicalState {
        self.state
    }

    /// The oil supply, to be changed while at work.
    pub const fn supply_mut(&mut self) -> &mut SupplyConfig {
        &mut self.config.supply
    }

    /// One step with `command` held; returns the speed of the meter shaft at its end, turns/s.
    pub fn step(&mut self, command: f64, step_s: f64) -> f64 {
        let felt = self.memory.felt(command);
        let current = self.config.valve.current(felt, self.t_s);
        let count = libm::ceil(step_s / STEP_S - 1e-9).max(1.0);
        let small_s = step_s / count;
        let mut done = 0.0;
        while done < count {
            let driven = self.memory.driven(&self.config.valve, self.state.current);
            self.state = self.runge_kutta(current, driven - self.state.current, small_s);
            done += 1.0;
        }
        self.t_s += step_s;
        self.turns_per_s()
    }

    /// Speed of the meter shaft, turns/s.
    pub const fn turns_per_s(&self) -> f64 {
        self.state.motor_turns_per_s / self.config.motor_turns_per_turn
    }

    /// Rates of change; `behind` is what hysteresis adds to the current that drives the spool.
    fn rates(&self, state: &PhysicalState, current: f64, behind: f64) -> PhysicalState {
        let PhysicalConfig { supply, valve, motor, .. } = &self.config;
        let drop = supply.pressure_pa - state.pressure_pa;
        let fed = supply.delivered(valve.flow_m3_per_s(state.spool, drop));
        let taken = motor.taken_m3_per_s(state.motor_turns_per_s, state.pressure_pa);
        let stiffness = self.config.bulk_modulus_pa / self.config.hose_m3;
        PhysicalState {
            current: (current - state.current) / valve.coil_lag_s,
            spool: (valve.balanced(state.current + behind) - state.spool) / valve.spool_lag_s,
            pressure_pa: stiffness * (fed - taken),
            motor_turns_per_s: motor.turns_per_s2(
                state.motor_turns_per_s,
                state.motor_turns,
                state.pressure_pa,
            ),
            motor_turns: state.motor_turns_per_s,
        }
    }

    fn runge_kutta(&self, current: f64, behind: f64, step_s: f64) -> PhysicalState {
        let start = self.state;
        let k1 = self.rates(&start, current, behind);
        let k2 = self.rates(&start.moved(&k1, step_s / 2.0), current, behind);
        let k3 = self.rates(&start.moved(&k2, step_s / 2.0), current, behind);
        let k4 = self.rates(&start.moved(&k3, step_s), current, behind);
        let mut end = start.moved(&k1, step_s / 6.0).moved(&k2, step_s / 3.0);
        end = end.moved(&k3, step_s / 3.0).moved(&k4, step_s / 6.0);
        // The return line makes up for oil that is missing: there is no pressure below its own.
        end.pressure_pa = end.pressure_pa.max(0.0);
        end
    }
}

impl PhysicalState {
    const fn moved(&self, rates: &Self, step_s: f64) -> Self {
        Self {
            current: self.current + step_s * rates.current,
            spool: self.spool + step_s * rates.spool,
            pressure_pa: self.pressure_pa + step_s * rates.pressure_pa,
            motor_turns_per_s: self.motor_turns_per_s + step_s * rates.motor_turns_per_s,
            motor_turns: self.motor_turns + step_s * rates.motor_turns,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Shaft speed after 3 s of a command.
    fn settled(config: PhysicalConfig, command: f64) -> f64 {
        let mut drive = PhysicalDrive::new(config, 0.001);
        (0..3000).map(|_| drive.step(command, 0.001)).last().unwrap_or(0.0)
    }

    #[test]
    fn a_valve_that_is_shut_turns_nothing() {
        assert!(settled(PhysicalConfig::REFERENCE, 0.15).abs() < 1e-9);
    }

    #[test]
    fn a_warm_coil_passes_less_oil() {
        let mut warm = PhysicalConfig::REFERENCE;
        (warm.valve.coil_rise, warm.valve.coil_warm_s) = (0.4, 0.01);
        let (cold, warm) = (settled(PhysicalConfig::REFERENCE, 0.7), settled(warm, 0.7));
        assert!((warm / cold - 0.6).abs() < 0.02, "0.7 / 1.4 is 0.5: {warm} of {cold} turns/s");
    }

    #[test]
    fn a_starved_supply_limits_the_speed() {
        let mut starved = PhysicalConfig::REFERENCE;
        starved.supply.flow_limit_m3_per_s = 5e-5;
        let limit = 5e-5 / starved.motor.displacement_m3 / starved.motor_turns_per_turn;
        let speed = settled(starved, 1.0);
        assert!(
            (0.97..1.0).contains(&(speed / limit)),
            "{speed} turns/s of {limit}, less the leak"
        );
    }

    #[test]
    fn hysteresis_turns_the_shaft_faster_on_the_way_down() {
        let mut config = PhysicalConfig::REFERENCE;
        config.valve.hysteresis = 0.04;
        let mut drive = PhysicalDrive::new(config, 0.001);
        let mut hold = |command: f64| (0..3000).map(|_| drive.step(command, 0.001)).last().unwrap();
        let (rising, _, falling) = (hold(0.6), hold(1.0), hold(0.6));
        let slope = 1.485 / 0.8;
        assert!(
            ((falling - rising) / slope - 0.04).abs() < 0.003,
            "{rising} and {falling} turns/s"
        );
    }
}
