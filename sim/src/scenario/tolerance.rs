//! What must hold for a pass.

/// A bound on one figure of the score.
#[derive(Clone, Debug, PartialEq)]
pub struct Tolerance {
    /// Key of the figure, as in the score: `within_5_pct`.
    pub figure: String,
    /// The bound.
    pub bound: Bound,
}

/// The side on which a figure must stay.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bound {
    /// At least this.
    AtLeast(f64),
    /// At most this.
    AtMost(f64),
    /// Magnitude at most this.
    Within(f64),
}

impl Bound {
    /// Whether `value` keeps the bound. NaN never does.
    pub fn holds(self, value: f64) -> bool {
        match self {
            Self::AtLeast(limit) => value >= limit,
            Self::AtMost(limit) => value <= limit,
            Self::Within(limit) => value.abs() <= limit,
        }
    }
}
