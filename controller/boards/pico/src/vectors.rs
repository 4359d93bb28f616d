//! Vector table in RAM, and which handlers lie there: they serve while the flash is programmed and cannot be read.
//!
//! ```text
//!  edges, receiver's bytes, beat, fault ─► RAM: always served
//!  every other interrupt ───────────────► flash: off while the flash is busy
//! ```

use crate::{capture, receiver, rest};
use core::sync::atomic::{AtomicUsize, Ordering};
use cortex_m::peripheral::SCB;
use rp2040_hal::pac::Interrupt;

/// Vectors: 16 of the processor, 32 of the chip.
const COUNT: usize = 48;
/// Places of the processor's own.
const FAULT: usize = 3;
const BEAT: usize = 15;

/// Interrupts whose handlers lie in RAM, by their numbers. To be kept with what [`to_ram`] sets.
pub(crate) const IN_RAM: u32 =
    1 << Interrupt::IO_IRQ_BANK0 as u16 | 1 << Interrupt::UART0_IRQ as u16;

/// The table: aligned to the next power of two of its size.
#[repr(align(256))]
struct Table([AtomicUsize; COUNT]);

static TABLE: Table = Table([const { AtomicUsize::new(0) }; COUNT]);

/// The beat: it only wakes the processor.
#[unsafe(link_section = ".data.beat")]
extern "C" fn beat() {}

fn set(place: usize, handler: extern "C" fn()) {
    TABLE.0[place].store(handler as usize, Ordering::Relaxed);
}

/// Copies the table and puts the handlers in RAM into it. Before any interrupt is on.
pub(crate) fn to_ram(scb: &SCB) {
    let flash = scb.vtor.read() as *const usize;
    for (place, vector) in TABLE.0.iter().enumerate() {
        // SAFETY: the table in force has as many vectors, and a place in it may be added to its start.
        let from = unsafe { flash.add(place) };
        // SAFETY: as above; words of the flash are only read.
        vector.store(unsafe { from.read() }, Ordering::Relaxed);
    }
    set(FAULT, rest::fault);
    set(BEAT, beat);
    set(16 + Interrupt::IO_IRQ_BANK0 as usize, capture::edges);
    set(16 + Interrupt::UART0_IRQ as usize, receiver::bytes);
    let table = core::ptr::from_ref(&TABLE) as usize;
    #[expect(clippy::cast_possible_truncation, reason = "addresses have 32 bits here")]
    let table = table as u32;
    // SAFETY: the table is whole, is aligned, and stays where it is.
    unsafe { scb.vtor.write(table) };
}
