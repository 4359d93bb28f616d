//! Live image for a board with an RP2040: the controller runs on inputs that the bench sends, and its outputs go back there.
//!
//! ```text
//!  start: every output low, for ever ─► clocks ─► settings image ─► line to the bench ─► questions and answers
//! ```
//!
//! A program of its own: the field image has nothing of this one, and this one has nothing that drives a pin. No PWM is
//! set up, no input is read, and the pins of valves, shut-off, lamps and buzzer are never lent to anything after they went
//! low. No watchdog: nothing turns. What is said on the line is `controller/live-link`, what it proves `docs/live.md`.

#![no_std]
#![no_main]

#[expect(dead_code, reason = "most of these numbers belong to the field image")]
#[path = "../board.rs"]
mod board;
#[path = "../image.rs"]
mod image;
mod line;
#[path = "../rest.rs"]
#[expect(dead_code, reason = "its handler in RAM is the field image's")]
mod rest;

use board::CRYSTAL_HZ;
use controller::settings::image::spell;
use core::fmt::Write as _;
use heapless::String;
use line::Line;
use live_link::{Station, StationConfig};
use rp2040_hal::clocks::{Clock, init_clocks_and_plls};
use rp2040_hal::gpio::{self, Pin, PinId, PullDown, ValidFunction};
use rp2040_hal::gpio::{FunctionNull, FunctionSioOutput, FunctionUart, PinState, PullUp};
use rp2040_hal::{Sio, Watchdog, pac};

/// The second stage of the boot: sets the flash up to be read in place.
// SAFETY: the section and the name are those that `memory.x` and the boot ROM ask for; nothing else uses them.
#[unsafe(link_section = ".boot2")]
#[unsafe(no_mangle)]
#[used]
pub static BOOT2_FIRMWARE: [u8; 256] = rp2040_boot2::BOOT_LOADER_W25Q080;

/// An output that is low, and that nobody can get hold of.
fn low<I: PinId + ValidFunction<FunctionSioOutput>>(pin: Pin<I, FunctionNull, PullDown>) {
    drop(pin.into_push_pull_output_in_state(PinState::Low));
}

/// Sets every output low, the shut-off first, and gives the two pins of the line.
fn outputs_low(pins: gpio::Pins) -> line::Pins {
    low(pins.gpio22);
    low(pins.gpio16);
    low(pins.gpio17);
    low(pins.gpio18);
    low(pins.gpio19);
    low(pins.gpio26);
    low(pins.gpio15);
    low(pins.gpio25);
    (pins.gpio4.into_function::<FunctionUart>(), pins.gpio5.reconfigure::<FunctionUart, PullUp>())
}

/// Brings the board up. Never inlined: what it needs of the stack is given back.
#[inline(never)]
fn start() -> (Station, Line) {
    let Some(mut chip) = pac::Peripherals::take() else { panic!("started twice") };
    // Outputs first: nothing before this can fail.
    let bank = Sio::new(chip.SIO).gpio_bank0;
    let pins = gpio::Pins::new(chip.IO_BANK0, chip.PADS_BANK0, bank, &mut chip.RESETS);
    let pins = outputs_low(pins);
    let mut watchdog = Watchdog::new(chip.WATCHDOG);
    watchdog.disable();
    let (system, usb) = (chip.PLL_SYS, chip.PLL_USB);
    let resets = &mut chip.RESETS;
    let clocks = init_clocks_and_plls(
        CRYSTAL_HZ,
        chip.XOSC,
        chip.CLOCKS,
        system,
        usb,
        resets,
        &mut watchdog,
    );
    let Ok(clocks) = clocks else { panic!("the clocks do not start") };
    let mut line = Line::new(chip.UART1, pins, resets, clocks.peripheral_clock.freq());
    (station(&mut line), line)
}

/// Reads the settings and says on the line what runs: text, which the bench takes for garbage.
#[inline(never)]
fn station(line: &mut Line) -> Station {
    let version = env!("CARGO_PKG_VERSION");
    let mut text: String<192> = String::new();
    let read = image::read()
        .and_then(|(mut config, fingerprint)| Ok((image::checked(&mut config)?, fingerprint)));
    // What does not fit is left out; the longest reason fits.
    let _fits = match &read {
        Ok((_, fingerprint)) => {
            write!(text, "start live fingerprint={} version={version}\r\n", spell(*fingerprint))
        }
        Err(why) => write!(text, "start live fingerprint=- version={version} refused={why}\r\n"),
    };
    line.send(text.as_bytes());
    let build = concat!("pico ", env!("CARGO_PKG_VERSION"));
    Station::new(StationConfig { settings: read.ok(), build })
}

#[rp2040_hal::entry]
fn main() -> ! {
    let (mut station, mut line) = start();
    loop {
        while let Some(byte) = line::take() {
            if let Some(answer) = station.take(byte) {
                line.send(answer);
            }
        }
        cortex_m::asm::wfe();
    }
}
