//! The journal's sectors as a flash: read in place, programmed and erased by the boot ROM.
//!
//! ```text
//!  write ─► page, ones beside the bytes ─► RAM: ROM leaves reading in place ─► program ─► second stage sets it up anew
//! ```
//!
//! Meanwhile nothing may be read from the flash, no instruction either. What runs then lies in RAM: [`act`], a copy of the
//! second stage, and the handlers that stay on ([`vectors`](crate::vectors)). Common serial NOR flash programs a page in
//! 0.7 ms, at worst 3 ms, and erases a sector in 45 ms, at worst 400 ms *(common practice)*.

use crate::vectors::IN_RAM;
use core::sync::atomic::{AtomicU32, Ordering};
use cortex_m::peripheral::NVIC;
use embedded_storage::nor_flash::{
    ErrorType, NorFlash, NorFlashErrorKind, ReadNorFlash, check_erase, check_read, check_write,
};
use rp2040_hal::rom_data;

/// The journal's first byte, from the start of the flash; `memory.x` keeps the program out.
const START: u32 = 0x1D_F000;
/// Its bytes: 32 sectors.
const BYTES: usize = 32 * SECTOR;
/// The smallest that can be erased.
const SECTOR: usize = 4096;
/// What is programmed at once.
const PAGE: usize = 256;
/// Where the flash is read in place.
const IN_PLACE: usize = 0x1000_0000;
/// A larger block's size and command, for the ROM's erase: never taken, a sector is smaller.
const BLOCK: (u32, u8) = (1 << 16, 0xD8);

/// The second stage of the boot, copied: it cannot run where it lies while reading in place is off.
static SECOND_STAGE: [AtomicU32; 64] = [const { AtomicU32::new(0) }; 64];

type Plain = unsafe extern "C" fn();

/// The ROM's entry points, looked up beforehand.
struct Rom {
    connect: Plain,
    leave: Plain,
    program: unsafe extern "C" fn(u32, *const u8, usize),
    erase: unsafe extern "C" fn(u32, usize, u32, u8),
    flush: Plain,
    second_stage: Plain,
}

impl Rom {
    fn new() -> Self {
        let copy = SECOND_STAGE.as_ptr() as usize | 1;
        Self {
            connect: rom_data::connect_internal_flash::ptr(),
            leave: rom_data::flash_exit_xip::ptr(),
            program: rom_data::flash_range_program::ptr(),
            erase: rom_data::flash_range_erase::ptr(),
            flush: rom_data::flash_flush_cache::ptr(),
            // SAFETY: the copy is position-independent Thumb code that keeps to the calling convention and comes back to
            // its caller; its lowest bit says Thumb. `Flash::new` made it before.
            second_stage: unsafe { core::mem::transmute::<usize, Plain>(copy) },
        }
    }
}

/// Programs a page, or erases a sector where there is none.
///
/// # Safety
///
/// `offset` is the start of a page or sector of the journal. Interrupts whose handlers lie in flash are off.
#[unsafe(link_section = ".data.act")]
#[inline(never)]
unsafe extern "C" fn act(rom: &Rom, offset: u32, page: *const u8) {
    // SAFETY: from here on nothing is read from the flash until the second stage has run: this function lies in RAM, and
    // the page and the entry points too.
    unsafe { (rom.connect)() };
    // SAFETY: as above.
    unsafe { (rom.leave)() };
    if page.is_null() {
        // SAFETY: the caller's offset.
        unsafe { (rom.erase)(offset, SECTOR, BLOCK.0, BLOCK.1) };
    } else {
        // SAFETY: the caller's offset, and a page of its own.
        unsafe { (rom.program)(offset, page, PAGE) };
    }
    // SAFETY: what was read before is forgotten.
    unsafe { (rom.flush)() };
    // SAFETY: interrupts are only off for the second stage, some µs: it gives the flash a command in two words, and an
    // interrupt between them could let the flash's controller begin with half of it. The ROM's own routines allow them.
    unsafe { core::arch::asm!("cpsid i", options(nostack, preserves_flags)) };
    // SAFETY: it is the copy in RAM.
    unsafe { (rom.second_stage)() };
    // SAFETY: they were on: nothing here is called in a critical section.
    unsafe { core::arch::asm!("cpsie i", options(nostack, preserves_flags)) };
}

/// The journal's sectors. There is one such value: who has it alone programs the flash.
pub(crate) struct Flash {
    rom: Rom,
    page: [u8; PAGE],
    erased: bool,
}

impl Flash {
    /// Copies the second stage. To be made once, at start.
    pub(crate) fn new() -> Self {
        let (words, _) = crate::BOOT2_FIRMWARE.as_chunks::<4>();
        for (copy, word) in SECOND_STAGE.iter().zip(words) {
            copy.store(u32::from_le_bytes(*word), Ordering::Relaxed);
        }
        Self { rom: Rom::new(), page: [u8::MAX; PAGE], erased: false }
    }

    /// Whether something was erased since this was asked last: the processor's program stood meanwhile.
    pub(crate) fn erased(&mut self) -> bool {
        core::mem::take(&mut self.erased)
    }

    /// Interrupts whose handlers lie in flash are off meanwhile; the others are served.
    fn act(&mut self, offset: u32, program: bool) {
        // SAFETY: only these registers are touched: one is read, and both are left as they were.
        let nvic = unsafe { &*NVIC::PTR };
        let on = nvic.iser[0].read();
        // SAFETY: ones turn interrupts off, which is always allowed.
        unsafe { nvic.icer[0].write(on & !IN_RAM) };
        let page = if program { self.page.as_ptr() } else { core::ptr::null() };
        // SAFETY: the callers keep `offset` within the journal's sectors, and aligned.
        unsafe { act(&self.rom, START + offset, page) };
        // SAFETY: those that were on before.
        unsafe { nvic.iser[0].write(on) };
    }
}

impl ErrorType for Flash {
    type Error = NorFlashErrorKind;
}

impl ReadNorFlash for Flash {
    const READ_SIZE: usize = 1;

    fn read(&mut self, offset: u32, bytes: &mut [u8]) -> Result<(), NorFlashErrorKind> {
        check_read(self, offset, bytes.len())?;
        let from = (IN_PLACE + (START + offset) as usize) as *const u8;
        // SAFETY: the sectors are mapped, any byte is a `u8`, and only this value writes to them.
        unsafe { core::ptr::copy_nonoverlapping(from, bytes.as_mut_ptr(), bytes.len()) };
        Ok(())
    }

    fn capacity(&self) -> usize {
        BYTES
    }
}

impl NorFlash for Flash {
    /// A byte: ones leave what is there.
    const WRITE_SIZE: usize = 1;
    const ERASE_SIZE: usize = SECTOR;

    fn erase(&mut self, from: u32, to: u32) -> Result<(), NorFlashErrorKind> {
        check_erase(self, from, to)?;
        for sector in (from..to).step_by(SECTOR) {
            self.act(sector, false);
            self.erased = true;
        }
        Ok(())
    }

    fn write(&mut self, offset: u32, bytes: &[u8]) -> Result<(), NorFlashErrorKind> {
        check_write(self, offset, bytes.len())?;
        let (mut at, mut left) = (offset as usize, bytes);
        while !left.is_empty() {
            let within = at % PAGE;
            let (now, later) = left.split_at(left.len().min(PAGE - within));
            self.page.fill(u8::MAX);
            self.page[within..within + now.len()].copy_from_slice(now);
            #[expect(clippy::cast_possible_truncation, reason = "checked: within the journal")]
            self.act((at - within) as u32, true);
            (at, left) = (at + now.len(), later);
        }
        Ok(())
    }
}
