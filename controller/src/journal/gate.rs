//! Gate between the store and the flash: asynchronous on the one side and blocking on the other, shut for erases, and
//! reading back what was programmed.
//!
//! To read one sector by itself the store must take it for the one in use, whatever its marks are: the gate then shows it
//! the marks of such a sector.

use core::ops::Range;
use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashError, NorFlashErrorKind, ReadNorFlash,
};
use embedded_storage_async::nor_flash as asynchronous;

/// The largest word of a flash, and so much is read back at a time.
pub(super) const LARGEST_WORD: usize = 32;

/// A flash for one operation of the store.
#[derive(Debug)]
pub(super) struct Gate<'f, F> {
    flash: &'f mut F,
    /// The sector that is read by itself.
    alone: Option<Range<u32>>,
}

/// What goes wrong at the gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum GateError {
    /// The store wanted to erase. It never may: the rings erase, at rest.
    Shut,
    /// The flash's own.
    Flash(NorFlashErrorKind),
    /// What was programmed does not read back.
    ReadBack,
}

impl NorFlashError for GateError {
    fn kind(&self) -> NorFlashErrorKind {
        match *self {
            Self::Flash(kind) => kind,
            Self::Shut | Self::ReadBack => NorFlashErrorKind::Other,
        }
    }
}

impl<F> ErrorType for Gate<'_, F> {
    type Error = GateError;
}

impl<'f, F: NorFlash> Gate<'f, F> {
    /// A gate to all of the flash.
    pub(super) const fn new(flash: &'f mut F) -> Self {
        Self { flash, alone: None }
    }

    /// A gate to one sector, for reading.
    pub(super) const fn reading(flash: &'f mut F, sector: Range<u32>) -> Self {
        Self { flash, alone: Some(sector) }
    }

    /// Shows the marks of a sector in use.
    fn show(&self, offset: u32, bytes: &mut [u8]) {
        let Some(Range { start, end }) = self.alone else { return };
        let word = u32::try_from(F::READ_SIZE.max(F::WRITE_SIZE)).unwrap_or(u32::MAX);
        for (at, byte) in (offset..).zip(bytes) {
            if at < start.saturating_add(word) {
                *byte = 0;
            } else if at >= end.saturating_sub(word) {
                *byte = u8::MAX;
            }
        }
    }

    /// Programs and reads back: a sector that is not as blank as it looks is found at once.
    pub(super) fn program(&mut self, offset: u32, bytes: &[u8]) -> Result<(), GateError> {
        self.flash.write(offset, bytes).map_err(|error| GateError::Flash(error.kind()))?;
        let mut at = offset;
        for wrote in bytes.chunks(LARGEST_WORD) {
            let mut back = [0; LARGEST_WORD];
            let read = back.get_mut(..wrote.len()).ok_or(GateError::ReadBack)?;
            self.flash.read(at, read).map_err(|error| GateError::Flash(error.kind()))?;
            if *read != *wrote {
                return Err(GateError::ReadBack);
            }
            at = at.saturating_add(u32::try_from(wrote.len()).unwrap_or(u32::MAX));
        }
        Ok(())
    }
}

impl<F: NorFlash> asynchronous::ReadNorFlash for Gate<'_, F> {
    const READ_SIZE: usize = F::READ_SIZE;

    async fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), GateError> {
        self.flash.read(offset, bytes).map_err(|error| GateError::Flash(error.kind()))?;
        self.show(offset, bytes);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.flash.capacity()
    }
}

impl<F: NorFlash> asynchronous::NorFlash for Gate<'_, F> {
    const WRITE_SIZE: usize = F::WRITE_SIZE;
    const ERASE_SIZE: usize = F::ERASE_SIZE;

    async fn erase(&mut self, _: u32, _: u32) -> Result<(), GateError> {
        Err(GateError::Shut)
    }

    async fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), GateError> {
        if self.alone.is_some() {
            return Err(GateError::Shut);
        }
        self.program(offset, bytes)
    }
}
