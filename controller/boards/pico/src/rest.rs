//! Every output off, from anywhere: after a panic or a fault of the processor.

#![expect(clippy::inline_always, reason = "what a handler in RAM calls must lie in it")]

use rp2040_hal::pac;

/// The outputs of `pins.rs`: buzzer, valves, shut-off, lamps.
const OUTPUTS: u32 = 1 << 15 | 0b1111 << 16 | 1 << 22 | 1 << 25 | 1 << 26;

/// Function of a pin that is set by the processor.
const SIO: u8 = 5;

/// Takes the valves' pins from the PWM and sets every output low.
#[inline(always)]
fn outputs_off() {
    // SAFETY: nothing runs beside or after this; every value written is one that the chip's data sheet allows.
    let sio = unsafe { &*pac::SIO::ptr() };
    // SAFETY: ones clear the level of outputs, zeros do nothing.
    sio.gpio_out_clr().write(|w| unsafe { w.bits(OUTPUTS) });
    // SAFETY: as above; only the functions of the valves' pins are set.
    let bank = unsafe { &*pac::IO_BANK0::ptr() };
    for gpio in 16..=19 {
        // SAFETY: 5 is the processor's own function.
        bank.gpio(gpio).gpio_ctrl().write(|w| unsafe { w.funcsel().bits(SIO) });
    }
}

/// Every output off, and no tick any more: the watchdog resets the chip where it runs already.
#[panic_handler]
#[inline(never)]
fn panic(_info: &core::panic::PanicInfo<'_>) -> ! {
    outputs_off();
    loop {
        cortex_m::asm::nop();
    }
}

/// A fault of the processor once the table of vectors lies in RAM: the flash may be busy.
#[unsafe(link_section = ".data.fault")]
pub(crate) extern "C" fn fault() {
    outputs_off();
    loop {
        cortex_m::asm::nop();
    }
}

/// A fault of the processor before that.
///
/// # Safety
///
/// Called by the processor alone.
#[cortex_m_rt::exception]
unsafe fn HardFault(_frame: &cortex_m_rt::ExceptionFrame) -> ! {
    outputs_off();
    loop {
        cortex_m::asm::nop();
    }
}
