//! Edges of encoders and ground pulses: counted by interrupt, each with its instant to 1 µs.
//!
//! ```text
//!  pin ─► rising edge ─► IO_IRQ_BANK0, in RAM: instant, count ± 1 ─► Pulses, read together in the tick
//!                           └ too many since the last tick: the pin is left alone till then
//!  tick: more edges than the declared rate allows ─► flood: none of them count, the drill rests
//! ```
//!
//! Of an encoder with two channels the level of B at the rising edge of A tells the way: low is forward. The
//! instant is that of the interrupt, 16 cycles and more after the edge: 0.2 µs, and 1 µs where two edges meet.
//!
//! A wire that picks up noise gives edges that no shaft makes. They must neither be taken for a speed nor take the
//! processor's time, so the handler serves [`MOST`] of a channel between two ticks.

#![expect(clippy::inline_always, reason = "what a handler in RAM calls must lie in it")]

use crate::board::CAPTURE_RATE;
use controller::board::EdgeCapture;
use controller::quantity::{Instant, Micros};
use controller::sense::Pulses;
use core::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use rp2040_hal::pac;

/// Edges of a channel that are served between two ticks: 50 ms of the declared rate.
const MOST: u32 = CAPTURE_RATE / 20;

/// A flood is over when so long none was seen.
const OVER: Micros = Micros::from_millis(1_000);

/// Longer than this between two ticks is not looked at.
const LONGEST_US: u32 = 500_000;

/// Added to a register's address: ones set bits, ones clear bits. RP2040 data sheet, atomic register access.
const SET: usize = 0x2000;
const CLEAR: usize = 0x3000;

/// A channel. The order of its fields is known outside: a test reads them.
#[repr(C)]
#[derive(Debug)]
struct Channel {
    count: AtomicU32,
    edge_at: AtomicU32,
    left: AtomicU32,
    two: AtomicBool,
}

impl Channel {
    const fn new() -> Self {
        Self {
            count: AtomicU32::new(0),
            edge_at: AtomicU32::new(0),
            left: AtomicU32::new(MOST),
            two: AtomicBool::new(false),
        }
    }

    /// An edge; only the interrupt calls it. Whether the next is served too.
    #[inline(always)]
    fn edge(&self, now: u32, back: bool) -> bool {
        let step = if back && self.two.load(Ordering::Relaxed) { u32::MAX } else { 1 };
        self.edge_at.store(now, Ordering::Relaxed);
        // The reader sees the instant of a count that it sees.
        self.count.store(self.count.load(Ordering::Relaxed).wrapping_add(step), Ordering::Release);
        let left = self.left.load(Ordering::Relaxed).wrapping_sub(1);
        self.left.store(left, Ordering::Relaxed);
        left != 0
    }

    /// The count and its instant: an edge between the two readings, and both are read again.
    fn pulses(&self) -> (u32, u32) {
        loop {
            let count = self.count.load(Ordering::Acquire);
            let edge_at = self.edge_at.load(Ordering::Acquire);
            if self.count.load(Ordering::Acquire) == count {
                return (count, edge_at);
            }
        }
    }
}

/// Encoder 1, encoder 2, ground.
static CHANNELS: [Channel; 3] = [const { Channel::new() }; 3];

/// GPIO of channel A and of B where there is one, in the order of [`CHANNELS`].
const GPIOS: [(usize, Option<usize>); 3] = [(2, Some(3)), (6, Some(7)), (8, None)];

/// Eight pins a word, four bits a pin, the rising edge the highest of them.
const fn rising(gpio: usize) -> u32 {
    1 << (4 * (gpio % 8) + 3)
}

/// Turns the interrupt of a pin's rising edge on or off, and no other pin's.
#[inline(always)]
fn set_interrupt(gpio: usize, alias: usize) {
    // SAFETY: the block's address is taken; the register's own bits are touched below.
    let bank = unsafe { &*pac::IO_BANK0::ptr() };
    let register = (bank.proc0_inte(gpio / 8).as_ptr() as usize + alias) as *mut u32;
    // SAFETY: through this alias ones set or clear the bit of this pin, zeros do nothing.
    unsafe { register.write_volatile(rising(gpio)) };
}

/// A capture channel as the core reads it.
#[derive(Debug)]
pub(crate) struct Capture {
    index: usize,
    /// What was counted at the last reading, and when that was.
    counted: u32,
    read_at: Instant,
    /// What the core was told last.
    told: Pulses,
    /// The last flood.
    flood: Option<Instant>,
}

impl Capture {
    /// Encoder of a side, 0 or 1.
    pub(crate) fn shaft(side: usize, two_channel: bool) -> Self {
        CHANNELS[side & 1].two.store(two_channel, Ordering::Relaxed);
        Self::of(side & 1)
    }

    /// Ground pulses.
    pub(crate) fn ground() -> Self {
        Self::of(2)
    }

    fn of(index: usize) -> Self {
        let read_at = Instant::from_micros(now());
        Self { index, counted: 0, read_at, told: Pulses::default(), flood: None }
    }

    /// Whether more edges come than the channel takes, or did within the last second.
    pub(crate) const fn is_flooded(&self) -> bool {
        self.flood.is_some()
    }

    /// Whether so many edges since the last reading are more than the declared rate allows: a quarter beside.
    fn is_flood(&self, edges: u32, now: Instant) -> bool {
        let passed = now.since_or_zero(self.read_at).get().min(LONGEST_US);
        edges > passed / 1_000 * (CAPTURE_RATE / 1_000) * 5 / 4 + 10
    }
}

impl EdgeCapture for Capture {
    /// To be called once a tick. In a flood the channel stands still.
    fn read(&mut self) -> Pulses {
        let channel = &CHANNELS[self.index];
        let (count, edge_at) = channel.pulses();
        let now = Instant::from_micros(now());
        let edges = count.wrapping_sub(self.counted);
        let shut = channel.left.load(Ordering::Relaxed) == 0;
        channel.left.store(MOST, Ordering::Relaxed);
        if shut || self.is_flood(edges.cast_signed().unsigned_abs(), now) {
            self.flood = Some(now);
        }
        if shut {
            set_interrupt(GPIOS[self.index].0, SET);
        }
        self.flood = self.flood.filter(|at| now.since_or_zero(*at) < OVER);
        (self.counted, self.read_at) = (count, now);
        if !self.is_flooded() {
            let edge_at = Instant::from_micros(edge_at);
            self.told = Pulses { count: self.told.count.wrapping_add(edges), edge_at };
        }
        self.told
    }
}

/// The timer, µs.
#[inline(always)]
fn now() -> u32 {
    // SAFETY: the timer's counter is only read.
    let timer = unsafe { &*pac::TIMER::ptr() };
    timer.timerawl().read().bits()
}

/// Serves a pin, if an edge of it waits.
#[inline(always)]
fn serve(channel: &Channel, a: usize, b: Option<usize>) {
    // SAFETY: of this block the interrupt only reads `INTS` and writes ones to `INTR`, which clear no other pin's latch.
    let bank = unsafe { &*pac::IO_BANK0::ptr() };
    if bank.proc0_ints(a / 8).read().bits() & rising(a) == 0 {
        return;
    }
    let now = now();
    // SAFETY: a one clears the latch of this edge of this pin, a zero does nothing.
    bank.intr(a / 8).write(|w| unsafe { w.bits(rising(a)) });
    // SAFETY: the levels are only read.
    let sio = unsafe { &*pac::SIO::ptr() };
    let levels = sio.gpio_in().read().bits();
    if !channel.edge(now, b.is_some_and(|b| levels >> b & 1 == 1)) {
        set_interrupt(a, CLEAR);
    }
}

/// The handler of `IO_IRQ_BANK0`, in RAM with all that it calls: numbers of pins are in its instructions, not in a table.
#[unsafe(link_section = ".data.edges")]
pub(crate) extern "C" fn edges() {
    serve(&CHANNELS[0], GPIOS[0].0, GPIOS[0].1);
    serve(&CHANNELS[1], GPIOS[1].0, GPIOS[1].1);
    serve(&CHANNELS[2], GPIOS[2].0, GPIOS[2].1);
}
