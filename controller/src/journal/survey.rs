//! Power-up: what a ring holds, whatever the power cut left, and the ring made fit to go on.
//!
//! ```text
//!  every sector: its records ──► newest record ──► none: the ring is new, all is erased
//!                                     │
//!        it announces an erase: that sector is erased again ◄─┤
//!        sector in use: the newest one's, or the next if that is closed
//!        every other sector that is not blank: closed
//! ```
//!
//! Every step may be cut: it only clears bits, or erases what holds nothing, so the next power-up finds the same newest
//! record and does the rest.

use super::JournalError;
use super::record::{Record, Word};
use super::ring::{Region, Ring};
use embedded_storage::nor_flash::NorFlash;

/// The newest record of a ring.
#[derive(Clone, Copy, Debug)]
struct Newest {
    sequence: u32,
    sector: u16,
    /// The sector whose erase it announces.
    erasing: Option<u16>,
}

impl Ring {
    /// Opens a ring; `take` sees the sequence number and the content of every record.
    pub(super) fn open<F: NorFlash>(
        flash: &mut F,
        region: Region,
        scratch: &mut [u8],
        mut take: impl FnMut(u32, &[u8]),
    ) -> Result<Self, JournalError> {
        let mut newest = None;
        for sector in 0..region.sectors {
            if region.sector(flash, sector)?.is_blank(scratch)? {
                continue;
            }
            read(flash, region, sector, scratch, |sequence, record| {
                let newer = newest.is_none_or(|newest: Newest| newest.sequence < sequence);
                if newer {
                    let erasing = match record {
                        Record::Word(Word::Erasing(sector)) => Some(sector),
                        Record::Content(_) | Record::Word(Word::Erased) => None,
                    };
                    newest = Some(Newest { sequence, sector, erasing });
                }
                if let Record::Content(content) = record {
                    take(sequence, content);
                }
            })?;
        }
        match newest {
            Some(newest) => Self::resume(flash, region, scratch, newest),
            None => Self::format(flash, region),
        }
    }

    /// Calls `each` with the content of every record, the oldest first.
    pub(super) fn contents<F: NorFlash>(
        &self,
        flash: &mut F,
        scratch: &mut [u8],
        mut each: impl FnMut(&[u8]),
    ) -> Result<(), JournalError> {
        for further in 1..=self.region.sectors {
            let sector = self.region.after(self.current, further);
            if !self.region.sector(flash, sector)?.is_begun()? {
                continue;
            }
            read(flash, self.region, sector, scratch, |_, record| {
                if let Record::Content(content) = record {
                    each(content);
                }
            })?;
        }
        Ok(())
    }

    fn format<F: NorFlash>(flash: &mut F, region: Region) -> Result<Self, JournalError> {
        for sector in 0..region.sectors {
            region.sector(flash, sector)?.erase()?;
        }
        let ready = region.sectors.saturating_sub(1);
        let mut ring = Self { region, current: 0, ready, sequence: 1 };
        ring.say(flash, Word::Erased)?;
        Ok(ring)
    }

    fn resume<F: NorFlash>(
        flash: &mut F,
        region: Region,
        scratch: &mut [u8],
        newest: Newest,
    ) -> Result<Self, JournalError> {
        let again = newest.erasing.filter(|again| *again < region.sectors);
        if let Some(again) = again.filter(|again| *again != newest.sector) {
            region.sector(flash, again)?.erase()?;
        }
        let current = in_use(flash, region, newest.sector)?;
        for sector in (0..region.sectors).filter(|sector| *sector != current) {
            let mut sector = region.sector(flash, sector)?;
            if !sector.is_blank(scratch)? {
                sector.close()?;
            }
        }
        let mut ready = 0_u16;
        while ready < region.sectors.saturating_sub(1) {
            let next = region.after(current, ready.saturating_add(1));
            if !region.sector(flash, next)?.is_blank(scratch)? {
                break;
            }
            ready = ready.saturating_add(1);
        }
        let sequence = newest.sequence.saturating_add(1);
        let mut ring = Self { region, current, ready, sequence };
        if again.is_some() {
            ring.say(flash, Word::Erased)?;
        }
        Ok(ring)
    }
}

/// Makes the sector of the newest record the one in use; if it is closed, the next.
fn in_use<F: NorFlash>(flash: &mut F, region: Region, newest: u16) -> Result<u16, JournalError> {
    let mut sector = region.sector(flash, newest)?;
    if !sector.is_closed()? {
        sector.begin()?;
        return Ok(newest);
    }
    let next = region.after(newest, 1);
    let mut sector = region.sector(flash, next)?;
    // The store closes a sector only when the next is blank: else a mark is wrong, and what follows is the oldest.
    if sector.is_closed()? {
        sector.erase()?;
    }
    sector.begin()?;
    Ok(next)
}

/// Every record of a sector that can be understood.
fn read<F: NorFlash>(
    flash: &mut F,
    region: Region,
    sector: u16,
    scratch: &mut [u8],
    mut each: impl FnMut(u32, Record<'_>),
) -> Result<(), JournalError> {
    region.sector(flash, sector)?.records(scratch, |bytes| {
        if let Some((sequence, record)) = Record::unpack(bytes) {
            each(sequence, record);
        }
    })
}
