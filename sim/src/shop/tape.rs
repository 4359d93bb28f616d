//! The ground run and the flag run in the shop: a drive from standstill to standstill, the wheel's pulses written down.
//!
//! ```text
//!  speed │  ╱▔▔▔▔▔▔▔▔▔╲      the wheel gives pulses per metre × (1 + pass's slip + wander), the receiver speed
//!        └─╱───────────╲──    with noise, late
//! ```

use crate::machine::{EdgeSensor, Noise};
use controller::measure::{FlagRow, GroundRow, RunHead, RunRow};
use controller::quantity::{MetresPerSecond, Micros};
use std::fmt::Write;

/// Physics step, s; ten make a tick.
const STEP_S: f64 = 0.001;
/// Acceleration from and to standstill, m/s².
const ACCEL: f64 = 0.5;
/// Wander of the wheel's rolling radius fades over this way, m.
const WANDER_M: f64 = 5.0;
/// The receiver gives a speed so often, in ticks, and so late, s.
const SAMPLE_TICKS: u32 = 10;
const LATE_S: f64 = 0.1;

/// A wheel, a receiver and a driver.
#[derive(Clone, Copy, Debug)]
pub struct TapeShop {
    /// True pulses per metre of this pass, its slip included, 1/m.
    pub pulses_per_m: f64,
    /// Wander of the rolling radius along the way, share, rms.
    pub wander: f64,
    /// True length from standstill to standstill, m.
    pub length_m: f64,
    /// Working speed, m/s.
    pub speed_mps: f64,
    /// Noise of the receiver, m/s rms; none without a receiver.
    pub receiver_mps: Option<f64>,
    /// Seed of wander and noise.
    pub seed: u64,
}

/// The lift of a flag run.
#[derive(Clone, Copy, Debug)]
pub struct LiftShop {
    /// The switch reads "in work" from here on, m from flag A ...
    pub lowered_m: f64,
    /// ... to here.
    pub lifted_m: f64,
    /// It bounces for so long, s.
    pub bounce_s: f64,
    /// The shaft gives its first edge so long after the switch, s.
    pub shaft_after_s: f64,
}

/// Drives the taped way; returns the log.
pub fn ground(shop: &TapeShop, head: RunHead) -> String {
    let mut text = head.to_string();
    let mut road = Road::new(shop);
    while !road.over() {
        let row = GroundRow {
            ground: road.count(),
            ground_at: road.edge_at(),
            speed: road.receiver(),
            marks: 0,
        };
        let _ = write!(text, "{}", RunRow::Ground(road.now(), row));
        road.tick();
    }
    text
}

/// Drives from flag A to flag C; returns the log and the true place where the shaft gave its first edge, m.
pub fn flag(shop: &TapeShop, lift: &LiftShop, head: RunHead) -> (String, f64) {
    let mut text = head.to_string();
    let mut road = Road::new(shop);
    let (mut lowered_s, mut shaft_m, mut edges) = (None, f64::NAN, 0);
    let mut changed_s = f64::NEG_INFINITY;
    let mut before = false;
    while !road.over() {
        let down = (lift.lowered_m..lift.lifted_m).contains(&road.travel_m);
        if down != before {
            (before, changed_s) = (down, road.t_s());
        }
        if down && lowered_s.is_none() {
            lowered_s = Some(road.t_s());
        }
        let bouncing = road.t_s() - changed_s < lift.bounce_s && (road.ticks % 2 == 1);
        if lowered_s.is_some_and(|from| road.t_s() >= from + lift.shaft_after_s) && down {
            if edges == 0 {
                shaft_m = road.travel_m;
            }
            edges += 2;
        }
        let row = FlagRow {
            ground: road.count(),
            ground_at: road.edge_at(),
            lift: down != bouncing,
            edges,
            marks: 0,
        };
        let _ = write!(text, "{}", RunRow::Flag(road.now(), row));
        road.tick();
    }
    (text, shaft_m)
}

/// The drive along the way.
struct Road {
    shop: TapeShop,
    sensor: EdgeSensor,
    noise: Noise,
    travel_m: f64,
    rolled_m: f64,
    wander: f64,
    speed_mps: f64,
    /// The speeds of the last ticks, for a receiver that is late.
    speeds: Vec<f64>,
    shown: Option<MetresPerSecond>,
    ticks: u32,
    /// Ticks since it stands again.
    stood: u32,
}

impl Road {
    fn new(shop: &TapeShop) -> Self {
        Self {
            shop: *shop,
            sensor: EdgeSensor::new(shop.pulses_per_m, 0.01, shop.seed),
            noise: Noise::new(shop.seed.wrapping_add(7)),
            travel_m: 0.0,
            rolled_m: 0.0,
            wander: 0.0,
            speed_mps: 0.0,
            speeds: Vec::new(),
            shown: None,
            ticks: 0,
            stood: 0,
        }
    }

    /// It has stood for a second at the end.
    const fn over(&self) -> bool {
        self.stood > 100
    }

    fn t_s(&self) -> f64 {
        f64::from(self.ticks) / 100.0
    }

    const fn now(&self) -> Micros {
        Micros::from_millis(self.ticks * 10)
    }

    fn count(&self) -> u32 {
        u32::try_from(self.sensor.edges().count).unwrap_or(u32::MAX)
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "minutes")]
    fn edge_at(&self) -> Micros {
        Micros::new(libm::round(self.sensor.edges().last_s * 1e6) as u32)
    }

    const fn receiver(&self) -> Option<MetresPerSecond> {
        self.shown
    }

    /// Ten steps on.
    fn tick(&mut self) {
        for step in 1..=10 {
            let left_m = self.shop.length_m - self.travel_m;
            let braking = (2.0 * ACCEL * left_m.max(0.0)).sqrt();
            let rising = self.speed_mps + ACCEL * STEP_S;
            self.speed_mps = rising.min(self.shop.speed_mps).min(braking);
            let way = (self.speed_mps * STEP_S).min(left_m.max(0.0));
            let keep = libm::exp(-way / WANDER_M);
            let kick = self.shop.wander * (1.0 - keep * keep).sqrt();
            self.wander = self.wander * keep + kick * self.noise.gauss();
            let from = self.rolled_m;
            self.rolled_m += way * (1.0 + self.wander);
            self.travel_m += way;
            let end_s = self.t_s() + STEP_S * f64::from(step);
            self.sensor.step(from, self.rolled_m, end_s, STEP_S);
        }
        self.speeds.push(self.speed_mps);
        self.ticks += 1;
        // The last millimetre takes for ever.
        if self.shop.length_m - self.travel_m < 1e-3 {
            self.stood += 1;
            self.speed_mps = 0.0;
        }
        self.sample();
    }

    /// A speed of the receiver, late and noisy.
    fn sample(&mut self) {
        let Some(noise_mps) = self.shop.receiver_mps else { return };
        if !self.ticks.is_multiple_of(SAMPLE_TICKS) {
            return;
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some ticks")]
        let late = (LATE_S * 100.0) as usize;
        let then = self.speeds.len().checked_sub(late).and_then(|at| self.speeds.get(at));
        let speed = then.copied().unwrap_or(0.0) + noise_mps * self.noise.gauss();
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some m/s")]
        let millimetres = libm::round(speed.max(0.0) * 1000.0) as u32;
        self.shown = Some(MetresPerSecond::from_millimetres(millimetres));
    }
}
