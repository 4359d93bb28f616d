//! A record in each format: whole text, without touching a file or a clock.

mod csv;
mod geojson;
mod html;
mod text;

pub use csv::csv;
pub use geojson::geojson;
pub use html::html;
pub use text::text;

use super::record::{LotRecord, Record};
use crate::unit::{RATE, RATIO, System};

/// The rate of a lot with how sure it is.
fn rate(lot: &LotRecord, system: System) -> String {
    let Some(rate) = lot.rate_kg_per_ha else { return "no ground sown".to_owned() };
    let shown = RATE.show(rate, system, 4);
    let sure =
        lot.rate_uncertainty.map(|share| format!(" ± {}", RATE.show(rate * share, system, 2)));
    shown + &sure.unwrap_or_default()
}

/// How sure the figures are, a sentence a line.
fn how_sure(record: &Record, system: System) -> Vec<String> {
    let share = |share: f64| format!("±{}", RATIO.show(share, system, 2));
    let assumed = if record.area_assumed { ", taken so since nobody said" } else { "" };
    let mut lines = vec![format!(
        "Area by counted ground pulses or the receiver: {}{assumed}.",
        share(record.area_uncertainty)
    )];
    for lot in &record.lots {
        let name = lot_name(lot);
        lines.push(match (lot.mass_uncertainty, &lot.caught) {
            (Some(sure), Some(caught)) => {
                format!("Mass of {name}: {}, as sure as its mass per turn ({caught}).", share(sure))
            }
            (None, Some(caught)) => {
                format!("Mass of {name}: its catch ({caught}) does not say how sure it is.")
            }
            (_, None) => format!("Mass of {name}: not known how sure; no catch is noted."),
        });
    }
    lines.push("± is half the 95 % interval. Turns are counted; what a worn or empty meter fails to deliver is not seen.".to_owned());
    let by_map: f64 = record.sides.iter().map(|side| side.turns_by_map).sum();
    if by_map > 0.0 {
        lines.push(format!("{by_map:.1} turns were not counted but taken from the valve map, the encoder being lost."));
    }
    lines
}

fn lot_name(lot: &LotRecord) -> String {
    lot.seed_lot.clone().unwrap_or_else(|| format!("product {}, lot not said", lot.product))
}
