//! The figures of a run, from its cells and its requests.

use super::{Ends, Running, Score, cells, ends};
use crate::bench::Outcome;
use crate::ground::real;
use crate::scenario::Drill;
use crate::trace::Cell;

/// What was counted of a product or in all.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tally {
    /// Area, m².
    pub area_m2: f64,
    /// Mass, kg.
    pub mass_kg: f64,
}

/// What the controller counted over a whole run.
#[derive(Clone, Copy, Debug, Default)]
pub struct Tallies {
    /// In all: ground that both products were sown on once.
    pub all: Tally,
    /// By product.
    pub products: [Tally; 2],
}

impl Tally {
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self { area_m2: self.area_m2 + other.area_m2, mass_kg: self.mass_kg + other.mass_kg }
    }
}

impl Tallies {
    /// Both together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        let [first, second] = self.products;
        let products = [first.plus(other.products[0]), second.plus(other.products[1])];
        Self { all: self.all.plus(other.all), products }
    }

    /// The largest error of a count over the true one, signed, per cent; of a product that nothing was asked of none.
    fn worst(&self, truth: &Self, value: impl Fn(&Tally) -> f64) -> f64 {
        let over = |have: &Tally, want: &Tally| 100.0 * (value(have) / value(want) - 1.0);
        let products = self.products.iter().zip(&truth.products);
        let products = products.filter(|(_, want)| value(want) > 0.0);
        let errors = products.map(|(have, want)| over(have, want));
        errors.fold(over(&self.all, &truth.all), |a, b| if b.abs() > a.abs() { b } else { a })
    }
}

/// Time after lift and operator began to ask from which cells are running, beside τd + θ, s.
const SETTLE_S: f64 = 0.6;

/// Scores the pieces of a run together; returns the cells as well.
pub fn score(drill: &Drill, pieces: &[Outcome], tallies: Option<Tallies>) -> (Score, Vec<Cell>) {
    let drive = &drill.truth.drive;
    let running =
        Running { settle_s: drill.true_delivery_delay_s() + drive.dead_time_s + SETTLE_S };
    let latency_s = drill.true_delivery_delay_s() + drive.dead_time_s + drive.lag_s;
    let mut all = Vec::new();
    let mut worst = Ends::none();
    let mut sums = Sums::default();
    for (piece, outcome) in pieces.iter().enumerate() {
        for (number, side) in outcome.sides.iter().enumerate() {
            let cells = cells(side, (piece, number), running);
            sums.add(&cells, side.width_m);
            all.extend(cells);
            worst = worst.worse(ends(side, latency_s));
            sums.owed_kg += side.owed_kg;
            sums.laid_kg += side.ground.laid_kg();
            let true_tally = Tally { area_m2: side.asked_m2, mass_kg: side.metered_kg };
            let product = &mut sums.sown.products[drill.sides[number].product];
            *product = product.plus(true_tally);
            sums.sown.all = sums.sown.all.plus(true_tally);
        }
        sums.sown.all.area_m2 -= outcome.shared_m2;
    }
    (sums.figures(&all, worst, tallies), all)
}

#[derive(Default)]
struct Sums {
    owed_kg: f64,
    laid_kg: f64,
    /// The truth of what is counted.
    sown: Tallies,
    missed_kg: f64,
    doubled_kg: f64,
}

impl Sums {
    fn add(&mut self, cells: &[Cell], width_m: f64) {
        let area_ha = 0.5 * width_m * 1e-4;
        for cell in cells {
            let owed = if cell.counted { cell.target_kg_per_ha } else { 0.0 };
            let more = (cell.laid_kg_per_ha - owed) * area_ha;
            self.missed_kg += (-more).max(0.0);
            self.doubled_kg += more.max(0.0);
        }
    }

    fn figures(&self, cells: &[Cell], worst: Ends, tallies: Option<Tallies>) -> Score {
        let errors: Vec<f64> =
            cells.iter().filter(|cell| cell.running).map(|cell| cell.error_pct).collect();
        let all: Vec<f64> =
            cells.iter().filter(|cell| cell.counted).map(|cell| cell.error_pct).collect();
        let over = |have: f64, want: f64| 100.0 * (have / want - 1.0);
        let square = errors.iter().map(|error| error * error).sum::<f64>() / real(errors.len());
        Score {
            within_3_pct: share(&errors, 3.0),
            within_5_pct: share(&errors, 5.0),
            within_10_pct: share(&errors, 10.0),
            rms_pct: square.sqrt(),
            mean_pct: errors.iter().sum::<f64>() / real(errors.len()),
            worst_pct: errors
                .iter()
                .copied()
                .fold(0.0, |a: f64, b| if b.abs() > a.abs() { b } else { a }),
            all_within_10_pct: share(&all, 10.0),
            mass_pct: over(self.laid_kg, self.owed_kg),
            missed_pct: 100.0 * self.missed_kg / self.owed_kg,
            doubled_pct: 100.0 * self.doubled_kg / self.owed_kg,
            start_error_m: worst.start_m,
            stop_error_m: worst.stop_m,
            start_excess_m: worst.start_excess_m,
            stop_excess_m: worst.stop_excess_m,
            tally_area_pct: tallies.map_or(f64::NAN, |it| it.worst(&self.sown, |of| of.area_m2)),
            tally_mass_pct: tallies.map_or(f64::NAN, |it| it.worst(&self.sown, |of| of.mass_kg)),
            floor_ratio: f64::NAN,
            control_within_5_pct: share(&errors, 5.0),
            control_within_10_pct: share(&errors, 10.0),
            control_rms_pct: square.sqrt(),
            meter_rms_pct: 0.0,
            running_cells: errors.len() as u64,
            all_cells: all.len() as u64,
        }
    }
}

/// Share of `errors` within ±`limit`, per cent.
fn share(errors: &[f64], limit: f64) -> f64 {
    100.0 * real(errors.iter().filter(|error| error.abs() <= limit).count()) / real(errors.len())
}
