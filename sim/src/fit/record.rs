//! Plays a step program on a drive and writes the step log down.

use super::log::{Row, StepLog};
use crate::machine::{BenchDrive, EdgeSensor};
use crate::scenario::Drill;

/// Physics step, s; ten make a row.
const STEP_S: f64 = 0.001;
/// Steps in a row.
const STEPS_IN_ROW: u32 = 10;

/// Commands that are held one after the other.
#[derive(Clone, Debug, PartialEq)]
pub struct Program {
    /// The commands, 0..1, in order.
    pub commands: Vec<f64>,
    /// Each is held so long, s.
    pub hold_s: f64,
    /// The whole is played so often.
    pub repeats: u32,
}

impl Program {
    /// The program of the commissioning sheet: a staircase up and down, close where the valve opens, then whole
    /// steps; each command is held for 3 s, all is played three times.
    pub fn standard() -> Self {
        let fine = (1..=10).map(|step| f64::from(step) * 0.04);
        let coarse = (5..=10).map(|step| f64::from(step) * 0.1);
        let up: Vec<f64> = fine.chain(coarse).collect();
        let down = up.iter().rev().skip(1).copied();
        let steps = [0.0, 0.6, 0.0, 1.0, 0.6, 1.0, 0.0];
        let commands = up.iter().copied().chain(down).chain(steps).collect();
        Self { commands, hold_s: 3.0, repeats: 3 }
    }

    /// A shorter program, for the demo log: holds of 2 s, played twice.
    pub fn short() -> Self {
        let up = [0.0, 0.12, 0.16, 0.2, 0.24, 0.28, 0.32, 0.4, 0.55, 0.7, 0.85, 1.0];
        let down = up.iter().rev().skip(1).copied();
        let steps = [0.6, 0.0, 1.0, 0.5, 0.0];
        let commands = up.iter().copied().chain(down).chain(steps).collect();
        Self { commands, hold_s: 2.0, repeats: 2 }
    }
}

/// The step log of a drill's first side as the bench's machine truly is.
pub fn bench_log(drill: &Drill, program: &Program) -> StepLog {
    let mut drive = BenchDrive::new(&drill.truth, &[], STEP_S);
    let pulses = drill.sides.first().map_or(1, |side| side.encoder_pulses_per_turn);
    let mut t = 0.0;
    record(program, (pulses, drill.truth.encoder_jitter), 1, &mut |command, step_s| {
        t += step_s;
        drive.step(command, t)
    })
}

/// Plays `program`; `drive` is stepped with a command and a time and answers with the shaft speed, turns/s.
pub fn record(
    program: &Program,
    encoder: (u32, f64),
    seed: u64,
    drive: &mut dyn FnMut(f64, f64) -> f64,
) -> StepLog {
    let (encoder_pulses_per_turn, jitter) = encoder;
    let mut sensor = EdgeSensor::new(f64::from(encoder_pulses_per_turn), jitter, seed);
    let mut rows = Vec::new();
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "some hundred rows"
    )]
    let rows_in_hold = (program.hold_s / (STEP_S * f64::from(STEPS_IN_ROW))).round() as u32;
    let (mut tick, mut turns) = (0_u32, 0.0);
    for _ in 0..program.repeats {
        for &command in &program.commands {
            for _ in 0..rows_in_hold {
                let t_s = f64::from(tick) / 100.0;
                rows.push(Row { t_s, command, edges: sensor.edges().count });
                for step in 1..=STEPS_IN_ROW {
                    let from = turns;
                    turns += STEP_S * drive(command, STEP_S).max(0.0);
                    sensor.step(from, turns, t_s + STEP_S * f64::from(step), STEP_S);
                }
                tick += 1;
            }
        }
    }
    StepLog { encoder_pulses_per_turn, rows }
}
