//! Edges of encoders and ground pulses: counted by interrupt, each with its instant to 1 µs.
//!
//! ```text
//!  pin ─► rising edge ─► IO_IRQ_BANK0: instant, count ± 1 ─► Pulses, read together in the tick
//! ```
//!
//! Of an encoder with two channels the level of B at the rising edge of A tells the way: low is forward. The
//! instant is that of the interrupt, 16 cycles and more after the edge: 0.2 µs, and 1 µs where two edges meet.

use controller::board::EdgeCapture;
use controller::quantity::Instant;
use controller::sense::Pulses;
use core::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use rp2040_hal::pac::{self, interrupt};

/// A channel.
#[derive(Debug)]
struct Channel {
    count: AtomicU32,
    edge_at: AtomicU32,
    two: AtomicBool,
}

impl Channel {
    const fn new() -> Self {
        Self { count: AtomicU32::new(0), edge_at: AtomicU32::new(0), two: AtomicBool::new(false) }
    }

    /// An edge; only the interrupt calls it.
    fn edge(&self, now: u32, back: bool) {
        let step = if back && self.two.load(Ordering::Relaxed) { u32::MAX } else { 1 };
        self.edge_at.store(now, Ordering::Relaxed);
        // The reader sees the instant of a count that it sees.
        self.count.store(self.count.load(Ordering::Relaxed).wrapping_add(step), Ordering::Release);
    }
}

/// Encoder 1, encoder 2, ground.
static CHANNELS: [Channel; 3] = [const { Channel::new() }; 3];

/// GPIO of channel A and of B where there is one, in the order of [`CHANNELS`].
const GPIOS: [(usize, Option<usize>); 3] = [(2, Some(3)), (6, Some(7)), (8, None)];

/// A capture channel as the core reads it.
#[derive(Debug)]
pub(crate) struct Capture(usize);

impl Capture {
    /// Encoder of a side, 0 or 1.
    pub(crate) fn shaft(side: usize, two_channel: bool) -> Self {
        CHANNELS[side & 1].two.store(two_channel, Ordering::Relaxed);
        Self(side & 1)
    }

    /// Ground pulses.
    pub(crate) const fn ground() -> Self {
        Self(2)
    }
}

impl EdgeCapture for Capture {
    fn read(&mut self) -> Pulses {
        let channel = &CHANNELS[self.0];
        loop {
            let count = channel.count.load(Ordering::Acquire);
            let edge_at = channel.edge_at.load(Ordering::Acquire);
            // An edge between the two readings: both again.
            if channel.count.load(Ordering::Acquire) == count {
                return Pulses { count, edge_at: Instant::from_micros(edge_at) };
            }
        }
    }
}

#[interrupt]
fn IO_IRQ_BANK0() {
    // SAFETY: the timer's counter is only read.
    let timer = unsafe { &*pac::TIMER::ptr() };
    // SAFETY: of this block the interrupt only reads `INTS` and writes ones to `INTR`, which clear no other pin's latch.
    let bank = unsafe { &*pac::IO_BANK0::ptr() };
    // SAFETY: the levels are only read.
    let sio = unsafe { &*pac::SIO::ptr() };
    for (channel, (a, b)) in CHANNELS.iter().zip(GPIOS) {
        // Eight pins a word, four bits a pin, the rising edge the highest of them.
        let mask = 1 << (4 * (a % 8) + 3);
        if bank.proc0_ints(a / 8).read().bits() & mask == 0 {
            continue;
        }
        let now = timer.timerawl().read().bits();
        // SAFETY: a one clears the latch of this edge of this pin, a zero does nothing.
        bank.intr(a / 8).write(|w| unsafe { w.bits(mask) });
        let levels = sio.gpio_in().read().bits();
        channel.edge(now, b.is_some_and(|b| levels >> b & 1 == 1));
    }
}
