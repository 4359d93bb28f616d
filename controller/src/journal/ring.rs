//! A ring of sectors: records go to the end, the oldest sector is erased ahead at rest.
//!
//! ```text
//!  │ closed │ closed │ in use ▸│ blank │ blank │ blank │ closed │ closed │
//!              kept ◄──────────┘└──── ready ─────────┘  └ next to be erased
//! ```
//!
//! Before a sector is erased the ring records which, and after it that it is done. A sector whose erase was cut may look
//! blank and not be; at power-up it is known by the last record and erased again.

use super::JournalError;
use super::at_once::at_once;
use super::gate::Gate;
use super::pack::Packer;
use super::record::{Record, Word};
use super::sector::Sector;
use core::ops::Range;
use embedded_storage::nor_flash::NorFlash;
use sequential_storage::cache::Cache;
use sequential_storage::queue::{QueueConfig, QueueStorage};

/// Room that is left for the word that a sector is about to be erased, with its header.
const LAST_WORD: usize = 32;

/// Programs that fail or do not read back are tried so often, each time further on.
const TRIES: u8 = 3;

/// Where a ring lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Region {
    pub(super) start: u32,
    pub(super) sectors: u16,
    /// Sectors that are never erased ahead, the one in use among them.
    pub(super) kept: u16,
}

impl Region {
    /// First byte of a sector.
    pub(super) fn at<F: NorFlash>(self, sector: u16) -> Result<u32, JournalError> {
        u32::try_from(F::ERASE_SIZE)
            .ok()
            .and_then(|size| size.checked_mul(u32::from(sector)))
            .and_then(|bytes| self.start.checked_add(bytes))
            .ok_or(JournalError::Geometry)
    }

    fn range<F: NorFlash>(self) -> Result<Range<u32>, JournalError> {
        Ok(self.start..self.at::<F>(self.sectors)?)
    }

    pub(super) fn sector<F: NorFlash>(
        self,
        flash: &mut F,
        sector: u16,
    ) -> Result<Sector<'_, F>, JournalError> {
        Ok(Sector::new(flash, self.at::<F>(sector)?))
    }

    /// The sector that lies `further` after another.
    pub(super) fn after(self, sector: u16, further: u16) -> u16 {
        sector.saturating_add(further).checked_rem(self.sectors).unwrap_or(0)
    }
}

/// A ring in use.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ring {
    pub(super) region: Region,
    /// The sector in use.
    pub(super) current: u16,
    /// Blank sectors after it.
    pub(super) ready: u16,
    /// Number of the next record.
    pub(super) sequence: u32,
}

impl Ring {
    /// Adds the content that `pack` packs; never erases. The record is packed in `room`.
    pub(super) fn append<F: NorFlash>(
        &mut self,
        flash: &mut F,
        room: &mut [u8],
        pack: impl FnOnce(&mut Packer<'_>) -> Result<(), JournalError>,
    ) -> Result<(), JournalError> {
        let mut record = Packer::new(room);
        Record::begin(&mut record, self.sequence)?;
        pack(&mut record)?;
        if self.ready == 0 {
            let most = record.bytes().len().next_multiple_of(super::gate::LARGEST_WORD);
            let fits = self.room(flash)?.is_some_and(|room| room >= most.saturating_add(LAST_WORD));
            if !fits {
                return Err(JournalError::NeedsErase);
            }
        }
        self.push(flash, record.bytes())
    }

    /// Erases one sector ahead, if one is wanted; whether it did. Only at rest.
    pub(super) fn tend<F: NorFlash>(&mut self, flash: &mut F) -> Result<bool, JournalError> {
        if self.ready >= self.region.sectors.saturating_sub(self.region.kept) {
            return Ok(false);
        }
        let sector = self.region.after(self.current, self.ready.saturating_add(1));
        match self.say(flash, Word::Erasing(sector)) {
            // Saying so may have taken a sector; one more is to be erased after this one then.
            // Where no room was left for the word it goes unsaid: else the ring would be stuck.
            Ok(()) | Err(JournalError::NeedsErase) => {}
            Err(error) => return Err(error),
        }
        self.region.sector(flash, sector)?.erase()?;
        self.ready = self.ready.saturating_add(1);
        self.say(flash, Word::Erased)?;
        Ok(true)
    }

    /// Records something about the ring itself.
    pub(super) fn say<F: NorFlash>(
        &mut self,
        flash: &mut F,
        word: Word,
    ) -> Result<(), JournalError> {
        let mut room = [0; 16];
        let mut record = Packer::new(&mut room);
        word.pack(&mut record, self.sequence)?;
        self.push(flash, record.bytes())
    }

    #[inline(never)]
    fn push<F: NorFlash>(&mut self, flash: &mut F, record: &[u8]) -> Result<(), JournalError> {
        let mut pushed = Err(JournalError::ReadBack);
        for _ in 0..TRIES {
            if matches!(pushed, Err(JournalError::ReadBack | JournalError::Flash)) {
                pushed = self.push_once(flash, record);
            }
        }
        if pushed.is_ok() {
            self.sequence = self.sequence.saturating_add(1);
        }
        pushed
    }

    fn push_once<F: NorFlash>(&mut self, flash: &mut F, record: &[u8]) -> Result<(), JournalError> {
        let config =
            QueueConfig::try_new(self.region.range::<F>()?).map_err(|_| JournalError::Geometry)?;
        let mut queue = QueueStorage::new(Gate::new(flash), config, Cache::new_uncached());
        let pushed = at_once(queue.push(record, true));
        self.follow(flash)?;
        Ok(pushed??)
    }

    /// Notices that the store went on to the next sector.
    fn follow<F: NorFlash>(&mut self, flash: &mut F) -> Result<(), JournalError> {
        let next = self.region.after(self.current, 1);
        if self.ready > 0 && self.region.sector(flash, next)?.is_begun()? {
            self.current = next;
            self.ready = self.ready.saturating_sub(1);
        }
        Ok(())
    }

    /// Bytes that the next record may have.
    fn room<F: NorFlash>(&self, flash: &mut F) -> Result<Option<usize>, JournalError> {
        let config =
            QueueConfig::try_new(self.region.range::<F>()?).map_err(|_| JournalError::Geometry)?;
        let mut queue = QueueStorage::new(Gate::new(flash), config, Cache::new_uncached());
        let room = at_once(queue.find_max_fit())??;
        Ok(room.and_then(|room| usize::try_from(room).ok()))
    }
}
