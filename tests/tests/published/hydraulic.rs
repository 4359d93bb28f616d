//! Valve flow (VAL) and hydraulic motors (HYD).

use crate::near;
use sim::desk::factor::{BAR_PA, CUBIC_INCH_M3, GALLON_M3, LITRE_M3, POUND_INCH_NM, PSI_PA};
use sim::desk::{motor, valve};
use sim::machine::{MotorConfig, PhysicalConfig, ValveConfig};

/// Course text on proportional valves (VAL-01 to VAL-03); `Q = Q_N u sqrt(Δp / Δp_N)`, L/min and bar.
#[test]
fn val_01_to_03_flow_through_a_proportional_valve() {
    near("VAL-01 at 20 bar", valve::flow(40.0, 0.75, 20.0, 10.0), 42.4, 0.05);
    near("VAL-01 at 10 bar", valve::flow(40.0, 0.75, 10.0, 10.0), 30.0, 1e-9);
    near("VAL-02", valve::flow(60.0, 1.0, 40.0, 10.0), 120.0, 1e-9);
    // 25.5155 is printed as 25.5: half a step holds.
    near("VAL-03", valve::rated_flow_for(25.0, 0.80, 15.0, 10.0), 25.5, 0.05);
}

const GPM: f64 = GALLON_M3 / 60.0;
const RPM: f64 = 1.0 / 60.0;
const LITRE_PER_MIN: f64 = LITRE_M3 / 60.0;

/// Nott Company, hydraulic motor calculations (HYD-01 to HYD-03):
/// <http://nottco.com/fluid-power/about/resources/hydraulic-motor-calculations.html>
#[test]
fn hyd_01_to_03_flow_speed_and_torque() {
    let flow = motor::flow_m3_per_s(2.51 * CUBIC_INCH_M3, 1200.0 * RPM);
    near("HYD-01, gpm", flow / GPM, 13.04, 0.005);
    let speed = motor::turns_per_s(8.0 * GPM, 0.95 * CUBIC_INCH_M3);
    near("HYD-02, rpm", speed / RPM, 1945.0, 0.5);
    let torque = motor::torque_nm(2.25 * CUBIC_INCH_M3, 2200.0 * PSI_PA);
    // The source takes 6.28 for 2π: 0.051 % high.
    near("HYD-03, lb in", torque / POUND_INCH_NM, 788.22, 788.22 * 0.000_52);
}

/// KTN Fluid Power, resources (HYD-04, HYD-05): <https://ktnfluidpower.com/resources/>
#[test]
fn hyd_04_and_05_flow_and_speed() {
    let flow = motor::flow_m3_per_s(3.75 * CUBIC_INCH_M3, 1500.0 * RPM);
    near("HYD-04, gpm", flow / GPM, 24.35, 0.005);
    let speed = motor::turns_per_s(6.0 * GPM, 0.75 * CUBIC_INCH_M3);
    near("HYD-05, rpm", speed / RPM, 1848.0, 0.5);
}

/// Sullivan, *Fluid Power: Theory and Applications*, 4th edition, examples 9.2 and 9.3, pages 194 and 195
/// (HYD-06, HYD-07), through FOSSEE, Python-Textbook-Companions, `Chapter_No_9.ipynb`.
#[test]
fn hyd_06_and_07_textbook_examples() {
    let speed = motor::turns_per_s(7.5 * GPM, 2.0 * CUBIC_INCH_M3);
    near("HYD-06, rpm", speed / RPM, 866.250, 5e-4);
    let speed = motor::turns_per_s(28.39 * LITRE_PER_MIN, 0.032_81 * LITRE_M3);
    near("HYD-06 in SI, rpm", speed / RPM, 865.285, 5e-4);
    let flow = motor::flow_m3_per_s(0.55 * CUBIC_INCH_M3, 3400.0 * RPM);
    near("HYD-07, gpm", flow / GPM, 8.095, 5e-4);
}

/// Open-source engineering course text on orbital motors (HYD-20): 100 cm³ a turn leaks 2 L/min at 200 bar.
#[test]
fn hyd_20_leakage_eats_the_low_speeds() {
    let (displacement, leak) = (1e-4, 2.0 * LITRE_PER_MIN);
    for (fed, rpm, efficiency) in [(60.0, 580.0, 96.7), (5.0, 30.0, 60.0)] {
        let fed = fed * LITRE_PER_MIN;
        let speed = motor::leaking_turns_per_s(fed, leak, displacement);
        near("rpm", speed / RPM, rpm, 1e-9);
        let share = motor::volumetric_efficiency(fed, speed, displacement);
        near("volumetric efficiency, %", 100.0 * share, efficiency, 0.05);
        let back = motor::fed_m3_per_s(displacement, speed, share);
        near("fed again, L/min", back / LITRE_PER_MIN, fed / LITRE_PER_MIN, 1e-9);
    }
}

/// The same source wants 2.5 L/min for 10 cm³ at 150 rpm and 60 %: a motor needs more, not less.
#[test]
fn a_leaking_motor_is_fed_more_than_its_displacement() {
    let fed = motor::fed_m3_per_s(1e-5, 150.0 * RPM, 0.60);
    near("L/min", fed / LITRE_PER_MIN, 2.5, 1e-9);
    let torque = motor::torque_nm(315e-6, 160.0 * BAR_PA) * 0.86;
    near("HYD-22, N m", torque, 690.0, 0.5);
}

/// The bench's valve on VAL-01 and VAL-02: a spool at 75 % and at full.
#[test]
fn the_machine_valve_passes_the_published_flow() {
    let valve = |rated: f64| ValveConfig {
        rated_flow_m3_per_s: rated * LITRE_PER_MIN,
        rated_drop_pa: 10.0 * BAR_PA,
        ..PhysicalConfig::REFERENCE.valve
    };
    let passed = |rated: f64, spool: f64, drop: f64| {
        valve(rated).flow_m3_per_s(spool, drop * BAR_PA) / LITRE_PER_MIN
    };
    near("VAL-01 at 20 bar", passed(40.0, 0.75, 20.0), 42.4, 0.05);
    near("VAL-01 at 10 bar", passed(40.0, 0.75, 10.0), 30.0, 1e-9);
    near("VAL-02", passed(60.0, 1.0, 40.0), 120.0, 1e-9);
}

/// The bench's motor on HYD-20: at the published speeds it takes in just what was fed.
#[test]
fn the_machine_motor_leaks_as_published() {
    let motor = MotorConfig {
        displacement_m3: 1e-4,
        leak_m3_per_s_pa: 2.0 * LITRE_PER_MIN / (200.0 * BAR_PA),
        ..PhysicalConfig::REFERENCE.motor
    };
    for (rpm, fed) in [(580.0, 60.0), (30.0, 5.0)] {
        let taken = motor.taken_m3_per_s(rpm * RPM, 200.0 * BAR_PA);
        near("fed, L/min", taken / LITRE_PER_MIN, fed, 1e-9);
    }
}
