//! What a fill tells, by itself and with those before it.

use super::fill::Fill;
use crate::desk::settle::{Sure, mean, over_kg, rate_kg_per_ha, together, trend};
use crate::scenario::SeedLot;
use serde::Serialize;

/// Half the 95 % interval of an area of the tally where nobody said; common practice of a wheel or receiver that was
/// taped over 100 m.
pub const ASSUMED_AREA: f64 = 0.01;

/// The same of a mass per turn where the seed file does not say: the error of the mean that `catch` wishes for where nobody
/// names one.
pub(super) const ASSUMED_CATCH: f64 = crate::catch::USUAL_WISHED;

/// So many of the last fills are held against the catch.
const LAST: usize = 3;

/// A fill of the history, worked out.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FillLine {
    /// Its day.
    pub date: Option<String>,
    /// Seed laid, kg.
    pub laid_kg: Sure,
    /// Ground sown, m².
    pub area_m2: Sure,
    /// Turns of all shafts.
    pub turns: f64,
    /// Mass of a turn, kg.
    pub kg_per_turn: Sure,
    /// The same over what the seed file says.
    pub of_seed_file: Sure,
}

/// What a fill tells.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Settled {
    /// Name of the lot.
    pub seed_lot: String,
    /// It is invented for demonstration.
    pub demo: bool,
    /// The fill that is settled.
    pub fill: FillLine,
    /// Nobody said how sure the area is.
    pub area_assumed: bool,
    /// Rate that the seed file asks for, kg/ha.
    pub asked_kg_per_ha: f64,
    /// Rate that was laid, kg/ha.
    pub rate_kg_per_ha: Sure,
    /// Laid / asked − 1.
    pub error: Sure,
    /// Seed laid beyond what was asked for, kg.
    pub over_kg: Sure,
    /// The same in money; none without a price.
    pub over_cost: Option<Sure>,
    /// Mass of a turn that the seed file says, kg, at the fill's shaft speed.
    pub told_kg_per_turn: f64,
    /// Half the 95 % interval of the catches that it comes from, as a share; none where it is not known.
    pub catch_uncertainty: Option<f64>,
    /// All fills, the oldest first, the one that is settled last.
    pub fills: Vec<FillLine>,
    /// How many of the last are held against the catch.
    pub last_fills: usize,
    /// Their mean mass per turn over what the seed file says.
    pub last_of_seed_file: Sure,
    /// Uncertainty of the last fills and of the catch together.
    pub last_uncertainty: f64,
    /// They disagree with the catch by more than that.
    pub disagrees: bool,
    /// What the mass per turn changes by from fill to fill, as a share; none below three fills.
    pub drift_per_fill: Option<Sure>,
}

/// Works out a fill; `before` are those of the lot's history, the oldest first.
pub fn settle(lot: &SeedLot, fill: &Fill, before: &[Fill], price_per_kg: Option<f64>) -> Settled {
    let line = worked(fill, lot);
    let mut fills: Vec<FillLine> = before.iter().map(|fill| worked(fill, lot)).collect();
    fills.push(line.clone());
    let shares: Vec<Sure> = fills.iter().map(|fill| fill.of_seed_file).collect();
    let last = &shares[shares.len().saturating_sub(LAST)..];
    let last_of_seed_file = mean(last).unwrap_or(line.of_seed_file);
    let catch_uncertainty = lot.caught.as_ref().and_then(|caught| caught.uncertainty);
    let last_uncertainty =
        together(last_of_seed_file.uncertainty, catch_uncertainty.unwrap_or(ASSUMED_CATCH));
    let rate = rate_kg_per_ha(&line.laid_kg, &line.area_m2);
    let share = rate.times(1.0 / lot.rate_kg_per_ha);
    let over_kg = over_kg(&line.laid_kg, &line.area_m2, lot.rate_kg_per_ha);
    Settled {
        seed_lot: lot.name.clone(),
        demo: lot.demo,
        area_assumed: fill.area_share.is_none(),
        asked_kg_per_ha: lot.rate_kg_per_ha,
        rate_kg_per_ha: rate,
        error: Sure { value: share.value - 1.0, ..share },
        over_kg,
        over_cost: price_per_kg.map(|price| over_kg.times(price)),
        told_kg_per_turn: fill.told_kg_per_turn(lot),
        catch_uncertainty,
        last_fills: last.len(),
        disagrees: (last_of_seed_file.value - 1.0).abs() > last_uncertainty,
        last_of_seed_file,
        last_uncertainty,
        drift_per_fill: trend(&shares),
        fill: line,
        fills,
    }
}

fn worked(fill: &Fill, lot: &SeedLot) -> FillLine {
    let share = fill.area_share.as_ref().map_or(ASSUMED_AREA, |share| share.value);
    let kg_per_turn = fill.kg_per_turn();
    FillLine {
        date: fill.date.clone(),
        laid_kg: fill.laid_kg(),
        area_m2: Sure { value: fill.area.value, uncertainty: fill.area.value * share },
        turns: fill.all_turns(),
        of_seed_file: kg_per_turn.times(1.0 / fill.told_kg_per_turn(lot)),
        kg_per_turn,
    }
}
