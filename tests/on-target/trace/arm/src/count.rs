//! Counts instructions on the M4.
//!
//! QEMU runs with `-icount shift=6`: an instruction takes 64 ns of the machine's time, whatever it does. `SysTick` counts
//! every 40 ns, so 8 counts are 5 instructions, and the difference of two readings is right to one instruction. A loop of
//! known length is counted first and shown; what reading the count takes is taken off.

use core::arch::asm;
use core::fmt::{self, Display, Formatter};
use cortex_m::Peripherals;
use cortex_m::peripheral::SYST;
use cortex_m::peripheral::syst::SystClkSource;
use replay::Report;

/// `SysTick` is 24 bits wide and counts down.
const WRAP: u32 = 0x00ff_ffff;
/// Turns of the loop of known length: two instructions each.
const TURNS: u32 = 10_000;

/// Instructions counted so far.
#[derive(Debug)]
pub struct Count {
    /// What reading the count costs, in counts.
    reading: u32,
    known: u32,
    times: u32,
    sum: u64,
    worst: u32,
}

/// What came out, with the count.
#[derive(Debug)]
pub struct Counted {
    /// The sum.
    pub report: Report,
    /// The count.
    pub count: Count,
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
    #[must_use]
    pub fn start() -> Self {
        if let Some(mut peripherals) = Peripherals::take() {
            peripherals.SYST.set_clock_source(SystClkSource::Core);
            peripherals.SYST.set_reload(WRAP);
            peripherals.SYST.clear_current();
            peripherals.SYST.enable_counter();
        }
        let reading = counts(|| {});
        let turn = || {
            // SAFETY: it counts a register down, and says so.
            unsafe {
                asm!("2: subs {turns}, #1", "bne 2b", turns = inout(reg) TURNS => _, options(nomem, nostack));
            }
        };
        let known = counts(turn).saturating_sub(reading);
        Self { reading, known, times: 0, sum: 0, worst: 0 }
    }

    /// Counts what `work` takes.
    pub fn over(&mut self, work: impl FnOnce()) {
        let counts = counts(work).saturating_sub(self.reading);
        self.times += 1;
        self.sum += u64::from(counts);
        self.worst = self.worst.max(counts);
    }
}

impl Display for Counted {
    fn fmt(&self, text: &mut Formatter<'_>) -> fmt::Result {
        let Self { report, count } = self;
        let mean = instructions(count.sum) / u64::from(count.times.max(1));
        let worst = instructions(u64::from(count.worst));
        let known = instructions(u64::from(count.known));
        write!(text, "{report} mean={mean} worst={worst} loop={known} of={}", 2 * TURNS)
    }
}
