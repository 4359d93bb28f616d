//! Writes the seed file.

use super::Found;
use crate::input::{Clash, InputFile};
use crate::scenario::read::seed_lot_of;
use crate::unit::{MASS_PER_TURN, RATE, RATIO, SHAFT_SPEED, System, Unit};
use std::fmt::Write as _;
use std::path::Path;

/// Digits of a mass per turn: a millionth is far below what any catch tells.
const DIGITS: usize = 6;

/// The seed file of a test, in units of `system`; `file` is where it goes.
///
/// # Errors
///
/// [`Clash`] names what the test lacks, or what no seed file takes.
pub fn seed_file(found: &Found, file: &Path, system: System) -> Result<String, Clash> {
    let lacks = |key| {
        Clash::new(key, format!("a seed file has a {key}, and none is told"), format!("give {key}"))
    };
    let name = found.name.as_deref().ok_or_else(|| lacks("name"))?;
    let date = found.date.as_deref().ok_or_else(|| lacks("date"))?;
    let rate = found.rate_kg_per_ha.ok_or_else(|| lacks("rate"))?;
    let mut text = "# Seed lot, written from its catches. Catch again for each lot, setting of the meter and weather.\n".to_owned();
    // Writing to a string cannot fail.
    let _ = writeln!(text, "name = {}", toml_edit::Value::from(name));
    if found.demo {
        text.push_str("demo = true\n");
    }
    let _ = write!(
        text,
        "\n# Bag rate: of what is in the bag, not of pure live seed.\nrate = \"{}\"\n\n# What leaves all {} outlets of the \
         shaft together in one turn of it.\n{}\n",
        RATE.show(rate, system, DIGITS),
        found.outlets,
        mass(found, system)
    );
    let _ = write!(
        text,
        "\n[caught]\ndate = {}\ncatches = {}\n",
        toml_edit::Value::from(date),
        found.catches.len()
    );
    match found.uncertainty_pct {
        Some(uncertainty) => {
            let shown = RATIO.show((uncertainty / 100.0).min(1.0), System::Both, 3);
            let _ = writeln!(
                text,
                "# The mean is known to this, with 95 % confidence.\nuncertainty = \"{shown}\""
            );
        }
        None => {
            text.push_str("# No uncertainty: these catches do not tell how sure their mean is.\n");
        }
    }
    readable(file, &text)?;
    Ok(text)
}

/// The mass per turn, or the meter curve.
fn mass(found: &Found, system: System) -> String {
    let each = |kg: f64| {
        light(system)
            .map_or_else(|| MASS_PER_TURN.show(kg, system, DIGITS), |it| it.show(kg, DIGITS))
    };
    match &found.speeds[..] {
        [speed] => format!("mass_per_turn = \"{}\"", each(speed.kg_per_turn)),
        speeds => {
            let point = |it: &super::Speed| {
                let turns = SHAFT_SPEED.show(it.turns_per_s.unwrap_or(1.0), system, DIGITS);
                format!("[\"{turns}\", \"{}\"]", each(it.kg_per_turn))
            };
            let points: Vec<String> = speeds.iter().map(point).collect();
            format!("meter_curve = [{}]", points.join(", "))
        }
    }
}

/// The unit of a mass per turn: grams or ounces.
fn light(system: System) -> Option<&'static Unit> {
    MASS_PER_TURN.unit(if system == System::Us { "oz" } else { "g" })
}

/// Refuses what would not be read back.
fn readable(file: &Path, text: &str) -> Result<(), Clash> {
    let read =
        InputFile::from_bytes(file, text.as_bytes().to_vec()).and_then(|it| seed_lot_of(&it));
    read.map(drop).map_err(|error| {
        let what = format!("these catches make no seed file: {}", error.what);
        Clash::new("turns", what, format!("{}; look at turns, outlets and masses", error.remedy))
    })
}
