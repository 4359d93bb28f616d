//! Plays a trace on a Cortex-M4 under QEMU and on an emulated Cortex-M0+, and says the sum over semihosting.
//!
//! On the M4 it counts instructions too. QEMU runs with `-icount shift=6`: an instruction takes 64 ns of its time. Its
//! `SysTick` counts 40 ns, so it counts 8 for 5 instructions, and a difference of two readings is right to one instruction. A
//! loop of known length is counted first, and the cost of reading the count is taken off. On the M0+ the emulator counts
//! cycles from outside.

#![no_std]
#![no_main]

#[cfg_attr(not(m4), path = "nothing.rs")]
mod count;

use core::panic::PanicInfo;
use core::slice;
use cortex_m_semihosting::{debug, hprintln};
use count::Count;

/// Where the trace lies, and how much room there is.
#[cfg(m4)]
const TRACE: (*const u8, usize) = (0x2100_0000 as *const u8, 16 << 20);
#[cfg(not(m4))]
const TRACE: (*const u8, usize) = (0x1010_0000 as *const u8, 15 << 20);

#[cortex_m_rt::entry]
fn main() -> ! {
    let mut count = Count::start();
    // SAFETY: the whole room is memory of the machine, and nothing writes it.
    let trace = unsafe { slice::from_raw_parts(TRACE.0, TRACE.1) };
    let played = replay::replay(trace, |controller, inputs, outputs| {
        count.over(|| replay::tick_of_core(controller, inputs, outputs));
    });
    match played {
        Ok(report) => {
            hprintln!("{}{}", report, count);
            debug::exit(debug::EXIT_SUCCESS);
        }
        Err(wrong) => {
            hprintln!("wrong={:?}", wrong);
            debug::exit(debug::EXIT_FAILURE);
        }
    }
    loop {}
}

#[panic_handler]
fn panic(info: &PanicInfo<'_>) -> ! {
    hprintln!("{}", info);
    loop {
        debug::exit(debug::EXIT_FAILURE);
    }
}
