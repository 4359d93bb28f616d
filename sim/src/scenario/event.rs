//! What happens during a run: operator's acts, curves, disturbances.

/// An act at an instant.
#[derive(Clone, Debug, PartialEq)]
pub struct Event {
    /// Instant, s from the start of the profile.
    pub at_s: f64,
    /// What is done.
    pub act: Act,
}

/// What the operator or the lift does.
#[derive(Clone, Debug, PartialEq)]
pub enum Act {
    /// Implement lowered into work (`true`) or lifted.
    Lower(bool),
    /// Master switch on (`true`) or off.
    Master(bool),
    /// Switch of one side (index from 0) on or off.
    SideSwitch(usize, bool),
    /// New seeding rate, kg/ha.
    Rate(f64),
}

/// From here on the tractor drives a curve.
#[derive(Clone, Debug, PartialEq)]
pub struct Turn {
    /// Instant, s.
    pub at_s: f64,
    /// Curvature of the path of the drill's centre, 1/m, positive to the left; 0 is straight.
    pub curvature_per_m: f64,
}

/// A disturbance of the drive.
#[derive(Clone, Debug, PartialEq)]
pub struct Disturbance {
    /// Begin, s.
    pub at_s: f64,
    /// Length, s.
    pub for_s: f64,
    /// Rise and fall time, s.
    pub edge_s: f64,
    /// The true gain is multiplied by this while it lasts (hill, thick oil).
    pub gain: f64,
    /// No more than this shaft speed is reached while it lasts, turns/s (steering takes the flow);
    /// infinite for no limit.
    pub limit_turns_per_s: f64,
}
