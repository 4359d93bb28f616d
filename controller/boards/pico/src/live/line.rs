//! The line to the bench: UART1, bytes in by interrupt, out as the line takes them.

use core::sync::atomic::{AtomicU8, AtomicU32, Ordering};
use cortex_m::peripheral::NVIC;
use rp2040_hal::fugit::{HertzU32, RateExtU32};
use rp2040_hal::gpio::bank0::{Gpio4, Gpio5};
use rp2040_hal::gpio::{FunctionUart, Pin, PullDown, PullUp};
use rp2040_hal::pac::{self, interrupt};
use rp2040_hal::uart::{self, DataBits, StopBits, UartConfig, UartPeripheral};

/// The pins: out, in.
pub(crate) type Pins = (Pin<Gpio4, FunctionUart, PullDown>, Pin<Gpio5, FunctionUart, PullUp>);

/// Bytes that wait: some frames. The bench asks one question at a time.
const ROOM: usize = 1_024;

static BYTES: [AtomicU8; ROOM] = [const { AtomicU8::new(0) }; ROOM];
/// Bytes put in; only the interrupt writes it.
static PUT: AtomicU32 = AtomicU32::new(0);
/// Bytes taken out; only [`take`] writes it.
static TAKEN: AtomicU32 = AtomicU32::new(0);

const fn slot(number: u32) -> usize {
    number as usize % ROOM
}

#[interrupt]
fn UART1_IRQ() {
    // SAFETY: after its set-up the interrupt only reads bytes from UART1, and `Line` only writes them.
    let uart = unsafe { &*pac::UART1::ptr() };
    while uart.uartfr().read().rxfe().bit_is_clear() {
        let word = uart.uartdr().read();
        let put = PUT.load(Ordering::Relaxed);
        // A byte for which there is no room is left out, a broken one is taken as it is: the check sum tells.
        if put.wrapping_sub(TAKEN.load(Ordering::Acquire)) as usize >= ROOM {
            continue;
        }
        BYTES[slot(put)].store(word.data().bits(), Ordering::Relaxed);
        PUT.store(put.wrapping_add(1), Ordering::Release);
    }
}

/// The next byte that came.
pub(crate) fn take() -> Option<u8> {
    let taken = TAKEN.load(Ordering::Relaxed);
    if taken == PUT.load(Ordering::Acquire) {
        return None;
    }
    let byte = BYTES[slot(taken)].load(Ordering::Relaxed);
    TAKEN.store(taken.wrapping_add(1), Ordering::Release);
    Some(byte)
}

/// The line.
pub(crate) struct Line {
    uart: pac::UART1,
}

impl Line {
    /// Sets the line up and hears from now on.
    pub(crate) fn new(
        uart: pac::UART1,
        pins: Pins,
        resets: &mut pac::RESETS,
        clock: HertzU32,
    ) -> Self {
        let config = UartConfig::new(live_link::BAUD.Hz(), DataBits::Eight, None, StopBits::One);
        let pins = uart::Pins::default().tx(pins.0).rx(pins.1);
        let Ok(mut port) = UartPeripheral::new(uart, pins, resets).enable(config, clock) else {
            panic!("the baud rate is a constant that the clock can make")
        };
        port.enable_rx_interrupt();
        // SAFETY: the handler shares nothing with the program but atomics.
        unsafe { NVIC::unmask(pac::Interrupt::UART1_IRQ) };
        Self { uart: port.free().0 }
    }

    /// Sends all of it; waits for the line.
    pub(crate) fn send(&mut self, bytes: &[u8]) {
        for &byte in bytes {
            while self.uart.uartfr().read().txff().bit_is_set() {}
            // SAFETY: any byte may be sent; the other bits of the word have no meaning when it is written.
            self.uart.uartdr().write(|w| unsafe { w.data().bits(byte) });
        }
    }
}
