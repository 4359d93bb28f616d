//! What a log tells: rows of CSV, for who has no image of the flash.
//!
//! ```text
//!  row,number,side,key,value,way_m,length_m,latitude_deg,longitude_deg
//!  settings,,,fingerprint,29A4-KX37,,,,
//!  sown,,1,area_m2,12340.5,,,,
//!  sown,,1,mass_kg,135.7,,,,
//!  event,1,,field-begins,3,0.0,,52.0001000,10.0002000
//!  gap,1,1,switched off,,321.5,12.3,52.0003000,10.0004000
//! ```

use super::read::{EventSown, GapSown, SideSown, Sown};
use crate::input::{InputError, InputFile, Trouble, steers};
use csv::{ReaderBuilder, StringRecord, Trim};

/// Columns of a log.
const COLUMNS: [&str; 9] =
    ["row", "number", "side", "key", "value", "way_m", "length_m", "latitude_deg", "longitude_deg"];

/// Most that a number of a log may be: masses, areas and ways of a season.
const MOST: f64 = 1e9;

/// A figure of a side before the log says it.
const NOT_SAID: f64 = f64::NAN;

/// Reads a log.
///
/// # Errors
///
/// [`InputError`] says which line is wrong, and what would be right.
pub fn log(file: &InputFile) -> Result<Sown, InputError> {
    let mut reader = ReaderBuilder::new().trim(Trim::All).from_reader(file.text().as_bytes());
    let head =
        reader.headers().map_err(|error| bad(file, 0, &error.to_string(), "write it as CSV"))?;
    if head != &StringRecord::from(COLUMNS.to_vec()) {
        let what = format!("its columns are {}", head.iter().collect::<Vec<_>>().join(","));
        let remedy = format!("the first line must read {}", COLUMNS.join(","));
        return Err(file.complain(0, Trouble::UnknownKey, what, remedy));
    }
    let mut sown = Sown::default();
    for row in reader.records() {
        let row = row.map_err(|error| {
            let at = error.position().map_or(0, csv::Position::byte);
            bad(file, at, &error.to_string(), "write as many fields as there are columns")
        })?;
        Row { file, row: &row }.take(&mut sown)?;
    }
    if sown.sides.is_empty() {
        let remedy = "add rows sown,,1,area_m2,… and sown,,1,mass_kg,…".to_owned();
        return Err(file.complain(
            0,
            Trouble::MissingKey,
            "it says of no side what it sowed".to_owned(),
            remedy,
        ));
    }
    let half = |side: &&SideSown| side.area_m2.is_nan() || side.mass_kg.is_nan();
    if let Some(side) = sown.sides.iter().find(half) {
        let what = format!("side {} has no area_m2 or no mass_kg", side.number);
        let remedy = "add the row sown that is not there".to_owned();
        return Err(file.complain(0, Trouble::MissingKey, what, remedy));
    }
    let mut numbers: Vec<_> = sown.gaps.iter().map(|gap| gap.number).collect();
    numbers.sort_unstable();
    let mut pairs = numbers.iter().zip(numbers.iter().skip(1));
    if let Some((before, after)) = pairs.find(|(before, after)| **after != *before + 1) {
        let what = format!("gap {after} follows gap {before}");
        let remedy =
            "gaps are numbered one after the other: add the rows that are not there".to_owned();
        return Err(file.complain(0, Trouble::MissingKey, what, remedy));
    }
    sown.sides.sort_by_key(|side| side.number);
    sown.notes.push(
        "Taken from a log that a person wrote down or cut out; nothing in it has a check sum."
            .to_owned(),
    );
    Ok(sown)
}

/// A row of the log.
struct Row<'a> {
    file: &'a InputFile,
    row: &'a StringRecord,
}

impl Row<'_> {
    fn take(&self, sown: &mut Sown) -> Result<(), InputError> {
        match self.text(0) {
            "settings" if self.text(3) == "fingerprint" => {
                let word = self.word(4)?;
                let sign = |sign: char| sign == '-' || "23456789ACEHKRTX".contains(sign);
                if word.len() != 9 || !word.chars().all(sign) {
                    let what = format!("{word:?} is no fingerprint");
                    return Err(
                        self.wrong(&what, "eight signs such as 49ER-48KH, as the board says them")
                    );
                }
                sown.fingerprint = Some(word);
            }
            "sown" => self.side(sown)?,
            "gap" => sown.gaps.push(GapSown {
                number: self.whole(1)?,
                side: self.side_number()?,
                cause: self.word(3)?,
                start_m: self.number(5)?,
                length_m: self.number(6)?,
                place: self.place()?,
            }),
            "event" => sown.events.push(EventSown {
                number: self.whole(1)?,
                kind: self.word(3)?,
                value: self.whole(4)?,
                way_m: self.number(5)?,
                place: self.place()?,
            }),
            other => {
                let what = format!("{other:?} with {:?} is no row of a log", self.text(3));
                return Err(
                    self.wrong(&what, "rows are settings (fingerprint), sown, gap and event")
                );
            }
        }
        Ok(())
    }

    fn side(&self, sown: &mut Sown) -> Result<(), InputError> {
        let number = self.side_number()?;
        let value = self.number(4)?;
        let known = sown.sides.iter().position(|side| side.number == number);
        let place = known.unwrap_or(sown.sides.len());
        if known.is_none() {
            sown.sides.push(SideSown {
                number,
                area_m2: NOT_SAID,
                mass_kg: NOT_SAID,
                ..SideSown::default()
            });
        }
        let side = &mut sown.sides[place];
        let twice = match self.text(3) {
            "area_m2" => !side.area_m2.is_nan(),
            "mass_kg" => !side.mass_kg.is_nan(),
            "distance_m" => side.distance_m.is_some(),
            _ => false,
        };
        if twice {
            let what = format!("{} of side {number} is there twice", self.text(3));
            return Err(self.wrong(&what, "write each once for each side"));
        }
        match self.text(3) {
            "area_m2" => side.area_m2 = value,
            "mass_kg" => side.mass_kg = value,
            "distance_m" => side.distance_m = Some(value),
            "turns_by_map" => side.turns_by_map = value,
            "product" if self.text(4) == "1" => side.product = 0,
            "product" if self.text(4) == "2" => side.product = 1,
            other => {
                let what = format!("{other:?} is nothing that a side sowed");
                let remedy =
                    "keys are area_m2, mass_kg, distance_m, turns_by_map and product (1 or 2)";
                return Err(self.wrong(&what, remedy));
            }
        }
        Ok(())
    }

    fn text(&self, column: usize) -> &str {
        self.row.get(column).unwrap_or_default()
    }

    fn word(&self, column: usize) -> Result<String, InputError> {
        let text = self.text(column);
        if text.is_empty() || text.contains(steers) {
            return Err(self.wrong(&format!("{} is not there", COLUMNS[column]), "write it"));
        }
        Ok(text.to_owned())
    }

    fn whole(&self, column: usize) -> Result<u32, InputError> {
        let text = self.text(column);
        text.parse().map_err(|_| {
            let what = format!("{} is {text:?}", COLUMNS[column]);
            self.wrong(&what, "it wants a whole number, 0 or more")
        })
    }

    fn side_number(&self) -> Result<usize, InputError> {
        let number = self.whole(2)?;
        match usize::try_from(number) {
            Ok(number @ 1..=8) => Ok(number),
            _ => {
                Err(self.wrong(&format!("side is {number}"), "sides are counted from 1, 8 at most"))
            }
        }
    }

    fn number(&self, column: usize) -> Result<f64, InputError> {
        let text = self.text(column);
        let number = text.parse().ok().filter(|number| (0.0..=MOST).contains(number));
        number.ok_or_else(|| {
            let what = format!("{} is {text:?}", COLUMNS[column]);
            self.wrong(&what, "it wants a number, 0 or more, with a point")
        })
    }

    /// Latitude and longitude, both or none.
    fn place(&self) -> Result<Option<[i32; 2]>, InputError> {
        let (north, east) = (self.text(7), self.text(8));
        if north.is_empty() && east.is_empty() {
            return Ok(None);
        }
        if let (Some(north), Some(east)) = (steps(north, 90.0), steps(east, 180.0)) {
            return Ok(Some([north, east]));
        }
        let what = format!("{north:?}, {east:?} is no place");
        let remedy = "latitude -90 to 90 and longitude -180 to 180, in degrees, or neither";
        Err(self.wrong(&what, remedy))
    }

    fn wrong(&self, what: &str, remedy: &str) -> InputError {
        bad(self.file, self.row.position().map_or(0, csv::Position::byte), what, remedy)
    }
}

/// Degrees in steps of 10^-7.
fn steps(text: &str, most: f64) -> Option<i32> {
    let degrees = text.parse().ok().filter(|degrees: &f64| degrees.abs() <= most)?;
    #[expect(clippy::cast_possible_truncation, reason = "at most 1.8e9")]
    let steps = libm::round(degrees * 1e7) as i32;
    Some(steps)
}

fn bad(file: &InputFile, at: u64, what: &str, remedy: &str) -> InputError {
    let at = usize::try_from(at).unwrap_or_default().min(file.text().len());
    file.complain(at, Trouble::BadRow, what.to_owned(), remedy.to_owned())
}
