//! A fill: what was weighed in and out, the area and turns that the tally counted meanwhile.

use crate::desk::settle::{Sure, kg_per_turn, laid_kg};
use crate::input::{InputError, Trouble};
use crate::scenario::SeedLot;
use crate::scenario::read::{Entry, Section, Wanted};
use crate::unit::{AREA, MASS, PRICE, RATE, RATIO, SHAFT_SPEED};

/// Keys of a fill in a file.
pub(crate) const FILL_KEYS: [&str; 9] = [
    "date",
    "loaded",
    "left",
    "area",
    "turns",
    "sides",
    "scale",
    "area_uncertainty",
    "shaft_speed",
];

/// Seed that was loaded, in one weighing.
pub(crate) const LOADED: Wanted = Wanted::new(&MASS, 0.0, 100_000.0);
/// Ground that was sown.
pub(crate) const GROUND: Wanted = Wanted::new(&AREA, 1.0, 1e8);
/// Half the 95 % interval of a weighing.
pub(crate) const SCALE: Wanted = Wanted::new(&MASS, 1e-6, 1_000.0);
/// The same of the area, as a share.
pub(crate) const AREA_SHARE: Wanted = Wanted::new(&RATIO, 0.0, 0.2);
/// Mean speed of the meter shaft.
pub(crate) const SHAFT: Wanted = Wanted::new(&SHAFT_SPEED, 0.001, 10.0);
/// What the seed costs.
#[cfg(feature = "host")]
pub(crate) const PRICE_OF_SEED: Wanted = Wanted::new(&PRICE, 0.0, 1e6);

/// Most turns of a fill.
const MOST_TURNS: f64 = 1e9;
/// Mass that a turn of any meter delivers, kg: the range of a seed file.
const TURN_KG: (f64, f64) = (0.0002, 5.0);
/// A meter does not deliver less than this share of its catch, nor more than its inverse, and no rate is so far off: then
/// something else is wrong, such as turns of one side of two, or another unit of area.
const BELIEVED: f64 = 0.6;

/// A quantity with the words that it was written in.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// As it was written.
    pub text: String,
    /// Its value in the bench's own unit.
    pub value: f64,
}

/// A fill.
#[derive(Clone, Debug, PartialEq)]
pub struct Fill {
    /// Day on which it was weighed out, as ISO 8601 has it.
    pub date: Option<String>,
    /// Seed that was loaded, one weighing each, kg.
    pub loaded: Vec<Typed>,
    /// Seed that was left, kg.
    pub left: Typed,
    /// Ground that was sown, m².
    pub area: Typed,
    /// Turns of the meter shafts; they add up.
    pub turns: Vec<f64>,
    /// Shafts whose turns these are.
    pub sides: Option<u64>,
    /// Half the 95 % interval of a weighing, kg.
    pub scale: Typed,
    /// The same of the area, as a share; none where nobody said.
    pub area_share: Option<Typed>,
    /// Mean speed of the shaft, turns/s; a lot with a meter curve needs it.
    pub shaft: Option<Typed>,
}

/// What is wrong with a fill.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fault {
    /// The key to blame, as in a file.
    pub key: &'static str,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl Fault {
    fn new(key: &'static str, what: String, remedy: &str) -> Self {
        Self { key, what, remedy: remedy.to_owned() }
    }
}

impl Fill {
    /// Seed laid, kg.
    pub fn laid_kg(&self) -> Sure {
        let loaded: f64 = self.loaded.iter().map(|one| one.value).sum();
        let weighings = u32::try_from(self.loaded.len()).unwrap_or(u32::MAX).saturating_add(1);
        laid_kg(loaded, self.left.value, weighings, self.scale.value)
    }

    /// Turns of all shafts.
    pub fn all_turns(&self) -> f64 {
        self.turns.iter().sum()
    }

    /// Mass of a turn of a shaft, kg.
    pub fn kg_per_turn(&self) -> Sure {
        kg_per_turn(&self.laid_kg(), self.all_turns())
    }

    /// Mass of a turn that the seed file tells for the fill's shaft speed, kg.
    pub fn told_kg_per_turn(&self, lot: &SeedLot) -> f64 {
        lot.kg_per_turn(self.shaft.as_ref().map_or(1.0, |shaft| shaft.value))
    }

    /// What is wrong with it, if anything is.
    pub fn fault(&self, lot: &SeedLot) -> Option<Fault> {
        self.fault_of_masses().or_else(|| self.fault_of_turns()).or_else(|| self.fault_of(lot))
    }

    fn fault_of_masses(&self) -> Option<Fault> {
        let laid = self.laid_kg();
        let loaded: Vec<&str> = self.loaded.iter().map(|one| one.text.as_str()).collect();
        if laid.value <= 0.0 {
            let what =
                format!("{:?} left of {:?}: nothing was laid", self.left.text, loaded.join(" + "));
            return Some(Fault::new(
                "left",
                what,
                "left must be less than loaded; add refills to loaded",
            ));
        }
        if laid.value <= laid.uncertainty {
            let what = format!(
                "{} laid, and the weighings are sure to {} together: they tell nothing",
                MASS.show(laid.value, crate::unit::System::Metric, 3),
                MASS.show(laid.uncertainty, crate::unit::System::Metric, 3)
            );
            return Some(Fault::new(
                "scale",
                what,
                "sow more before you settle, or weigh on a finer scale",
            ));
        }
        None
    }

    fn fault_of_turns(&self) -> Option<Fault> {
        let good = |turns: &f64| *turns > 0.0 && *turns <= MOST_TURNS;
        if self.turns.is_empty() || !self.turns.iter().all(good) {
            let what = format!("{:?} are no turns of a meter shaft", self.turns);
            return Some(Fault::new("turns", what, "write turns above 0, up to 1000000000"));
        }
        let sides = self.sides.unwrap_or_default();
        if self.turns.len() > 1 && self.sides.is_some() && self.turns.len() as u64 != sides {
            let what = format!("turns of {} shafts, and {sides} sides", self.turns.len());
            return Some(Fault::new(
                "sides",
                what,
                "give turns once for each side, or one sum of all",
            ));
        }
        None
    }

    fn fault_of(&self, lot: &SeedLot) -> Option<Fault> {
        if lot.curve.len() > 1 && self.shaft.is_none() {
            let what = format!("{:?} has a meter curve of {} points", lot.name, lot.curve.len());
            let remedy = "say at what mean speed the shaft turned, such as \"0.7 turns/s\"";
            return Some(Fault::new("shaft_speed", what, remedy));
        }
        let (have, told) = (self.kg_per_turn().value, self.told_kg_per_turn(lot));
        let believed = BELIEVED..=BELIEVED.recip();
        if believed.contains(&(have / told)) && (TURN_KG.0..=TURN_KG.1).contains(&have) {
            return self.fault_of_area(lot);
        }
        let what = format!(
            "{} laid by {} turns are {have:.4} kg a turn, and the seed file says {told:.4} kg",
            MASS.show(self.laid_kg().value, crate::unit::System::Metric, 4),
            self.all_turns()
        );
        let remedy = "look at the units, at whose turns they are (of all sides) and at the seed file: no meter strays so far";
        Some(Fault::new("turns", what, remedy))
    }

    /// An area on which the seed would be a rate that nobody meant.
    fn fault_of_area(&self, lot: &SeedLot) -> Option<Fault> {
        let rate = 1e4 * self.laid_kg().value / self.area.value;
        if (BELIEVED..=BELIEVED.recip()).contains(&(rate / lot.rate_kg_per_ha)) {
            return None;
        }
        let what = format!(
            "{} on {} are {}, and {} was asked for",
            MASS.show(self.laid_kg().value, crate::unit::System::Metric, 4),
            self.area.text,
            RATE.show(rate, crate::unit::System::Metric, 4),
            RATE.show(lot.rate_kg_per_ha, crate::unit::System::Metric, 4)
        );
        let remedy = "look at the unit of the area, at the masses and at the rate of the seed file";
        Some(Fault::new("area", what, remedy))
    }
}

/// Reads a fill.
pub(crate) fn read(section: &Section<'_>, lot: &SeedLot) -> Result<Fill, InputError> {
    let fill = Fill {
        date: section.find("date")?.map(|entry| entry.day().map(str::to_owned)).transpose()?,
        loaded: many(section, "loaded")?
            .iter()
            .map(|entry| typed(entry, LOADED))
            .collect::<Result<_, _>>()?,
        left: typed(&section.need("left")?, LOADED)?,
        area: typed(&section.need("area")?, GROUND)?,
        turns: many(section, "turns")?.iter().map(Entry::number).collect::<Result<_, _>>()?,
        sides: section.find("sides")?.map(|entry| entry.whole(1..=8)).transpose()?,
        scale: typed(&section.need("scale")?, SCALE)?,
        area_share: found(section, "area_uncertainty", AREA_SHARE)?,
        shaft: found(section, "shaft_speed", SHAFT)?,
    };
    match fill.fault(lot) {
        None => Ok(fill),
        Some(Fault { key, what, remedy }) => Err(match section.find(key)? {
            Some(entry) => entry.complain(Trouble::OutOfRange, what, remedy),
            None => section.complain(Trouble::MissingKey, what, format!("{key}: {remedy}")),
        }),
    }
}

/// A value or a list of such.
fn many<'a>(section: &Section<'a>, key: &'static str) -> Result<Vec<Entry<'a>>, InputError> {
    let entry = section.need(key)?;
    if entry.value.is_array() { entry.list(1..=8) } else { Ok(vec![entry]) }
}

fn found(
    section: &Section<'_>,
    key: &'static str,
    wanted: Wanted,
) -> Result<Option<Typed>, InputError> {
    section.find(key)?.map(|entry| typed(&entry, wanted)).transpose()
}

fn typed(entry: &Entry<'_>, wanted: Wanted) -> Result<Typed, InputError> {
    let value = entry.quantity(wanted)?;
    let text = entry.value.as_str().map_or_else(|| value.to_string(), str::to_owned);
    Ok(Typed { text, value })
}
