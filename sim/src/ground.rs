//! What lay on the soil: mass in bins of 0.1 m of a side's own travel.
//!
//! ```text
//!  travel ──►|0.0|0.1|0.2|…      five bins make a cell of 0.5 m
//!  landed kg ┘ split where a step crosses from bin to bin
//!  owed kg   = rate in force at the meter when that seed passed it × width × travel
//! ```

/// Length of a bin, m.
pub const BIN_M: f64 = 0.1;

/// One bin of one side.
#[derive(Clone, Copy, Debug, Default)]
pub struct Bin {
    /// Mass on the soil, kg.
    pub laid_kg: f64,
    /// Rate in force, averaged over the bin's length, kg/m².
    pub rate_kg_per_m2: f64,
    /// Share of the width that is not sown because its outlets are shut, averaged over the bin's length.
    pub narrowed: f64,
    /// Length over which lift and operator asked for seed, m.
    pub asked_m: f64,
    /// Instant at which the side entered the bin, s.
    pub entered_s: f64,
}

/// The soil behind one side.
#[derive(Clone, Debug)]
pub struct Ground {
    bins: Vec<Bin>,
    travel_m: f64,
    laid_kg: f64,
}

impl Ground {
    /// Bare soil, the side standing at zero travel at `t` seconds.
    pub fn new(t: f64) -> Self {
        Self { bins: vec![Bin { entered_s: t, ..Bin::default() }], travel_m: 0.0, laid_kg: 0.0 }
    }

    /// The side moves on to `to_m` during the step `t - step_s ..= t`, and `landed_kg` falls on the way.
    /// A side that stands or goes back lays all of it where it is.
    pub fn step(&mut self, to_m: f64, landed_kg: f64, asked: Asked, time: Step) {
        self.laid_kg += landed_kg;
        let from = self.travel_m;
        let length = to_m - from;
        if length <= 0.0 {
            if let Some(bin) = self.bins.last_mut() {
                bin.laid_kg += landed_kg;
            }
            return;
        }
        let mut at = from;
        while at < to_m {
            let edge = real(self.bins.len()) * BIN_M;
            let end = edge.min(to_m);
            let part = end - at;
            if let Some(bin) = self.bins.last_mut() {
                bin.laid_kg += landed_kg * part / length;
                bin.rate_kg_per_m2 += asked.rate_kg_per_m2 * part / BIN_M;
                bin.narrowed += asked.narrowed * part / BIN_M;
                bin.asked_m += if asked.lift_and_operator { part } else { 0.0 };
            }
            if to_m >= edge {
                let entered_s = time.end_s - time.step_s * (to_m - edge) / length;
                self.bins.push(Bin { entered_s, ..Bin::default() });
            }
            at = end;
            if part <= 0.0 && to_m < edge {
                break;
            }
        }
        self.travel_m = to_m;
    }

    /// The bins so far; the last one is not finished.
    pub fn bins(&self) -> &[Bin] {
        &self.bins
    }

    /// All mass that fell, kg.
    pub const fn laid_kg(&self) -> f64 {
        self.laid_kg
    }

    /// Travel of the side, m.
    pub const fn travel_m(&self) -> f64 {
        self.travel_m
    }
}

/// What is asked for during a step.
#[derive(Clone, Copy, Debug)]
pub struct Asked {
    /// Lift and operator ask for seed.
    pub lift_and_operator: bool,
    /// Rate in force for the seed that lands now, on the ground that is sown, kg/m².
    pub rate_kg_per_m2: f64,
    /// Share of the width that is not sown because its outlets are shut.
    pub narrowed: f64,
}

/// A step in time.
#[derive(Clone, Copy, Debug)]
pub struct Step {
    /// Its end, s.
    pub end_s: f64,
    /// Its length, s.
    pub step_s: f64,
}

/// A count of bins or cells as a number.
#[expect(clippy::cast_precision_loss, reason = "a run has far fewer than 2^52 bins")]
pub const fn real(count: usize) -> f64 {
    count as f64
}
