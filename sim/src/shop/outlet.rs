//! The delivery run in the shop: shaft, seed in the tube, and a person who presses when it falls.
//!
//! A seed is metered at equal steps of the shaft, falls its delay (uneven) later, and is pressed for after a
//! person's reaction (uneven). Now and then the person misses one.

use crate::machine::{Noise, ReducedDrive};
use crate::scenario::Truth;
use controller::measure::{DeliveryPlan, DeliveryRow, RunHead, RunRow};
use controller::quantity::{Command, Micros};
use std::fmt::Write;

/// Physics step, s; ten make a tick.
const STEP_S: f64 = 0.001;

/// An outlet with someone beside it.
#[derive(Clone, Debug)]
pub struct OutletShop {
    /// The drive as it truly is.
    pub truth: Truth,
    /// Edges of the encoder per turn.
    pub pulses_per_turn: u32,
    /// Seeds of one turn at this outlet.
    pub seeds_per_turn: f64,
    /// True delay from meter to soil, s, and how uneven it is, s rms.
    pub delay_s: f64,
    /// Unevenness of the delay, s rms.
    pub spread_s: f64,
    /// The person.
    pub person: Person,
    /// There is a tube sensor at the outlet.
    pub sensor: bool,
    /// Command that turns the shaft in the trials.
    pub command: f64,
    /// Seed of everything uneven.
    pub seed: u64,
}

/// Someone who presses.
#[derive(Clone, Copy, Debug)]
pub struct Person {
    /// Mean reaction, s.
    pub reaction_s: f64,
    /// Unevenness of the reaction, s rms.
    pub uneven_s: f64,
    /// Share of moments that are missed.
    pub misses: f64,
}

/// Plays the plan; returns the log.
pub fn outlet(shop: &OutletShop, plan: &DeliveryPlan, head: RunHead) -> String {
    let mut text = head.to_string();
    let mut bench = Outlet::new(shop);
    let mut ticks = 0_u32;
    while let Some(moment) = plan.moment(Micros::from_millis(ticks * 10)) {
        let t_s = f64::from(ticks) / 100.0;
        bench.light(moment.lamp, t_s);
        let command = if moment.turning { shop.command } else { 0.0 };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a share")]
        let word = Command::from_bits(libm::round(command * 65_535.0) as u16);
        let row = DeliveryRow {
            command: word,
            edges: bench.edges(),
            lamp: moment.lamp,
            marks: bench.marks(t_s),
            seen: shop.sensor.then(|| bench.seen(t_s)),
        };
        let _ = write!(text, "{}", RunRow::Delivery(Micros::from_millis(ticks * 10), row));
        bench.tick(command, t_s);
        ticks += 1;
    }
    text
}

struct Outlet<'a> {
    shop: &'a OutletShop,
    drive: ReducedDrive,
    noise: Noise,
    turns: f64,
    lit: bool,
    turning: bool,
    /// Seeds metered so far, and whether the first since the shaft started is still to come.
    seeds: u64,
    first: bool,
    presses_s: Vec<f64>,
    /// Seed passes the sensor in these times, s.
    flows_s: Vec<(f64, f64)>,
}

impl<'a> Outlet<'a> {
    fn new(shop: &'a OutletShop) -> Self {
        Self {
            shop,
            drive: ReducedDrive::new(&shop.truth, &[], STEP_S),
            noise: Noise::new(shop.seed),
            turns: 0.0,
            lit: false,
            turning: false,
            seeds: 0,
            first: false,
            presses_s: Vec::new(),
            flows_s: Vec::new(),
        }
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some turns")]
    fn edges(&self) -> u32 {
        (self.turns * f64::from(self.shop.pulses_per_turn)) as u32
    }

    fn marks(&self, t_s: f64) -> u16 {
        let so_far = self.presses_s.iter().filter(|press| **press <= t_s).count();
        u16::try_from(so_far).unwrap_or(u16::MAX)
    }

    fn seen(&self, t_s: f64) -> bool {
        self.flows_s.iter().any(|flow| (flow.0..flow.1).contains(&t_s))
    }

    /// The lamp lights: the person will press.
    fn light(&mut self, lamp: bool, t_s: f64) {
        if lamp && !self.lit {
            self.press_after(t_s);
        }
        self.lit = lamp;
    }

    fn press_after(&mut self, t_s: f64) {
        let Person { reaction_s, uneven_s, misses } = self.shop.person;
        if self.noise.uniform() > misses {
            let reaction_s = (reaction_s + uneven_s * self.noise.gauss()).max(0.1);
            self.presses_s.push(t_s + reaction_s);
        }
    }

    fn tick(&mut self, command: f64, t_s: f64) {
        if command > 0.0 && !self.turning {
            self.first = true;
        }
        self.turning = command > 0.0;
        for step in 1..=10 {
            let end_s = t_s + STEP_S * f64::from(step);
            self.turns += STEP_S * self.drive.step(command, end_s);
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "seeds")]
            let seeds = (self.turns * self.shop.seeds_per_turn) as u64;
            if seeds > self.seeds {
                self.seeds = seeds;
                self.fall(end_s);
            }
        }
    }

    /// A seed leaves the meter.
    fn fall(&mut self, t_s: f64) {
        if !self.first {
            return;
        }
        self.first = false;
        let lands_s = t_s + (self.shop.delay_s + self.shop.spread_s * self.noise.gauss()).max(0.02);
        self.flows_s.push((lands_s, lands_s + 1.5));
        self.press_after(lands_s);
    }
}
