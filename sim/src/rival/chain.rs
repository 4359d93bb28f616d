//! What the shop takes off: a ground wheel, a chain, sprockets.
//!
//! The wheel's turns fall short by `4.5 % + 2 % · sin(0.3 · metres)`; the sprockets were chosen to
//! allow for the 4.5 %.

use crate::bench::{Law, Senses};

/// A ground wheel with chain and sprockets.
#[derive(Clone, Debug)]
pub struct Chain {
    turns_per_m: Vec<f64>,
}

impl Chain {
    /// Sprockets of each side for its `turns_per_m` of the meter shaft on the ground.
    pub const fn new(turns_per_m: Vec<f64>) -> Self {
        Self { turns_per_m }
    }
}

impl Law for Chain {
    fn tick(&mut self, _: &Senses<'_>, _: &mut [f64]) {}

    fn wheel_turns_per_m(&self, side: usize, travel_m: f64) -> Option<f64> {
        let short = 0.045 + 0.02 * libm::sin(0.3 * travel_m);
        Some(self.turns_per_m.get(side)? * (1.0 - short) / (1.0 - 0.045))
    }
}
