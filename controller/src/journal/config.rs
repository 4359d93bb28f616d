//! Where in the flash the journal lies.
//!
//! ```text
//!  start ─► │ settings │ gaps │ counts                               │ events │
//!             sectors of 4096 bytes, the smallest that common NOR flash erases
//! ```

use super::JournalError;
use super::gate::LARGEST_WORD;
use super::ring::Region;
use embedded_storage::nor_flash::NorFlash;

/// Bytes of the largest sector that is supported; common practice of serial NOR flash.
pub const SECTOR: usize = 4096;

/// Sectors that are never erased ahead, the one in use among them.
const KEPT: u16 = 2;

/// As [`KEPT`], of gaps: three full sectors of 85 gaps at the least are 255.
const KEPT_GAPS: u16 = 4;

/// Regions in flash, in sectors.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct JournalConfig {
    /// First byte, at the start of a sector.
    pub start: u32,
    /// Sectors of the settings: 3 at the least.
    pub settings: u16,
    /// Sectors of the gaps: 5 at the least, of which the last 200 gaps at the least are kept.
    pub gaps: u16,
    /// Sectors of the counts: 3 at the least; the more, the longer work goes on without a standstill.
    pub counts: u16,
    /// Sectors of the operator's events, behind the rest: none, or 5 at the least.
    pub events: u16,
}

impl Default for JournalConfig {
    /// From the start of the flash: 4, 6 and 256 sectors, 1 064 KiB: an hour of work with four sides. No events.
    fn default() -> Self {
        Self { start: 0, settings: 4, gaps: 6, counts: 256, events: 0 }
    }
}

/// The regions of the rings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Regions {
    pub(super) settings: Region,
    pub(super) gaps: Region,
    pub(super) counts: Region,
    pub(super) events: Option<Region>,
}

impl Regions {
    /// Checks a flash and the regions in it.
    pub(super) fn new<F: NorFlash>(config: JournalConfig, flash: &F) -> Result<Self, JournalError> {
        let sector = u32::try_from(F::ERASE_SIZE).map_err(|_| JournalError::Geometry)?;
        let word = F::READ_SIZE.max(F::WRITE_SIZE);
        let suits = word > 0
            && word <= LARGEST_WORD
            && LARGEST_WORD.checked_rem(word) == Some(0)
            && word.checked_rem(F::READ_SIZE) == Some(0)
            && word.checked_rem(F::WRITE_SIZE) == Some(0)
            && (1024..=SECTOR).contains(&F::ERASE_SIZE)
            && config.start.checked_rem(sector) == Some(0)
            && config.settings > KEPT
            && config.gaps > KEPT_GAPS
            && config.counts > KEPT
            && (config.events == 0 || config.events > KEPT_GAPS);
        if !suits {
            return Err(JournalError::Geometry);
        }
        let after = |region: Region| {
            sector
                .checked_mul(u32::from(region.sectors))
                .and_then(|bytes| region.start.checked_add(bytes))
                .filter(|end| usize::try_from(*end).is_ok_and(|end| end <= flash.capacity()))
                .ok_or(JournalError::Geometry)
        };
        let settings = Region { start: config.start, sectors: config.settings, kept: KEPT };
        let gaps = Region { start: after(settings)?, sectors: config.gaps, kept: KEPT_GAPS };
        let counts = Region { start: after(gaps)?, sectors: config.counts, kept: KEPT };
        let events = Region { start: after(counts)?, sectors: config.events, kept: KEPT_GAPS };
        after(events)?;
        let events = (config.events > 0).then_some(events);
        Ok(Self { settings, gaps, counts, events })
    }
}
