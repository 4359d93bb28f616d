//! The status port: lines wait in a queue and go out as the serial line takes them. Nothing waits for it.

use heapless::Deque;
use rp2040_hal::pac::UART1;

/// Bytes that wait.
const ROOM: usize = 2_048;

/// The port.
pub(crate) struct Port {
    uart: UART1,
    queue: Deque<u8, ROOM>,
}

impl Port {
    /// A port on a UART that was set up.
    pub(crate) const fn new(uart: UART1) -> Self {
        Self { uart, queue: Deque::new() }
    }

    /// Queues a line; one without room is left out whole, and its number is missing if it was an event.
    pub(crate) fn line(&mut self, line: &str) {
        if line.len() + 2 > ROOM - self.queue.len() {
            return;
        }
        for byte in line.bytes().chain(*b"\r\n") {
            let _room = self.queue.push_back(byte);
        }
    }

    /// Gives the serial line what it has room for.
    pub(crate) fn send(&mut self) {
        for _ in 0..32 {
            if self.uart.uartfr().read().txff().bit_is_set() {
                return;
            }
            let Some(byte) = self.queue.pop_front() else { return };
            // SAFETY: any byte may be sent; the other bits of the word have no meaning when it is written.
            self.uart.uartdr().write(|w| unsafe { w.data().bits(byte) });
        }
    }
}
