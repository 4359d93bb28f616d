//! How a flash is cut up: sectors, words and the journal's regions, as the board's program has them.

use crate::input::{InputError, Trouble};
use crate::scenario::read::Section;
use controller::journal::JournalConfig;

/// Keys of `[journal]`.
pub(super) const KEYS: [&str; 7] =
    ["start", "sector", "word", "settings", "gaps", "counts", "events"];

/// Sizes of a sector that are read.
const SECTORS: [u64; 3] = [1024, 2048, 4096];
/// Sizes of a word that are read.
const WORDS: [u64; 4] = [1, 4, 8, 32];

/// Where the journal lies in a flash.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Layout {
    /// Bytes of a sector, the least that is erased.
    pub sector: usize,
    /// Bytes of a word, the least that is programmed.
    pub word: usize,
    /// The regions.
    pub config: JournalConfig,
}

impl Default for Layout {
    /// The journal's own default, on sectors of 4096 bytes and words of 4.
    fn default() -> Self {
        Self { sector: 4096, word: 4, config: JournalConfig::default() }
    }
}

impl Layout {
    /// Bytes up to the journal's end.
    pub fn bytes(&self) -> usize {
        let JournalConfig { start, settings, gaps, counts, events } = self.config;
        let sectors = [settings, gaps, counts, events].map(usize::from).iter().sum::<usize>();
        start as usize + sectors * self.sector
    }

    /// Reads `[journal]`; what is left out is as in the default.
    pub(super) fn read(section: &Section<'_>) -> Result<Self, InputError> {
        let mut layout = Self::default();
        let whole = |key: &'static str, most: u64| {
            section.find(key)?.map(|entry| entry.whole(0..=most)).transpose()
        };
        if let Some(sector) = whole("sector", 1 << 20)? {
            layout.sector = one_of(section, "sector", sector, &SECTORS)?;
        }
        if let Some(word) = whole("word", 1 << 20)? {
            layout.word = one_of(section, "word", word, &WORDS)?;
        }
        if let Some(start) = whole("start", u64::from(u32::MAX / 2))? {
            layout.config.start = u32::try_from(start).unwrap_or(u32::MAX);
        }
        let JournalConfig { settings, gaps, counts, events, .. } = &mut layout.config;
        let regions =
            [("settings", settings), ("gaps", gaps), ("counts", counts), ("events", events)];
        for (key, sectors) in regions {
            if let Some(found) = whole(key, 16_384)? {
                *sectors = u16::try_from(found).unwrap_or(u16::MAX);
            }
        }
        Ok(layout)
    }
}

fn one_of(
    section: &Section<'_>,
    key: &'static str,
    found: u64,
    all: &[u64],
) -> Result<usize, InputError> {
    if all.contains(&found) {
        return Ok(usize::try_from(found).unwrap_or(usize::MAX));
    }
    let list: Vec<String> = all.iter().map(u64::to_string).collect();
    let wanted = format!("one of {}", list.join(", "));
    Err(section.need(key)?.wants(Trouble::OutOfRange, &wanted))
}
