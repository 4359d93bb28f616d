//! Pins of an RP2040 board for a drill of two sides: the one list that firmware, `docs/wiring.md` and its test share.
//!
//! ```text
//!  PWM: slice = (gpio / 2) mod 8, channel A where gpio is even, B where it is odd
//!  UART0 on 0/1, 12/13, 16/17, 28/29, UART1 on 4/5, 8/9, 20/21, 24/25: even sends, odd receives
//!  I²C0 on 0/1, 4/5, 8/9 …, I²C1 on 2/3, 6/7, 10/11 …: even is data, odd is clock
//! ```
//!
//! GPIO 23, 24 and 29 belong to the supply of the common board layout; 25 is its lamp. All inputs and outputs are at
//! 3.3 V: what comes from the machine goes through the conditioning of `docs/wiring.md` first.

use Direction::{Bus, Capture, Input, Output, Pwm, Receive, Send};

/// Which way a pin goes, and which part of the chip drives it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// A level that is read.
    Input,
    /// Edges that are counted, with the instant of the last one.
    Capture,
    /// A level that is set.
    Output,
    /// A duty that is set.
    Pwm,
    /// Serial bytes in.
    Receive,
    /// Serial bytes out.
    Send,
    /// A line of the I²C bus, pulled up; both ends may pull it down.
    Bus,
}

impl Direction {
    /// The word in the table.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Input => "input",
            Self::Capture => "edges in",
            Self::Output => "output",
            Self::Pwm => "PWM out",
            Self::Receive => "serial in",
            Self::Send => "serial out",
            Self::Bus => "I²C",
        }
    }
}

/// A pin.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pin {
    /// Number of the chip's GPIO, not of the board's pad.
    pub gpio: u8,
    /// What it carries.
    pub signal: &'static str,
    /// Which way.
    pub direction: Direction,
    /// What an open wire (of an input) or a board without power (of an output) means, and what holds the level.
    pub rest: &'static str,
    /// What else to know.
    pub note: &'static str,
}

impl Pin {
    /// PWM slice of this pin.
    pub const fn slice(&self) -> u8 {
        (self.gpio / 2) % 8
    }

    /// PWM channel of this pin in its slice.
    pub const fn channel(&self) -> char {
        if self.gpio.is_multiple_of(2) { 'A' } else { 'B' }
    }
}

const fn pin(
    gpio: u8,
    signal: &'static str,
    direction: Direction,
    rest: &'static str,
    note: &'static str,
) -> Pin {
    Pin { gpio, signal, direction, rest, note }
}

const UP: &str = "high, pulled up: off";
const DRIVEN: &str = "either, driven: standing";
const DOWN: &str = "low, pulled down: off";
const LINE: &str = "high, pulled up";

/// Every pin, by its number.
pub const PINS: &[Pin] = &[
    pin(0, "box level", Input, "high, pulled up: empty", "low while there is seed"),
    pin(1, "NMEA from the receiver", Receive, "high, pulled up: silent", "UART0"),
    pin(2, "encoder 1, channel A", Capture, DRIVEN, "a plain encoder has only this one"),
    pin(3, "encoder 1, channel B", Capture, DRIVEN, "next to A"),
    pin(4, "status line", Send, LINE, "UART1; log and live bench as well"),
    pin(5, "live bench", Receive, "high, pulled up: silent", "UART1; left open in the cab"),
    pin(6, "encoder 2, channel A", Capture, DRIVEN, "as encoder 1"),
    pin(7, "encoder 2, channel B", Capture, DRIVEN, "next to A"),
    pin(8, "ground pulses", Capture, DRIVEN, ""),
    pin(9, "lift switch", Input, "high, pulled up: lifted", "low in work; `lowered_level` 1"),
    pin(10, "master switch", Input, UP, "low is on"),
    pin(11, "side switch 1", Input, UP, "low is on"),
    pin(12, "side switch 2", Input, UP, "low is on"),
    pin(13, "hold button", Input, UP, "low is pressed; springs back"),
    pin(14, "stop, as read", Input, "high, pulled up: pressed", "low while it is not pressed"),
    pin(15, "buzzer", Output, DOWN, "one that beeps by itself"),
    pin(16, "valve 1, or motorised valve 1 opens", Pwm, DOWN, "plain output where motorised"),
    pin(17, "motorised valve 1 closes", Output, DOWN, "unused where proportional"),
    pin(18, "valve 2, or motorised valve 2 opens", Pwm, DOWN, "plain output where motorised"),
    pin(19, "motorised valve 2 closes", Output, DOWN, "unused where proportional"),
    pin(20, "display and buttons, data", Bus, LINE, "I²C0, to a port expander"),
    pin(21, "display and buttons, clock", Bus, LINE, "I²C0, to a port expander"),
    pin(22, "supply shut-off", Output, "low, pulled down: closed", "high opens"),
    pin(25, "state lamp", Output, "low: dark", "the board's own lamp"),
    pin(26, "alarm lamp", Output, DOWN, ""),
    pin(27, "tube sensor 1", Input, "high, pulled up: no seed", "low while seed passes"),
    pin(28, "tube sensor 2", Input, "high, pulled up: no seed", "low while seed passes"),
];
