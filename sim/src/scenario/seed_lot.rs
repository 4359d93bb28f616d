//! The seed lot: rate asked for, and what one shaft turn delivers.

/// A lot of seed as it was weighed out and caught.
#[derive(Clone, Debug, PartialEq)]
pub struct SeedLot {
    /// Name a person gave it.
    pub name: String,
    /// Invented for demonstration.
    pub demo: bool,
    /// Seeding rate, kg/ha of what is in the bag.
    pub rate_kg_per_ha: f64,
    /// Meter curve, `[point](shaft turns/s, kg per turn of one side's shaft)`, rising speed; one point
    /// for a constant mass per turn, six at most.
    pub curve: Vec<(f64, f64)>,
    /// Where the mass per turn comes from; none where nobody noted it.
    pub caught: Option<Caught>,
}

/// The catches that a lot's mass per turn is the mean of.
#[derive(Clone, Debug, PartialEq)]
pub struct Caught {
    /// Day of the catches, as a person wrote it.
    pub date: String,
    /// Number of catches.
    pub catches: u64,
    /// Half the 95 % confidence interval of the mean, share of the mean; none below two catches.
    pub uncertainty: Option<f64>,
}

impl SeedLot {
    /// Mass of one turn at shaft speed `n`, kg: mass *flow* is linear between the points, mass per
    /// turn is held outside them.
    pub fn kg_per_turn(&self, n: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.curve.first(), self.curve.last()) else {
            return 0.0;
        };
        if n <= first.0 {
            return first.1;
        }
        for pair in self.curve.windows(2) {
            let ((n0, q0), (n1, q1)) = (pair[0], pair[1]);
            if n <= n1 {
                let flow = n0 * q0 + (n1 * q1 - n0 * q0) * (n - n0) / (n1 - n0);
                return flow / n;
            }
        }
        last.1
    }

    /// Shaft speed that delivers `flow` kg/s: the inverse of the curve's flow.
    pub fn turns_per_s(&self, flow: f64) -> f64 {
        let (Some(&first), Some(&last)) = (self.curve.first(), self.curve.last()) else {
            return 0.0;
        };
        if flow <= first.0 * first.1 || self.curve.len() == 1 {
            return flow / first.1;
        }
        for pair in self.curve.windows(2) {
            let ((n0, q0), (n1, q1)) = (pair[0], pair[1]);
            let (low, high) = (n0 * q0, n1 * q1);
            if flow <= high {
                return n0 + (n1 - n0) * (flow - low) / (high - low);
            }
        }
        flow / last.1
    }

    /// Turns per metre of travel of a side `width_m` wide at `speed_mps`, at the lot's rate.
    pub fn turns_per_m(&self, width_m: f64, speed_mps: f64) -> f64 {
        self.turns_per_s(1e-4 * self.rate_kg_per_ha * width_m * speed_mps) / speed_mps
    }
}
