//! The record: what was sown and how sure that is, with what the person added.
//!
//! ```text
//!  mass of a lot  Σ sides: counted turns × mass per turn     sure as the catch is
//!  rate           mass / area                                (u_r / r)² = (u_q / q)² + (u_A / A)²
//! ```

use super::about::About;
use super::read::{EventSown, GapSown, SideSown, Sown};
use crate::desk::settle::{Sure, rate_kg_per_ha};
use crate::scenario::SeedLot;
use crate::settle::ASSUMED_AREA;
use serde::Serialize;

/// What every record says of itself.
pub const NO_WEIGHING: &str = "This is no certified weighing. Masses are counted, not weighed: turns of the meter shaft \
     times the mass per turn of a catch. They are no basis for trade by mass.";

/// So far may a curve that was counted by be off that of the seed file: both are rounded.
const ROUNDED: f64 = 1e-3;

/// A seed lot's part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct LotRecord {
    /// Product, from 1.
    pub product: usize,
    /// Name of the lot; none where no seed file was given.
    pub seed_lot: Option<String>,
    /// Day of the catches, and how many.
    pub caught: Option<String>,
    /// Rate asked for, kg/ha.
    pub asked_kg_per_ha: Option<f64>,
    /// Ground that it was sown on, m².
    pub area_m2: f64,
    /// Seed metered, kg; counted.
    pub mass_kg: f64,
    /// Half the 95 % interval of the mass, as a share; none where no catch says.
    pub mass_uncertainty: Option<f64>,
    /// Mean rate, kg/ha; none where no ground was sown.
    pub rate_kg_per_ha: Option<f64>,
    /// Half the 95 % interval of the rate, as a share.
    pub rate_uncertainty: Option<f64>,
}

/// A side's part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct SideRecord {
    /// Side, from 1.
    pub side: usize,
    /// Product, from 1.
    pub product: usize,
    /// Ground sown, m².
    pub area_m2: f64,
    /// Seed metered, kg.
    pub mass_kg: f64,
    /// Way sown, m.
    pub distance_m: Option<f64>,
    /// Turns taken from the valve map while the encoder was lost.
    pub turns_by_map: f64,
}

/// A gap's part.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct GapRecord {
    /// Running number.
    pub number: u32,
    /// Side, from 1.
    pub side: usize,
    /// Why, in words.
    pub cause: String,
    /// Way in work at which it began, m.
    pub start_m: f64,
    /// Length, m.
    pub length_m: f64,
    /// Where it began, 10^-7 degrees, `[latitude, longitude]`.
    #[serde(skip)]
    pub place: Option<[i32; 2]>,
    /// The same, degrees.
    pub latitude_deg: Option<f64>,
    /// The same, degrees.
    pub longitude_deg: Option<f64>,
}

/// A field that the operator began, by the events.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct FieldRecord {
    /// Its number.
    pub number: u32,
    /// Way in work at which it began, m.
    pub start_m: f64,
    /// Its area as counted when it ended, m²; none where it did not end.
    pub area_m2: Option<f64>,
}

/// A record of sowing.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Record {
    /// Field.
    pub field: String,
    /// Day.
    pub date: String,
    /// Who sowed.
    pub operator: Option<String>,
    /// Invented for demonstration.
    pub demo: bool,
    /// What it was taken from.
    pub source: String,
    /// Always so: nothing here was weighed.
    pub certified: bool,
    /// What the record says of itself.
    pub statement: String,
    /// Ground sown, m²; what two products were sown on counts once.
    pub area_m2: f64,
    /// Half the 95 % interval of the area, as a share.
    pub area_uncertainty: f64,
    /// Nobody said how sure it is.
    pub area_assumed: bool,
    /// The lots, by product.
    pub lots: Vec<LotRecord>,
    /// The sides.
    pub sides: Vec<SideRecord>,
    /// The gaps, the oldest first.
    pub gaps: Vec<GapRecord>,
    /// Length of all gaps, m.
    pub gaps_m: f64,
    /// Fields by the operator's events.
    pub fields: Vec<FieldRecord>,
    /// Fingerprint of the settings.
    pub settings_fingerprint: Option<String>,
    /// What is missing.
    pub damage: Vec<String>,
    /// What else must be known.
    pub notes: Vec<String>,
    /// A place in the field, 10^-7 degrees, `[latitude, longitude]`.
    #[serde(skip)]
    pub place: Option<[i32; 2]>,
}

impl Record {
    /// A record of what was sown.
    ///
    /// # Errors
    ///
    /// Which lot does not go with the counts, and why.
    pub fn new(sown: Sown, about: &About, source: String) -> Result<Self, String> {
        for (lot, counted) in about.lots.iter().zip(&sown.curves) {
            same_curve(lot, counted)?;
        }
        let share = about.area_share.unwrap_or(ASSUMED_AREA);
        let products = sown.sides.iter().map(|side| side.product).max().unwrap_or(0);
        let lots: Vec<LotRecord> =
            (0..=products).map(|product| lot(&sown, about, product, share)).collect();
        if about.lots.len() > lots.len() {
            return Err("there are more seed files than products that were metered".to_owned());
        }
        let area: f64 = lots.iter().map(|lot| lot.area_m2).sum();
        let begins = sown.events.iter().filter(|event| event.kind == "field-begins");
        let place = begins.chain(&sown.events).find_map(|event| event.place);
        Ok(Self {
            field: about.field.clone(),
            date: about.date.clone(),
            operator: about.operator.clone(),
            demo: about.demo || about.lots.iter().any(|lot| lot.demo),
            source,
            certified: false,
            statement: NO_WEIGHING.to_owned(),
            area_m2: area - sown.shared_m2.min(area / 2.0),
            area_uncertainty: share,
            area_assumed: about.area_share.is_none(),
            lots,
            sides: sown.sides.iter().map(side).collect(),
            gaps_m: millimetres(sown.gaps.iter().map(|gap| gap.length_m).sum()),
            fields: fields(&sown.events),
            gaps: sown.gaps.into_iter().map(gap).collect(),
            settings_fingerprint: sown.fingerprint,
            damage: sown.damage,
            notes: sown.notes,
            place,
        })
    }
}

/// Rounded to what a gap is counted in: a sum of decimals has a long tail.
fn millimetres(metres: f64) -> f64 {
    libm::round(metres * 1e3) / 1e3
}

/// A seed file tells how sure the mass is only if the board counted by its mass per turn.
fn same_curve(lot: &SeedLot, counted: &[(f64, f64)]) -> Result<(), String> {
    // A log does not say what was counted by.
    if counted.is_empty() {
        return Ok(());
    }
    let near = |have: f64, want: f64| (have / want - 1.0).abs() <= ROUNDED;
    let alone = counted.len() == 1;
    let same = counted.len() == lot.curve.len()
        && (counted.iter().zip(&lot.curve))
            .all(|(have, want)| near(have.1, want.1) && (alone || near(have.0, want.0)));
    if same {
        return Ok(());
    }
    let grams = |curve: &[(f64, f64)]| {
        let all: Vec<String> = curve.iter().map(|(_, kg)| format!("{:.3} g", kg * 1e3)).collect();
        all.join(", ")
    };
    Err(format!(
        "seed file {:?} says {} a turn, and the board counted by {}; name the seed file that was loaded",
        lot.name,
        grams(&lot.curve),
        grams(counted)
    ))
}

fn lot(sown: &Sown, about: &About, product: usize, area_share: f64) -> LotRecord {
    let of_lot = || sown.sides.iter().filter(|side| side.product == product);
    let area_m2: f64 = of_lot().map(|side| side.area_m2).sum();
    let mass_kg: f64 = of_lot().map(|side| side.mass_kg).sum();
    let lot = about.lots.get(product);
    let caught = lot.and_then(|lot| lot.caught.as_ref());
    let mass_uncertainty = caught.and_then(|caught| caught.uncertainty);
    let sure = |value: f64, share: f64| Sure { value, uncertainty: value * share };
    let rate = rate_kg_per_ha(
        &sure(mass_kg, mass_uncertainty.unwrap_or_default()),
        &sure(area_m2, area_share),
    );
    let is_sown = area_m2 > 0.0 && mass_kg > 0.0;
    let counted_by = sown.rates_kg_per_ha.get(product).copied().flatten();
    LotRecord {
        product: product + 1,
        seed_lot: lot.map(|lot| lot.name.clone()),
        caught: caught.map(|caught| format!("{}, {} catches", caught.date, caught.catches)),
        asked_kg_per_ha: counted_by.or_else(|| lot.map(|lot| lot.rate_kg_per_ha)),
        area_m2,
        mass_kg,
        mass_uncertainty,
        rate_kg_per_ha: is_sown.then_some(rate.value),
        rate_uncertainty: mass_uncertainty.filter(|_| is_sown).map(|_| rate.share()),
    }
}

const fn side(side: &SideSown) -> SideRecord {
    SideRecord {
        side: side.number,
        product: side.product + 1,
        area_m2: side.area_m2,
        mass_kg: side.mass_kg,
        distance_m: side.distance_m,
        turns_by_map: side.turns_by_map,
    }
}

fn gap(gap: GapSown) -> GapRecord {
    let degrees = |index: usize| gap.place.map(|place| f64::from(place[index]) / 1e7);
    GapRecord {
        number: gap.number,
        side: gap.side,
        start_m: gap.start_m,
        length_m: gap.length_m,
        latitude_deg: degrees(0),
        longitude_deg: degrees(1),
        place: gap.place,
        cause: gap.cause,
    }
}

/// The fields that were begun, with their areas where they ended.
fn fields(events: &[EventSown]) -> Vec<FieldRecord> {
    let mut fields: Vec<FieldRecord> = Vec::new();
    for event in events {
        match event.kind.as_str() {
            "field-begins" => fields.push(FieldRecord {
                number: event.value,
                start_m: event.way_m,
                area_m2: None,
            }),
            "field-ends" => {
                if let Some(open) = fields.last_mut().filter(|field| field.area_m2.is_none()) {
                    open.area_m2 = Some(f64::from(event.value));
                }
            }
            _ => {}
        }
    }
    fields
}
