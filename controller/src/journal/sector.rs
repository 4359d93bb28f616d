//! One sector of a ring: its marks, its records, its erase.
//!
//! ```text
//!  │ mark │ record │ record │ …                    │ mark │
//!    begun                                           full       a mark is made when half of a byte's bits are zero
//! ```
//!
//! The marks are those of the store, which knows a sector by them: none is open, the first is in use, both is closed. They
//! are written here only to mend what a cut left behind, and only bits are cleared.

use super::JournalError;
use super::at_once::at_once;
use super::gate::{Gate, GateError, LARGEST_WORD};
use embedded_storage::nor_flash::NorFlash;
use sequential_storage::cache::Cache;
use sequential_storage::queue::{QueueConfig, QueueStorage};

/// Zero bits by which the store knows a mark.
const MARKED: u32 = 4;

/// A sector of a flash.
#[derive(Debug)]
pub(super) struct Sector<'f, F> {
    flash: &'f mut F,
    start: u32,
}

impl<'f, F: NorFlash> Sector<'f, F> {
    pub(super) const fn new(flash: &'f mut F, start: u32) -> Self {
        Self { flash, start }
    }

    fn end(&self) -> Result<u32, JournalError> {
        let size = u32::try_from(F::ERASE_SIZE).map_err(|_| JournalError::Geometry)?;
        self.start.checked_add(size).ok_or(JournalError::Geometry)
    }

    fn before_end(&self, bytes: usize) -> Result<u32, JournalError> {
        let bytes = u32::try_from(bytes).map_err(|_| JournalError::Geometry)?;
        self.end()?.checked_sub(bytes).ok_or(JournalError::Geometry)
    }

    /// Erases it: only at rest.
    pub(super) fn erase(&mut self) -> Result<(), JournalError> {
        self.flash.erase(self.start, self.end()?).map_err(|_| JournalError::Flash)
    }

    /// Whether every byte reads erased.
    pub(super) fn is_blank(&mut self, scratch: &mut [u8]) -> Result<bool, JournalError> {
        let bytes = scratch.get_mut(..F::ERASE_SIZE).ok_or(JournalError::Geometry)?;
        self.flash.read(self.start, bytes).map_err(|_| JournalError::Flash)?;
        Ok(bytes.iter().all(|byte| *byte == u8::MAX))
    }

    fn is_marked(&mut self, at: u32) -> Result<bool, JournalError> {
        let mut word = [0; LARGEST_WORD];
        let word = word.get_mut(..F::READ_SIZE).ok_or(JournalError::Geometry)?;
        self.flash.read(at, word).map_err(|_| JournalError::Flash)?;
        let zeros = word.iter().fold(0_u32, |sum, byte| sum.saturating_add(byte.count_zeros()));
        Ok(zeros >= MARKED)
    }

    /// Whether something was begun to be written.
    pub(super) fn is_begun(&mut self) -> Result<bool, JournalError> {
        self.is_marked(self.start)
    }

    /// Whether it was closed.
    pub(super) fn is_closed(&mut self) -> Result<bool, JournalError> {
        let at = self.before_end(F::READ_SIZE)?;
        self.is_marked(at)
    }

    fn mark(&mut self, at: u32) -> Result<(), JournalError> {
        let zeros = [0; LARGEST_WORD];
        let word = zeros.get(..F::READ_SIZE.max(F::WRITE_SIZE)).ok_or(JournalError::Geometry)?;
        Gate::new(self.flash).program(at, word).map_err(|error| match error {
            GateError::ReadBack => JournalError::ReadBack,
            GateError::Flash(_) | GateError::Shut => JournalError::Flash,
        })
    }

    /// Marks it begun, if it is not.
    pub(super) fn begin(&mut self) -> Result<(), JournalError> {
        if self.is_begun()? { Ok(()) } else { self.mark(self.start) }
    }

    /// Marks it begun and closed, where it is not.
    pub(super) fn close(&mut self) -> Result<(), JournalError> {
        self.begin()?;
        if self.is_closed()? {
            return Ok(());
        }
        let at = self.before_end(F::READ_SIZE.max(F::WRITE_SIZE))?;
        self.mark(at)
    }

    /// Calls `each` with every whole record, in the order of writing, whatever the marks say.
    pub(super) fn records(
        &mut self,
        scratch: &mut [u8],
        mut each: impl FnMut(&[u8]),
    ) -> Result<(), JournalError> {
        let sector = self.start..self.end()?;
        let config = QueueConfig::try_new(sector.clone()).map_err(|_| JournalError::Geometry)?;
        let gate = Gate::reading(self.flash, sector);
        let mut queue = QueueStorage::new(gate, config, Cache::new_uncached());
        at_once(async {
            let mut records = queue.iter().await?;
            while let Some(record) = records.next(scratch).await? {
                each(&record);
            }
            Ok(())
        })?
    }
}
