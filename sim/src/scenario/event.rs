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
    /// New seeding rate of a product.
    Rate {
        /// The product, 0 or 1.
        product: usize,
        /// The rate, kg/ha.
        kg_per_ha: f64,
    },
    /// Outlets of one side (index from 0) are shut or opened.
    Outlets(usize, Opened),
}

/// Which outlets of a side are open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opened {
    /// Outlets open ...
    pub open: u32,
    /// ... of so many.
    pub of: u32,
    /// Those that are shut lie at an edge: the strip is narrower.
    pub narrows: bool,
}

impl Opened {
    /// All of a side's outlets.
    pub const fn all(outlets: u32) -> Self {
        Self { open: outlets, of: outlets, narrows: false }
    }

    /// Share of the outlets, and of what the meter delivers with all of them open.
    pub fn share(self) -> f64 {
        f64::from(self.open) / f64::from(self.of)
    }

    /// Share of the width that is not sown.
    pub fn narrowed(self) -> f64 {
        if self.narrows { 1.0 - self.share() } else { 0.0 }
    }

    /// Mean rate on the ground that is sown, over the rate that is set.
    pub fn thinned(self) -> f64 {
        if self.narrows { 1.0 } else { self.share() }
    }
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
