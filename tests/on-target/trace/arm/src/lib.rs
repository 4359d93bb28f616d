//! What both programs share: where the trace lies, how they end.

#![no_std]

#[cfg_attr(not(m4), path = "nothing.rs")]
pub mod count;

use core::fmt::Display;
use core::panic::PanicInfo;
use core::slice;
use cortex_m_semihosting::{debug, hprintln};

/// Where the trace lies, and how much room there is.
#[cfg(m4)]
const TRACE: (*const u8, usize) = (0x2100_0000 as *const u8, 16 << 20);
#[cfg(not(m4))]
const TRACE: (*const u8, usize) = (0x1010_0000 as *const u8, 15 << 20);

/// The trace, and what lies behind it.
#[must_use]
pub fn trace() -> &'static [u8] {
    // SAFETY: the whole room is memory of the machine, and nothing writes it.
    unsafe { slice::from_raw_parts(TRACE.0, TRACE.1) }
}

/// Says what came out, and ends the machine.
pub fn end<T: Display>(played: Result<T, replay::Wrong>) -> ! {
    let status = match played {
        Ok(said) => {
            hprintln!("{}", said);
            debug::EXIT_SUCCESS
        }
        Err(wrong) => {
            hprintln!("wrong={:?}", wrong);
            debug::EXIT_FAILURE
        }
    };
    loop {
        debug::exit(status);
    }
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    hprintln!("{}", info);
    loop {
        debug::exit(debug::EXIT_FAILURE);
    }
}
