//! The reference ramp case (B2) on our own machine: plant k = 1, τ1 = 0.5 s, θ = 0.1 s, SIMC PI at 10 ms,
//! ground speed 1 to 3 m/s at `a` from t = 1 s, 12 s in all. The figures were computed with an Euler step of
//! 1 ms; ours steps the lag exactly, and a millisecond of dead time more or less is worth 1 % of the
//! lowest figure and 0.03 s.

use crate::near;
use sim::desk::speed::onset_floor;
use sim::desk::tuning::{Pi, Plant};
use sim::machine::ReducedDrive;
use sim::scenario::{Drive, Truth};

const PLANT: Plant = Plant { gain: 1.0, lag_s: 0.5, dead_time_s: 0.1 };
/// Command of 1 turns the drive this fast; the loop works in m/s.
const FULL: f64 = 10.0;
const STEP_S: f64 = 0.001;

/// What is added to the PI law.
#[derive(Clone, Copy, Debug)]
enum Forward {
    Nothing,
    Speed,
    /// τ1 times the slope between this sample's speed and the last one's.
    SpeedAndLead,
    /// τ1 times the true slope, without waiting for a second sample.
    SpeedAndTrueLead,
}

/// Lowest and highest rate error, error of the whole mass, %, and time beyond 5 %, s.
#[derive(Clone, Copy, Debug)]
struct Result {
    low: f64,
    high: f64,
    mass: f64,
    beyond_s: f64,
}

fn machine() -> ReducedDrive {
    let map = vec![(0.0, 0.0), (1.0, FULL)];
    let drive = Drive { map, lag_s: PLANT.lag_s, dead_time_s: PLANT.dead_time_s, motor: None };
    let frozen = sim::scenario::read::drill(&tests::demo("drills/reference.toml")).unwrap().truth;
    let truth = Truth { drive, gain: 1.0, swing: 0.0, ..frozen };
    ReducedDrive::new(&truth, &[], STEP_S)
}

fn wanted(accel: f64, t: f64) -> (f64, f64) {
    let speed = (1.0 + accel * (t - 1.0)).clamp(1.0, 3.0);
    let rate = if t >= 1.0 && speed < 3.0 { accel } else { 0.0 };
    (speed, rate)
}

fn ramp(accel: f64, forward: Forward) -> Result {
    let mut drive = machine();
    for step in 0..10_000 {
        drive.step(1.0 / FULL, f64::from(step) * STEP_S);
    }
    let fed = !matches!(forward, Forward::Nothing);
    let mut law = Pi::at(PLANT.simc_tight(), 0.01, if fed { 0.0 } else { 1.0 });
    let mut found = Result { low: 0.0, high: 0.0, mass: 0.0, beyond_s: 0.0 };
    let (mut command, mut last, mut laid, mut owed) = (1.0, 1.0, 0.0, 0.0);
    for step in 0..12_000 {
        let t = f64::from(step) * STEP_S;
        let (speed, slope) = wanted(accel, t);
        let error = (drive.turns_per_s() - speed) / speed;
        if step % 10 == 0 {
            let ahead = match forward {
                Forward::Nothing => 0.0,
                Forward::Speed => speed,
                Forward::SpeedAndLead => speed + PLANT.lag_s * (speed - last) / 0.01,
                Forward::SpeedAndTrueLead => speed + PLANT.lag_s * slope,
            };
            last = speed;
            command = ahead + law.update(speed - drive.turns_per_s());
        }
        found.low = found.low.min(100.0 * error);
        found.high = found.high.max(100.0 * error);
        found.beyond_s += if error.abs() > 0.05 { STEP_S } else { 0.0 };
        laid += drive.turns_per_s() * STEP_S;
        owed += speed * STEP_S;
        drive.step(command / FULL, t);
    }
    found.mass = 100.0 * (laid / owed - 1.0);
    found
}

#[test]
fn the_reference_ramps_come_out_as_tabulated() {
    let table = [
        (Forward::Nothing, 0.3, [-5.70, 0.10, -1.46], None),
        (Forward::Nothing, 0.5, [-8.97, 0.17, -1.33], Some(1.87)),
        (Forward::Nothing, 1.0, [-15.9, 0.34, -1.24], Some(2.00)),
        (Forward::Speed, 0.3, [-4.95, 1.78, 0.007], None),
        (Forward::Speed, 0.5, [-7.88, 2.97, 0.007], Some(0.36)),
        (Forward::Speed, 1.0, [-14.3, 5.83, 0.006], Some(0.80)),
        (Forward::SpeedAndLead, 0.3, [-3.17, 1.10, 0.007], None),
        (Forward::SpeedAndLead, 0.5, [-5.17, 1.83, 0.007], Some(0.03)),
        (Forward::SpeedAndLead, 1.0, [-9.83, 3.67, 0.006], Some(0.19)),
    ];
    for (forward, accel, [low, high, mass], beyond) in table {
        let have = ramp(accel, forward);
        let what = |figure: &str| format!("{forward:?} at {accel} m/s2, {figure}");
        near(&what("lowest, %"), have.low, low, 0.01 * low.abs());
        near(&what("highest, %"), have.high, high, 0.05);
        near(&what("mass, %"), have.mass, mass, 0.02);
        if let Some(beyond) = beyond {
            near(&what("beyond 5 %, s"), have.beyond_s, beyond, 0.03);
        }
    }
}

#[test]
fn the_floor_is_met_by_a_true_lead_and_by_nothing_less() {
    for accel in [0.3, 0.5, 1.0] {
        let floor = -100.0 * onset_floor(accel, 1.0, PLANT.dead_time_s);
        near("true lead, lowest, %", ramp(accel, Forward::SpeedAndTrueLead).low, floor, 1e-6);
        for forward in [Forward::Nothing, Forward::Speed, Forward::SpeedAndLead] {
            let low = ramp(accel, forward).low;
            assert!(
                low < floor - 0.2,
                "{forward:?} at {accel} m/s2: {low} % by a floor of {floor}"
            );
        }
    }
}
