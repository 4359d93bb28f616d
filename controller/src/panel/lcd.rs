//! Character display of the 44780 class on six output pins: four data lines, register select, enable; read/write is tied
//! to ground.
//!
//! ```text
//!  byte ──► high nibble ─► E up, down ──► low nibble ─► E up, down ──► 50 µs   (2 ms after a clear)
//!  rows:  two of 16: 0x00, 0x40     four of 20: 0x00, 0x40, 0x14, 0x54
//! ```
//!
//! Instructions, addresses and times are those of the data sheet of the HD44780U (Hitachi), from memory; times are longer
//! than it asks. A call of [`Lcd::show`] writes one row at most: 21 bytes, about 1.2 ms, so a tick of 10 ms is kept.

use super::screen::{ROWS, SIGNS, Screen, Size};
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::OutputPin;
use heapless::Vec;

/// Four bits, two lines, 5 × 8 dots.
const FUNCTION: u8 = 0x28;
/// Display off.
const OFF: u8 = 0x08;
/// Clear.
const CLEAR: u8 = 0x01;
/// The cursor moves on, the text stands.
const ENTRY: u8 = 0x06;
/// Display on, no cursor.
const ON: u8 = 0x0C;
/// Set address.
const ADDRESS: u8 = 0x80;

/// The display.
#[derive(Debug)]
pub struct Lcd<P, D> {
    select: P,
    enable: P,
    /// D4 to D7.
    data: [P; 4],
    delay: D,
    size: Size,
    /// What it shows, by row.
    shown: [Vec<u8, SIGNS>; ROWS],
}

impl<P: OutputPin, D: DelayNs> Lcd<P, D> {
    /// Wakes a display up: 60 ms, so before the first tick.
    ///
    /// # Errors
    ///
    /// That of a pin.
    pub fn new(
        [select, enable]: [P; 2],
        data: [P; 4],
        delay: D,
        size: Size,
    ) -> Result<Self, P::Error> {
        let shown = [const { Vec::new() }; ROWS];
        let mut lcd = Self { select, enable, data, delay, size, shown };
        lcd.enable.set_low()?;
        lcd.select.set_low()?;
        lcd.delay.delay_ms(50);
        // Three times eight bits, whatever it was in; then four.
        for (nibble, wait_us) in [(0x3, 5_000), (0x3, 200), (0x3, 200), (0x2, 200)] {
            lcd.nibble(nibble)?;
            lcd.delay.delay_us(wait_us);
        }
        for command in [FUNCTION, OFF, CLEAR, ENTRY, ON] {
            lcd.command(command)?;
        }
        Ok(lcd)
    }

    /// Writes the first row that differs from what is shown; whether one did. To be called until none does. A screen of
    /// another size is not shown.
    ///
    /// # Errors
    ///
    /// That of a pin; the row is written again at the next call.
    pub fn show(&mut self, screen: &Screen) -> Result<bool, P::Error> {
        if screen.size() != self.size {
            return Ok(false);
        }
        let starts = [0x00, 0x40, 0x14, 0x54_u8];
        for (row, (text, start)) in (0..ROWS).zip(screen.rows().zip(starts)) {
            if self.shown.get(row).is_some_and(|shown| shown.as_slice() == text.as_bytes()) {
                continue;
            }
            if let Some(shown) = self.shown.get_mut(row) {
                shown.clear();
            }
            self.command(ADDRESS | start)?;
            self.select.set_high()?;
            for sign in text.bytes() {
                self.byte(sign)?;
            }
            if let Some(shown) = self.shown.get_mut(row) {
                for sign in text.bytes() {
                    let _full = shown.push(sign).is_err();
                }
            }
            return Ok(true);
        }
        Ok(false)
    }

    /// Gives pins and delay back.
    pub fn release(self) -> ([P; 2], [P; 4], D) {
        ([self.select, self.enable], self.data, self.delay)
    }

    fn command(&mut self, command: u8) -> Result<(), P::Error> {
        self.select.set_low()?;
        self.byte(command)?;
        if command == CLEAR {
            self.delay.delay_us(2_000);
        }
        Ok(())
    }

    fn byte(&mut self, byte: u8) -> Result<(), P::Error> {
        self.nibble(byte >> 4)?;
        self.nibble(byte & 0xF)?;
        self.delay.delay_us(50);
        Ok(())
    }

    /// Four bits; the display takes them as the enable line falls.
    fn nibble(&mut self, nibble: u8) -> Result<(), P::Error> {
        for (pin, bit) in self.data.iter_mut().zip([1, 2, 4, 8]) {
            pin.set_state((nibble & bit != 0).into())?;
        }
        self.enable.set_high()?;
        self.delay.delay_us(1);
        self.enable.set_low()?;
        self.delay.delay_us(1);
        Ok(())
    }
}
