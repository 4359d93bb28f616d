//! The history of a lot: every fill that was settled, in a file that a person may read and mend.
//!
//! ```toml
//! lot = "Demo barley"
//!
//! [[fill]]
//! date = "2026-04-12"
//! loaded = ["1350 kg"]
//! …
//! mass_per_turn = "0.12 kg"   # laid / turns: what the keys above give
//! ```

use super::fill::{FILL_KEYS, Fill, read};
use crate::input::{InputError, InputFile, Trouble};
use crate::scenario::SeedLot;
use crate::scenario::read::{Section, Wanted, parse};
use crate::unit::{MASS_PER_TURN, RATIO, System};
use std::path::Path;
use toml_edit::{Array, Value};

/// Keys of the file.
const KEYS: [&str; 2] = ["lot", "fill"];
/// Keys of a fill in it that follow from the others.
const DERIVED: [&str; 2] = ["mass_per_turn", "uncertainty"];
/// So far may a mass per turn be off what its fill gives: it is written with few digits.
const ROUNDED: f64 = 1e-3;

const TURN: Wanted = Wanted::new(&MASS_PER_TURN, 0.0002, 5.0);
const SHARE: Wanted = Wanted::new(&RATIO, 0.0, 1.0);

/// The fills of a lot, the oldest first.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct History {
    text: String,
    /// The fills.
    pub fills: Vec<Fill>,
}

impl History {
    /// Reads the history at `path`, which must be of this lot.
    ///
    /// # Errors
    ///
    /// [`InputError`] says what is wrong, where, and what would be right.
    pub fn read(path: &Path, lot: &SeedLot) -> Result<Self, InputError> {
        Self::of(&InputFile::read(path)?, lot)
    }

    fn of(file: &InputFile, lot: &SeedLot) -> Result<Self, InputError> {
        let document = parse(file)?;
        let root = Section::root(file, &document, &KEYS)?;
        let name = root.need("lot")?;
        if name.text()? != lot.name {
            let what =
                format!("the history is of {}, and the seed file of {:?}", name.shown(), lot.name);
            let remedy = "each lot has a history of its own; name that of this lot, or a new file"
                .to_owned();
            return Err(name.complain(Trouble::WrongForm, what, remedy));
        }
        let keys: Vec<&str> = FILL_KEYS.into_iter().chain(DERIVED).collect();
        let sections = root.children("fill", &keys)?;
        let fills = sections.iter().map(|section| known(section, lot)).collect::<Result<_, _>>()?;
        Ok(Self { text: file.text().to_owned(), fills })
    }

    /// Whether this very fill is there.
    pub fn has(&self, fill: &Fill) -> bool {
        let figures = |fill: &Fill| {
            let loaded: Vec<f64> = fill.loaded.iter().map(|one| one.value).collect();
            (loaded, fill.left.value, fill.area.value, fill.turns.clone())
        };
        self.fills.iter().any(|other| other.date == fill.date && figures(other) == figures(fill))
    }

    /// The file with one more fill at its end.
    ///
    /// # Errors
    ///
    /// That of reading it back: a file in which no fill can stand at the end.
    pub fn with(&self, fill: &Fill, lot: &SeedLot, path: &Path) -> Result<String, InputError> {
        let mut text = self.text.clone();
        if text.is_empty() {
            text = format!(
                "# Fills of one seed lot, settled by `meterwright reconcile`, which adds to it. A fill that was weighed\n\
                 # wrongly may be put right or taken out; mass_per_turn and uncertainty follow from the rest.\n\
                 lot = {}\n",
                Value::from(lot.name.as_str())
            );
        }
        if !text.ends_with('\n') {
            text.push('\n');
        }
        text.push_str(&block(fill));
        let whole = InputFile::from_bytes(path, text.into_bytes())?;
        Self::of(&whole, lot).map(|history| history.text)
    }
}

/// Reads a fill; what follows from the rest must do so.
fn known(table: &Section<'_>, lot: &SeedLot) -> Result<Fill, InputError> {
    let fill = read(table, lot)?;
    table.find("uncertainty")?.map(|entry| entry.quantity(SHARE)).transpose()?;
    if let Some(entry) = table.find("mass_per_turn")? {
        let (have, want) = (entry.quantity(TURN)?, fill.kg_per_turn().value);
        if (have / want - 1.0).abs() > ROUNDED {
            let what = format!("{} is not what was laid by the turns: {want:.5} kg", entry.shown());
            let remedy = "put the masses or turns right, or take the line out".to_owned();
            return Err(entry.complain(Trouble::OutOfRange, what, remedy));
        }
    }
    Ok(fill)
}

/// A fill as it stands in the file.
fn block(fill: &Fill) -> String {
    let mut text = "\n[[fill]]\n".to_owned();
    let mut line = |key: &str, value: Value| {
        text.extend([key, " = ", value.to_string().as_str(), "\n"]);
    };
    if let Some(date) = &fill.date {
        line("date", date.as_str().into());
    }
    let loaded: Array = fill.loaded.iter().map(|one| one.text.as_str()).collect();
    line("loaded", loaded.into());
    line("left", fill.left.text.as_str().into());
    line("area", fill.area.text.as_str().into());
    let turns: Array = fill.turns.iter().map(|turns| number(*turns)).collect();
    line("turns", turns.into());
    if let Some(sides) = fill.sides.and_then(|sides| i64::try_from(sides).ok()) {
        line("sides", sides.into());
    }
    line("scale", fill.scale.text.as_str().into());
    for (key, value) in [("area_uncertainty", &fill.area_share), ("shaft_speed", &fill.shaft)] {
        if let Some(value) = value {
            line(key, value.text.as_str().into());
        }
    }
    let turn = fill.kg_per_turn();
    line("mass_per_turn", format!("{} kg", short(turn.value)).into());
    line("uncertainty", RATIO.show(turn.share(), System::Both, 2).into());
    text
}

/// Turns as a person writes them: without a point where there is none to write.
fn number(turns: f64) -> Value {
    let text = turns.to_string();
    text.parse::<i64>().map_or_else(|_| Value::from(turns), Value::from)
}

/// A mass per turn with six digits, kg.
pub(super) fn short(kg: f64) -> String {
    let text = MASS_PER_TURN.show(kg, System::Metric, 6);
    text.trim_end_matches(" kg").to_owned()
}
