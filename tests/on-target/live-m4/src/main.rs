//! The board's side of the live bench on an emulated Cortex-M4 (QEMU, `mps2-an386`).
//!
//! ```text
//!  socket ═ QEMU ═ CMSDK UART0 ─► Station: Controller::tick ─► CMSDK UART0 ═ QEMU ═ socket
//! ```
//!
//! The settings image stands at the end of the program's memory (`memory.x`), where QEMU loads it. There is no pin.
//! Registers of the UART: Arm, Cortex-M System Design Kit, reference manual, APB UART.

#![no_std]
#![no_main]

use controller::Settings;
use controller::settings::image::{self, MAX_IMAGE};
use cortex_m::interrupt::InterruptNumber;
use cortex_m::peripheral::NVIC;
use live_link::{Station, StationConfig};

/// UART0 of the board.
const UART: usize = 0x4000_4000;

/// Its registers.
const DATA: *mut u32 = UART as *mut u32;
const STATE: *const u32 = (UART + 4) as *const u32;
const CONTROL: *mut u32 = (UART + 8) as *mut u32;
const INTERRUPT: *mut u32 = (UART + 12) as *mut u32;
const DIVIDER: *mut u32 = (UART + 16) as *mut u32;

/// State: a byte goes out, a byte has come. The latter is also the bit of its interrupt.
const BUSY: u32 = 1;
const CAME: u32 = 2;

/// Sends and receives, and asks for an interrupt when a byte comes.
const BOTH_WAYS: u32 = 1 | 2 | 8;

/// That interrupt. It is never taken, for interrupts are off: it only ends the wait.
#[derive(Clone, Copy)]
struct Came;

// SAFETY: AN386 has this number for what UART0 receives.
unsafe impl InterruptNumber for Came {
    fn number(self) -> u16 {
        0
    }
}

/// Where the settings image stands.
const SETTINGS: usize = 0x003F_F000;

/// Switches the UART on. QEMU heeds the divider only in that it may not be below 16.
fn start() {
    cortex_m::interrupt::disable();
    // SAFETY: a register of the UART that nothing else touches; 16 is the least that it takes.
    unsafe { DIVIDER.write_volatile(16) };
    // SAFETY: as above.
    unsafe { CONTROL.write_volatile(BOTH_WAYS) };
    // SAFETY: interrupts are off: there is no handler that it could call.
    unsafe { NVIC::unmask(Came) };
}

fn state() -> u32 {
    // SAFETY: a register of the UART that is only read.
    unsafe { STATE.read_volatile() }
}

/// The next byte; waits for it.
fn take() -> u8 {
    while state() & CAME == 0 {
        cortex_m::asm::wfi();
    }
    // SAFETY: a one takes the interrupt back. The next byte can only come when this one was read.
    unsafe { INTERRUPT.write_volatile(CAME) };
    NVIC::unpend(Came);
    // SAFETY: a register of the UART that nothing else touches; a byte is there.
    let word = unsafe { DATA.read_volatile() };
    word.to_le_bytes()[0]
}

fn send(bytes: &[u8]) {
    for &byte in bytes {
        while state() & BUSY != 0 {}
        // SAFETY: a register of the UART that nothing else touches; it has room.
        unsafe { DATA.write_volatile(u32::from(byte)) };
    }
}

/// The settings and the image's fingerprint; none where the image is refused.
fn settings() -> Option<(Settings, u32)> {
    // SAFETY: the place belongs to no other item (`memory.x`), any byte is a `u8`, and nothing writes to it.
    let place: &'static [u8; MAX_IMAGE] = unsafe { &*(SETTINGS as *const [u8; MAX_IMAGE]) };
    let said = usize::from(u16::from_le_bytes([place[6], place[7]]));
    let bytes = &place[..said.clamp(12, MAX_IMAGE)];
    let settings = Settings::new(&image::read(bytes).ok()?).ok()?;
    Some((settings, image::fingerprint(bytes)))
}

#[cortex_m_rt::entry]
fn main() -> ! {
    start();
    send(b"start live\r\n");
    let mut station = Station::new(StationConfig { settings: settings(), build: "m4 0.1.0" });
    loop {
        if let Some(answer) = station.take(take()) {
            send(answer);
        }
    }
}

/// No answer any more: the host tells.
#[panic_handler]
fn panic(_: &core::panic::PanicInfo<'_>) -> ! {
    loop {}
}
