//! A flash in memory: what was read out of a board, so that the journal may be opened as the board does.

use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};

/// Flash with sectors of `SECTOR` bytes and words of `WORD` bytes.
#[derive(Clone, Debug)]
pub struct MemoryFlash<const SECTOR: usize, const WORD: usize> {
    bytes: Vec<u8>,
}

impl<const SECTOR: usize, const WORD: usize> MemoryFlash<SECTOR, WORD> {
    /// A flash that holds these bytes.
    pub const fn new(bytes: Vec<u8>) -> Self {
        Self { bytes }
    }

    /// An erased flash of so many sectors.
    pub fn erased(sectors: usize) -> Self {
        Self::new(vec![u8::MAX; sectors * SECTOR])
    }

    /// All bytes.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }
}

impl<const SECTOR: usize, const WORD: usize> ErrorType for MemoryFlash<SECTOR, WORD> {
    type Error = NorFlashErrorKind;
}

impl<const SECTOR: usize, const WORD: usize> ReadNorFlash for MemoryFlash<SECTOR, WORD> {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        let at = offset as usize;
        bytes.copy_from_slice(&self.bytes[at..at + bytes.len()]);
        Ok(())
    }

    fn capacity(&self) -> usize {
        self.bytes.len()
    }
}

impl<const SECTOR: usize, const WORD: usize> NorFlash for MemoryFlash<SECTOR, WORD> {
    const WRITE_SIZE: usize = WORD;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        self.bytes[from as usize..to as usize].fill(u8::MAX);
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        // A program only clears bits.
        let at = offset as usize;
        for (have, want) in self.bytes[at..at + bytes.len()].iter_mut().zip(bytes) {
            *have &= want;
        }
        Ok(())
    }
}
