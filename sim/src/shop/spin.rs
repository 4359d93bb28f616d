//! The spin run in the shop: a plan plays the valve, the encoder's edges are written down.

use crate::machine::{EdgeSensor, Noise, ReducedDrive};
use crate::scenario::Truth;
use controller::measure::{RunHead, RunRow, SpinRow};
use controller::quantity::{Command, Micros};
use std::fmt::Write;

/// Physics step, s; ten make a tick.
const STEP_S: f64 = 0.001;

/// Something planted.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum SpinTrouble {
    /// Nothing.
    #[default]
    Nothing,
    /// The edges arrive as those of this side.
    Elsewhere(usize),
    /// The shaft turns backwards, and a second channel says so.
    Backwards,
    /// Air that works itself out: an extra lag at the start, s, that fades over two minutes.
    Air(f64),
    /// Below this speed the shaft stands for half the time, turns/s.
    Jerks(f64),
    /// One edge of every turn is missing.
    MissingTooth,
    /// Edges are lost at odd places, share.
    Lost(f64),
}

/// A machine in the shop.
#[derive(Clone, Debug)]
pub struct SpinShop {
    /// The drive as it truly is.
    pub truth: Truth,
    /// Edges of the encoder per turn.
    pub pulses_per_turn: u32,
    /// One tooth is off its place by so much of a pulse.
    pub tooth: f64,
    /// What is planted.
    pub trouble: SpinTrouble,
    /// Seed of jitter and losses.
    pub seed: u64,
}

/// What the board reads in a tick.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Spun {
    /// Since the start.
    pub since: Micros,
    /// Edges of the side's encoder.
    pub edges: u32,
    /// Instant of the last, since the start.
    pub edge_at: Micros,
}

/// Plays a plan until it ends, and two seconds more while the shaft runs out; returns the log.
pub fn spin(
    shop: &SpinShop,
    head: RunHead,
    plan: &mut dyn FnMut(Spun) -> Option<Command>,
) -> String {
    let mut bench = Bench::new(shop);
    let mut text = head.to_string();
    let (mut over, mut ticks) = (0, 0_u32);
    while over < 200 {
        let since = Micros::from_millis(ticks * 10);
        let now = Spun { since, edges: bench.count, edge_at: bench.edge_at };
        let command = plan(now).unwrap_or_else(|| {
            over += 1;
            Command::ZERO
        });
        let row = RunRow::Spin(since, bench.row(command, head.side), head.side, head.sides);
        // Writing to a string cannot fail.
        let _ = write!(text, "{row}");
        bench.tick(f64::from(command.to_bits()) / 65_535.0, f64::from(ticks) / 100.0);
        ticks += 1;
    }
    text
}

/// The machine while a plan is played.
struct Bench<'a> {
    shop: &'a SpinShop,
    drive: ReducedDrive,
    sensor: EdgeSensor,
    noise: Noise,
    air_turns_per_s: f64,
    turns: f64,
    /// Edges that the sensor gave, and those that arrived.
    given: u64,
    count: u32,
    edge_at: Micros,
}

impl<'a> Bench<'a> {
    fn new(shop: &'a SpinShop) -> Self {
        let pulses = f64::from(shop.pulses_per_turn);
        let jitter = shop.truth.encoder_jitter;
        Self {
            shop,
            drive: ReducedDrive::new(&shop.truth, &[], STEP_S),
            sensor: EdgeSensor::new(pulses, jitter, shop.seed).with_tooth(shop.tooth),
            noise: Noise::new(shop.seed.wrapping_add(1)),
            air_turns_per_s: 0.0,
            turns: 0.0,
            given: 0,
            count: 0,
            edge_at: Micros::ZERO,
        }
    }

    /// What is written down now.
    fn row(&self, command: Command, side: u8) -> SpinRow {
        let side = match self.shop.trouble {
            SpinTrouble::Elsewhere(other) => other,
            _ => usize::from(side),
        };
        let mut edges = [0; controller::MAX_SIDES];
        edges[side] = self.count;
        let back = if self.shop.trouble == SpinTrouble::Backwards { self.count } else { 0 };
        SpinRow { command, edges, edge_at: self.edge_at, back }
    }

    fn tick(&mut self, command: f64, t_s: f64) {
        for step in 1..=10 {
            let end_s = t_s + STEP_S * f64::from(step);
            let speed = self.drive.step(command, end_s);
            let from = self.turns;
            self.turns += STEP_S * self.troubled(speed, end_s);
            self.sensor.step(from, self.turns, end_s, STEP_S);
            self.arrive();
        }
    }

    /// The speed with what is planted.
    fn troubled(&mut self, speed: f64, t_s: f64) -> f64 {
        match self.shop.trouble {
            SpinTrouble::Air(lag_s) => {
                let lag_s = lag_s * libm::exp(-t_s / 120.0);
                self.air_turns_per_s += (speed - self.air_turns_per_s) * STEP_S / (lag_s + STEP_S);
                self.air_turns_per_s
            }
            SpinTrouble::Jerks(below) if speed < below => {
                if (t_s / 0.15) % 1.0 < 0.5 {
                    0.0
                } else {
                    2.0 * speed
                }
            }
            _ => speed,
        }
    }

    /// Takes in the edges that the sensor gave, but for those that are lost.
    fn arrive(&mut self) {
        let edges = self.sensor.edges();
        while self.given < edges.count {
            self.given += 1;
            let lost = match self.shop.trouble {
                SpinTrouble::MissingTooth => self.given % u64::from(self.shop.pulses_per_turn) == 9,
                SpinTrouble::Lost(share) => self.noise.uniform() < share,
                _ => false,
            };
            if !lost {
                self.count += 1;
                #[expect(
                    clippy::cast_possible_truncation,
                    clippy::cast_sign_loss,
                    reason = "a run of minutes"
                )]
                let micros = libm::round(edges.last_s * 1e6) as u32;
                self.edge_at = Micros::new(micros);
            }
        }
    }
}
