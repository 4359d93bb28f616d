//! The seed file with its mass per turn put right: all else in it stays, remarks too.

use super::history::short;
use super::outcome::Settled;
use crate::scenario::SeedLot;
use crate::unit::{MASS_PER_TURN, RATIO, System};
use toml_edit::{DocumentMut, Item, Table, TomlError, Value, value};

/// `text` of a seed file, its curve scaled as the last fills say, with them as its catch.
///
/// # Errors
///
/// That of TOML; none where the file was read as a seed file before.
pub fn mended(text: &str, lot: &SeedLot, settled: &Settled) -> Result<String, TomlError> {
    let mut document: DocumentMut = text.parse()?;
    let factor = settled.last_of_seed_file.value;
    if let Some(curve) = document.get_mut("meter_curve").and_then(Item::as_array_mut) {
        for (point, (_, kg)) in curve.iter_mut().zip(&lot.curve) {
            if let Some(mass) = point.as_array_mut().and_then(|point| point.get_mut(1)) {
                put(mass, kg * factor);
            }
        }
    } else if let (Some(mass), Some((_, kg))) =
        (document.get_mut("mass_per_turn").and_then(Item::as_value_mut), lot.curve.first())
    {
        put(mass, kg * factor);
    }
    let mut caught = Table::new();
    if let Some(date) = &settled.fill.date {
        caught["date"] = value(date.as_str());
    }
    let fills = i64::try_from(settled.last_fills).unwrap_or(i64::MAX);
    caught["catches"] = value(fills);
    let share = settled.last_of_seed_file.share();
    caught["uncertainty"] = value(RATIO.show(share, System::Both, 2));
    // Where the table is, it stays; a new one goes to the end.
    if let Some(there) = document.get_mut("caught").and_then(Item::as_table_mut) {
        for (key, item) in &caught {
            there.insert(key, item.clone());
        }
    } else {
        caught.decor_mut().set_prefix("\n# Mass per turn from fills, settled by weight.\n");
        document.insert("caught", Item::Table(caught));
    }
    Ok(document.to_string())
}

/// Puts a mass in the place of another, in the unit that it had, with what stands around it.
fn put(place: &mut Value, kg: f64) {
    let before = place.decor().clone();
    let unit = place.as_str().and_then(|text| MASS_PER_TURN.parse(text).ok()?.unit);
    let text = unit.map_or_else(|| format!("{} kg", short(kg)), |unit| unit.show(kg, 6));
    *place = Value::from(text);
    *place.decor_mut() = before;
}
