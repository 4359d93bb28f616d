//! The fixed-point core against independent models: exact rationals and `f64`, error bounds stated.

mod demand;
mod gains;
mod noise;
mod shaft;
mod tracker;
