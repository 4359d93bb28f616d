//! Counts instructions by `SysTick`: see the crate's text.

use core::arch::asm;
use core::fmt::{self, Display, Formatter};
use cortex_m::Peripherals;
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;

/// `SysTick` is 24 bits wide and counts down.
const WRAP: u32 = 0x00ff_ffff;
/// Turns of the loop of known length: two instructions each.
const TURNS: u32 = 10_000;

/// Instructions counted so far.
pub(crate) struct Count {
    /// What reading the count costs, in counts.
    reading: u32,
    known: u32,
    times: u32,
    sum: u64,
    worst: u32,
}

/// Counts to instructions, to the nearest.
const fn instructions(counts: u64) -> u64 {
    (counts * 5 + 4) / 8
}

fn counts(work: impl FnOnce()) -> u32 {
    let before = SYST::get_current();
    work();
    before.wrapping_sub(SYST::get_current()) & WRAP
}

impl Count {
    /// Starts the timer and counts the loop of known length.
    pub(crate) fn start() -> Self {
        if let Some(mut peripherals) = Peripherals::take() {
            peripherals.SYST.set_clock_source(SystClkSource::Core);
            peripherals.SYST.set_reload(WRAP);
            peripherals.SYST.clear_current();
            peripherals.SYST.enable_counter();
        }
        let reading = counts(|| {});
        // SAFETY: it counts a register down, and says so.
        let turn = || unsafe {
            asm!("2: subs {turns}, #1", "bne 2b", turns = inout(reg) TURNS => _, options(nomem, nostack));
        };
        let known = counts(turn).saturating_sub(reading);
        Self { reading, known, times: 0, sum: 0, worst: 0 }
    }

    /// Counts what `work` takes.
    pub(crate) fn over(&mut self, work: impl FnOnce()) {
        let counts = counts(work).saturating_sub(self.reading);
        self.times += 1;
        self.sum += u64::from(counts);
        self.worst = self.worst.max(counts);
    }
}

impl Display for Count {
    fn fmt(&self, text: &mut Formatter<'_>) -> fmt::Result {
        let mean = instructions(self.sum) / u64::from(self.times.max(1));
        let worst = instructions(u64::from(self.worst));
        let known = instructions(u64::from(self.known));
        write!(text, " mean={mean} worst={worst} loop={known} of={}", 2 * TURNS)
    }
}
