//! Random numbers with a named seed: the same seed gives the same run, on every machine.

use rand_pcg::{Pcg64Mcg, rand_core::Rng};

/// A source of noise.
#[derive(Clone, Debug)]
pub struct Noise {
    bits: Pcg64Mcg,
    spare: Option<f64>,
}

impl Noise {
    /// A source that is the same for the same seed.
    pub fn new(seed: u64) -> Self {
        let spread = u128::from(seed).wrapping_mul(0x9E37_79B9_7F4A_7C15_F39C_C060_5CED_C835);
        Self { bits: Pcg64Mcg::new(spread ^ 0xA5A5_5A5A), spare: None }
    }

    /// Uniform in 0..1, zero excluded.
    pub fn uniform(&mut self) -> f64 {
        let word = u32::try_from(self.bits.next_u64() >> 32).unwrap_or(u32::MAX);
        (f64::from(word) + 0.5) / 4_294_967_296.0
    }

    /// Gaussian with zero mean and unit variance (Box and Muller 1958).
    pub fn gauss(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let radius = (-2.0 * libm::log(self.uniform())).sqrt();
        let angle = 2.0 * core::f64::consts::PI * self.uniform();
        self.spare = Some(radius * libm::sin(angle));
        radius * libm::cos(angle)
    }
}
