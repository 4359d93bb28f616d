//! The receiver's bytes: taken by interrupt, in RAM, each with its instant, and parsed between ticks.

#![expect(clippy::inline_always, reason = "what a handler in RAM calls must lie in it")]

use crate::board::NMEA_LATENCY;
use controller::Inputs;
use controller::quantity::Instant;
use controller::sense::SpeedReport;
use controller::sense::nmea::{Receiver, ReceiverConfig, ReceiverState};
use core::sync::atomic::{AtomicU8, AtomicU32, Ordering};
use rp2040_hal::pac;

/// Bytes that wait; at 38 400 baud 66 ms of them, more than an erase of the flash takes typically.
const ROOM: usize = 256;

static BYTES: [AtomicU8; ROOM] = [const { AtomicU8::new(0) }; ROOM];
static INSTANTS: [AtomicU32; ROOM] = [const { AtomicU32::new(0) }; ROOM];
/// Bytes put in; only the interrupt writes it.
static PUT: AtomicU32 = AtomicU32::new(0);
/// Bytes taken out; only [`Nmea::listen`] writes it.
static TAKEN: AtomicU32 = AtomicU32::new(0);

#[inline(always)]
const fn slot(number: u32) -> usize {
    number as usize % ROOM
}

/// The handler of `UART0_IRQ`, in RAM with all that it calls.
#[unsafe(link_section = ".data.bytes")]
pub(crate) extern "C" fn bytes() {
    // SAFETY: the timer's counter is only read.
    let timer = unsafe { &*pac::TIMER::ptr() };
    // SAFETY: after its set-up only this interrupt touches UART0, and it only reads.
    let uart = unsafe { &*pac::UART0::ptr() };
    while uart.uartfr().read().rxfe().bit_is_clear() {
        let word = uart.uartdr().read();
        let put = PUT.load(Ordering::Relaxed);
        // A byte that came broken, or for which there is no room, is left out: the sentence's sum tells.
        let broken = word.fe().bit_is_set() || word.pe().bit_is_set() || word.be().bit_is_set();
        if broken || put.wrapping_sub(TAKEN.load(Ordering::Acquire)) as usize >= ROOM {
            continue;
        }
        BYTES[slot(put)].store(word.data().bits(), Ordering::Relaxed);
        INSTANTS[slot(put)].store(timer.timerawl().read().bits(), Ordering::Relaxed);
        PUT.store(put.wrapping_add(1), Ordering::Release);
    }
}

/// The parser.
#[derive(Debug)]
pub(crate) struct Nmea {
    receiver: Option<Receiver>,
    state: ReceiverState,
}

impl Nmea {
    pub(crate) fn new() -> Self {
        let receiver = Receiver::new(ReceiverConfig { latency: NMEA_LATENCY }).ok();
        Self { receiver, state: ReceiverState::default() }
    }

    /// Parses what came and puts what it says into the inputs of the next tick.
    #[inline(never)]
    pub(crate) fn listen(&mut self, inputs: &mut Inputs) {
        let Some(receiver) = &self.receiver else { return };
        let mut taken = TAKEN.load(Ordering::Relaxed);
        while taken != PUT.load(Ordering::Acquire) {
            let byte = BYTES[slot(taken)].load(Ordering::Relaxed);
            let at = Instant::from_micros(INSTANTS[slot(taken)].load(Ordering::Relaxed));
            taken = taken.wrapping_add(1);
            TAKEN.store(taken, Ordering::Release);
            let Some(fix) = receiver.take(&mut self.state, byte, at) else { continue };
            let speed = fix.speed.map(SpeedReport::Speed);
            inputs.speeds.receiver = speed.or(inputs.speeds.receiver);
            inputs.course = fix.course.or(inputs.course);
            inputs.position = fix.position.or(inputs.position);
        }
    }
}
