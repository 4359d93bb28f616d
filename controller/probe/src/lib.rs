//! Link check of the controller.
//!
//! Each binary hands the core to the linker through one entry whose arguments come from outside, so that
//! nothing is known to the compiler and nothing is left out:
//!
//! | binary | entry | must not contain |
//! |---|---|---|
//! | `tick` | `Controller::tick` on a controller from outside | panic, float, 64-bit and wider division |
//! | `all` | settings, acts, ticks, accounts, receiver, bus, board adapters, panel | panic, float |
//! | `sizes` | statics as large as the types | |
//!
//! The panic handler calls a function that nobody defines. A core that can panic does not link, and the
//! linker names [`the_core_can_panic`]. The script `check` builds all three for both targets, and then
//! with each positive control, in which it must fire.

#![no_std]

use core::panic::PanicInfo;

unsafe extern "C" {
    /// Defined nowhere.
    pub safe fn the_core_can_panic() -> !;
}

#[panic_handler]
fn panic(_: &PanicInfo<'_>) -> ! {
    the_core_can_panic()
}

/// Nothing, unless a positive control is built in: then what the check must find.
#[inline(always)]
pub fn control(words: [u32; 2]) -> u32 {
    let mut word = words[0];
    if cfg!(feature = "control-panic") {
        word = word.wrapping_add(words[0] / words[1]);
    }
    if cfg!(feature = "control-float") {
        word = word.wrapping_add((f32::from_bits(words[0]) * f32::from_bits(words[1])).to_bits());
    }
    if cfg!(feature = "control-division") {
        let wide = u64::from(words[0]).wrapping_mul(u64::from(words[1]));
        let by = u64::from(words[1]) << 8 | 1;
        word = word.wrapping_add((wide.checked_div(by).unwrap_or(0) >> 3) as u32);
    }
    word
}
