//! What a run of one piece leaves for the score.

use crate::ground::Ground;

/// A change of the request for seed.
#[derive(Clone, Copy, Debug)]
pub struct Edge {
    /// Seed asked for from here on, or no longer.
    pub on: bool,
    /// Caused by lift or operator; the speed alone otherwise.
    pub by_hand: bool,
    /// Instant, s.
    pub t_s: f64,
    /// Travel of the side, m.
    pub travel_m: f64,
}

/// One side after a piece.
#[derive(Clone, Debug)]
pub struct SideOutcome {
    /// Its soil.
    pub ground: Ground,
    /// Working width, m.
    pub width_m: f64,
    /// Changes of the request (lift, operator and speed), in order of time.
    pub edges: Vec<Edge>,
    /// Instants at which lift and operator began to ask for seed, s.
    pub hand_on_s: Vec<f64>,
    /// True area asked for, m².
    pub asked_m2: f64,
    /// Mass owed on it, kg.
    pub owed_kg: f64,
    /// Mass metered, kg.
    pub metered_kg: f64,
}

/// A piece after a run.
#[derive(Clone, Debug)]
pub struct Outcome {
    /// The sides.
    pub sides: Vec<SideOutcome>,
    /// Area that was asked for of both products at the same time, m²: in all it counts once.
    pub shared_m2: f64,
}
