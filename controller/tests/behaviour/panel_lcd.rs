//! The character display, decoded back from its pins by a display that takes nothing too early.

use controller::panel::{Lcd, LotBook, Panel, Seen, Size};
use controller::quantity::Instant;
use core::convert::Infallible;
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{ErrorType, OutputPin};
use std::cell::RefCell;
use std::rc::Rc;

/// A display of the 44780 class as its data sheet describes it, from memory.
#[derive(Debug, Default)]
struct Glass {
    levels: [bool; 6],
    now_ns: u64,
    ready_ns: u64,
    /// Nibbles by twos.
    four: bool,
    high: Option<u8>,
    address: u8,
    memory: Vec<(u8, u8)>,
    commands: Vec<u8>,
    fell_ns: u64,
}

impl Glass {
    fn falls(&mut self) {
        assert!(self.now_ns >= self.ready_ns, "busy till {} at {}", self.ready_ns, self.now_ns);
        assert!(self.now_ns - self.fell_ns >= 1_000, "two edges of enable within a microsecond");
        self.fell_ns = self.now_ns;
        let bits = self.levels[2..].iter().zip([1, 2, 4, 8]);
        let nibble = bits.map(|(level, bit)| if *level { bit } else { 0 }).sum::<u8>();
        if !self.four {
            self.takes(nibble << 4);
            self.four = nibble == 2;
        } else if let Some(high) = self.high.take() {
            self.takes(high << 4 | nibble);
        } else {
            self.high = Some(nibble);
        }
    }

    fn takes(&mut self, byte: u8) {
        let slow = matches!(byte, 1..=3) && !self.levels[0];
        let first = self.commands.is_empty();
        let wait_us = if first {
            4_100
        } else if slow {
            1_520
        } else {
            37
        };
        self.ready_ns = self.now_ns + wait_us * 1_000;
        if self.levels[0] {
            self.memory.push((self.address, byte));
            // In two lines the one goes on into the other.
            self.address = match self.address {
                0x27 => 0x40,
                0x67 => 0,
                address => address + 1,
            };
            return;
        }
        if byte >= 0x80 {
            self.address = byte & 0x7F;
        }
        self.commands.push(byte);
    }

    fn row(&self, start: u8, width: u8) -> String {
        let sign = |address| {
            let found = self.memory.iter().rfind(|(at, _)| *at == address);
            char::from(found.map_or(b' ', |(_, sign)| *sign))
        };
        (start..start + width).map(sign).collect()
    }
}

#[derive(Clone, Debug)]
struct Pin(Rc<RefCell<Glass>>, usize);

impl ErrorType for Pin {
    type Error = Infallible;
}

impl OutputPin for Pin {
    fn set_low(&mut self) -> Result<(), Infallible> {
        let mut glass = self.0.borrow_mut();
        let fell = self.1 == 1 && glass.levels[1];
        glass.levels[self.1] = false;
        if fell {
            glass.falls();
        }
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.0.borrow_mut().levels[self.1] = true;
        Ok(())
    }
}

#[derive(Debug)]
struct Wait(Rc<RefCell<Glass>>);

impl DelayNs for Wait {
    fn delay_ns(&mut self, ns: u32) {
        self.0.borrow_mut().now_ns += u64::from(ns);
    }
}

/// A display that has been woken up.
fn woken(size: Size) -> (Rc<RefCell<Glass>>, Lcd<Pin, Wait>) {
    // It is deaf for 40 ms after power-up.
    let glass = Rc::new(RefCell::new(Glass { ready_ns: 40_000_000, ..Glass::default() }));
    let pin = |place| Pin(Rc::clone(&glass), place);
    let data = [pin(2), pin(3), pin(4), pin(5)];
    let lcd = Lcd::new([pin(0), pin(1)], data, Wait(Rc::clone(&glass)), size).expect("pins");
    (glass, lcd)
}

fn panel(size: Size) -> Panel {
    let config = crate::panel_rig::panel_config(size);
    Panel::new(config, LotBook::default()).expect("a valid panel")
}

#[test]
fn the_display_is_woken_in_four_bits_and_two_lines() {
    let (glass, _) = woken(Size::Two16);
    let commands = glass.borrow().commands.clone();
    assert_eq!(commands, [0x30, 0x30, 0x30, 0x20, 0x28, 0x08, 0x01, 0x06, 0x0C]);
}

#[test]
fn what_the_panel_shows_stands_on_the_glass_row_by_row() {
    for (size, starts) in [(Size::Two16, &[0, 0x40][..]), (Size::Four20, &[0, 0x40, 0x14, 0x54])] {
        let (glass, mut lcd) = woken(size);
        let mut panel = panel(size);
        let seen = Seen { sides: 2, boxes: 1, ..Seen::default() };
        panel.update(seen, controller::panel::Buttons::default(), Instant::default());
        let screen = panel.screen();
        let mut calls = 0;
        while lcd.show(&screen).expect("pins") {
            calls += 1;
        }
        assert_eq!(calls, size.rows(), "a row a call");
        let width = u8::try_from(size.width()).expect("short");
        let rows: Vec<String> =
            starts.iter().map(|start| glass.borrow().row(*start, width)).collect();
        assert_eq!(rows, screen.rows().collect::<Vec<_>>());
    }
}

#[test]
fn a_row_takes_less_than_two_milliseconds_and_an_unchanged_one_nothing() {
    let (glass, mut lcd) = woken(Size::Four20);
    let screen = panel(Size::Four20).screen();
    let mut last = glass.borrow().now_ns;
    for _ in 0..4 {
        lcd.show(&screen).expect("pins");
        let now = glass.borrow().now_ns;
        assert!((1..2_000_000).contains(&(now - last)), "{} ns", now - last);
        last = now;
    }
    assert_eq!(lcd.show(&screen), Ok(false));
    assert_eq!(glass.borrow().now_ns, last);
    assert_eq!(lcd.show(&panel(Size::Two16).screen()), Ok(false), "another size");
}
