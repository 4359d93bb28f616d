//! The fixed-point core against independent models: exact rationals and `f64`, error bounds stated.

mod closed_loop;
mod demand;
mod folds;
mod gains;
mod law;
mod noise;
mod plant;
mod shaft;
mod tracker;
