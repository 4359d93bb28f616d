//! Machines drawn at random, each with a seed that names it.

use sim::machine::Noise;
use sim::scenario::{Drive, Truth, read};

/// How many machines are drawn.
pub(crate) const MACHINES: u64 = 200;

/// A machine.
#[derive(Clone, Debug)]
pub(crate) struct Machine {
    pub(crate) seed: u64,
    pub(crate) truth: Truth,
    pub(crate) pulses_per_turn: u32,
    pub(crate) tooth: f64,
    /// Opening command of the valve's data sheet.
    pub(crate) sheet_opening: f64,
    /// True pulses per metre on level ground, 1/m.
    pub(crate) pulses_per_m: f64,
    /// Share by which a slope or wind changes them there and, the other way, back.
    pub(crate) slope: f64,
    /// Scatter of the slip from pass to pass, and wander of the rolling radius: shares, rms.
    pub(crate) slip: f64,
    pub(crate) wander: f64,
    /// True time from meter to soil, and its unevenness, s.
    pub(crate) delay_s: f64,
    pub(crate) delay_spread_s: f64,
    pub(crate) seeds_per_turn: f64,
    /// Reaction of the person, and its unevenness, s.
    pub(crate) reaction_s: f64,
    pub(crate) uneven_s: f64,
    /// True ways of the openers, m.
    pub(crate) lowering_m: f64,
    pub(crate) lifting_m: f64,
    pub(crate) bounce_s: f64,
    pub(crate) speed_mps: f64,
}

/// Uniform from `low` to `high`.
pub(crate) fn between(noise: &mut Noise, low: f64, high: f64) -> f64 {
    low + (high - low) * noise.uniform()
}

/// The same in equal ratios.
fn ratio(noise: &mut Noise, low: f64, high: f64) -> f64 {
    low * (high / low).powf(noise.uniform())
}

/// A map from `opening` to `full`, bent: a positive bend starts slowly, a negative one ends slowly.
pub(crate) fn bent(opening: f64, full: f64, bend: f64) -> Vec<(f64, f64)> {
    let point = |step: u32| {
        let x = f64::from(step) / 200.0;
        (opening + (1.0 - opening) * x, full * ((1.0 - bend) * x + bend * x * x))
    };
    (0..=200).map(point).collect()
}

impl Machine {
    /// The machine of a seed.
    pub(crate) fn drawn(seed: u64) -> Self {
        let noise = &mut Noise::new(0x5EED_0000 + seed);
        let opening = between(noise, 0.05, 0.35);
        let full = ratio(noise, 0.4, 4.0);
        let bend = between(noise, -0.4, 0.5);
        let drive = Drive {
            map: bent(opening, full, bend),
            lag_s: ratio(noise, 0.05, 0.5),
            dead_time_s: (between(noise, 20.0, 150.0)).round() / 1000.0,
            motor: None,
        };
        let reference = read::drill(&tests::demo("drills/reference.toml")).unwrap().truth;
        let truth = Truth {
            drive,
            gain: 1.0,
            swing: between(noise, 0.0, 0.03),
            swing_rad_per_s: ratio(noise, 0.3, 3.0),
            hysteresis: between(noise, 0.0, 0.06),
            encoder_jitter: between(noise, 0.0, 0.02),
            ..reference
        };
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "60 to 720")]
        let pulses_per_turn = ratio(noise, 60.0, 720.0).round() as u32;
        Self {
            seed,
            truth,
            pulses_per_turn,
            tooth: between(noise, 0.0, 0.3),
            sheet_opening: (opening + between(noise, -0.08, 0.08)).max(0.0),
            pulses_per_m: ratio(noise, 20.0, 300.0),
            slope: between(noise, -0.01, 0.01),
            slip: between(noise, 0.0, 0.002),
            wander: between(noise, 0.0, 0.006),
            delay_s: between(noise, 0.1, 1.0),
            delay_spread_s: between(noise, 0.0, 0.03),
            seeds_per_turn: ratio(noise, 200.0, 5_000.0),
            reaction_s: between(noise, 0.18, 0.45),
            uneven_s: between(noise, 0.02, 0.05),
            lowering_m: between(noise, 0.0, 2.0),
            lifting_m: between(noise, 0.0, 2.0),
            bounce_s: between(noise, 0.0, 0.1),
            speed_mps: between(noise, 1.5, 3.5),
        }
    }
}
