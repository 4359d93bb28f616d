//! What the person adds: field, date, operator, seed files, how sure the area is, and how the flash is cut up.

use super::image::{KEYS as LAYOUT_KEYS, Layout};
use crate::input::{InputError, InputFile};
use crate::scenario::SeedLot;
use crate::scenario::read::{Section, parse, referred, seed_lot};
use crate::settle::AREA_SHARE;
use std::path::{Path, PathBuf};

/// Keys of the file.
const KEYS: [&str; 8] =
    ["field", "date", "operator", "demo", "seed", "second_seed", "area_uncertainty", "journal"];

/// What a person told, in a file or by options; nothing of it need be there.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Told {
    /// Name of the field.
    pub field: Option<String>,
    /// Day or days of the work, the first as ISO 8601 has it.
    pub date: Option<String>,
    /// Who sowed.
    pub operator: Option<String>,
    /// It is invented for demonstration.
    pub demo: bool,
    /// Seed files, by product.
    pub seeds: Vec<PathBuf>,
    /// Half the 95 % interval of the area, as a share.
    pub area_share: Option<f64>,
    /// How the flash is cut up.
    pub layout: Option<Layout>,
}

/// What must be known beside the counts.
#[derive(Clone, Debug, PartialEq)]
pub struct About {
    /// Name of the field.
    pub field: String,
    /// Day of the work.
    pub date: String,
    /// Who sowed.
    pub operator: Option<String>,
    /// It is invented for demonstration.
    pub demo: bool,
    /// The seed lots, by product.
    pub lots: Vec<SeedLot>,
    /// Half the 95 % interval of the area, as a share; none where nobody said.
    pub area_share: Option<f64>,
}

impl Told {
    /// Reads the file at `path`.
    ///
    /// # Errors
    ///
    /// [`InputError`] says what is wrong, where, and what would be right.
    pub fn read(path: &Path) -> Result<Self, InputError> {
        let file = InputFile::read(path)?;
        let document = parse(&file)?;
        let root = Section::root(&file, &document, &KEYS)?;
        let text = |key| -> Result<Option<String>, InputError> {
            root.find(key)?.map(|entry| entry.text().map(str::to_owned)).transpose()
        };
        let date = root.find("date")?.map(|entry| entry.day().map(str::to_owned)).transpose()?;
        let seed = |key| root.find(key)?.map(|entry| referred(&entry, &file)).transpose();
        let (first, second) = (seed("seed")?, seed("second_seed")?);
        if first.is_none() && second.is_some() {
            return Err(root.missing("seed"));
        }
        Ok(Self {
            field: text("field")?,
            date,
            operator: text("operator")?,
            demo: root.find("demo")?.map_or(Ok(false), |entry| entry.flag())?,
            seeds: first.into_iter().chain(second).collect(),
            area_share: root
                .find("area_uncertainty")?
                .map(|entry| entry.quantity(AREA_SHARE))
                .transpose()?,
            layout: root
                .child("journal", &LAYOUT_KEYS)?
                .map(|section| Layout::read(&section))
                .transpose()?,
        })
    }

    /// What `over` says, and where it says nothing what this says.
    #[must_use]
    pub fn under(self, over: Self) -> Self {
        Self {
            field: over.field.or(self.field),
            date: over.date.or(self.date),
            operator: over.operator.or(self.operator),
            demo: over.demo || self.demo,
            seeds: if over.seeds.is_empty() { self.seeds } else { over.seeds },
            area_share: over.area_share.or(self.area_share),
            layout: over.layout.or(self.layout),
        }
    }

    /// Reads the seed files.
    ///
    /// # Errors
    ///
    /// Theirs.
    pub fn lots(&self) -> Result<Vec<SeedLot>, InputError> {
        self.seeds.iter().map(|seed| seed_lot(seed)).collect()
    }
}
