//! Firmware image for a board with an RP2040: pins to inputs, outputs to pins, nothing else.
//!
//! ```text
//!  start: outputs low ─► watchdog ─► clocks ─► settings image ─► start line ─► beats (drill.rs)
//! ```
//!
//! `pins.rs` is the list of pins, `board.rs` the numbers that belong to the board. The control law, the watch and the
//! panel are those of `controller`, which the bench proves. Here `unsafe` may stand, and each block
//! says why it holds; the core has none.

#![no_std]
#![no_main]

mod board;
mod capture;
mod drill;
mod flash;
mod image;
mod keep;
#[expect(
    dead_code,
    reason = "the list is for people and tests; the HAL's types name each pin once more"
)]
mod pins;
mod port;
mod receiver;
mod rest;
mod start;
mod store;
mod told;
mod valves;
mod vectors;

#[cfg(feature = "defmt")]
use defmt_rtt as _;

/// The second stage of the boot: sets the flash up to be read in place.
// SAFETY: the section and the name are those that `memory.x` and the boot ROM ask for; nothing else uses them.
#[unsafe(link_section = ".boot2")]
#[unsafe(no_mangle)]
#[used]
pub static BOOT2_FIRMWARE: [u8; 256] = rp2040_boot2::BOOT_LOADER_W25Q080;

#[rp2040_hal::entry]
fn main() -> ! {
    let drill = start::start();
    loop {
        drill.beat();
        cortex_m::asm::wfe();
    }
}
