//! The pins of the board, in code and on the page.

use super::holds;
use super::pins::{Direction, PINS};
use std::collections::BTreeSet;
use std::fmt::Write as _;

#[test]
fn the_pin_table_is_that_of_the_board() {
    let mut table =
        String::from("| GPIO | signal | direction | at rest | note |\n|---:|---|---|---|---|\n");
    for pin in PINS {
        let slice = format!("PWM slice {} {}; ", pin.slice(), pin.channel());
        let slice = if pin.direction == Direction::Pwm { slice } else { String::new() };
        let (gpio, signal, way) = (pin.gpio, pin.signal, pin.direction.word());
        writeln!(table, "| {gpio} | {signal} | {way} | {} | {slice}{} |", pin.rest, pin.note)
            .expect("a string");
    }
    holds("wiring", "pins", &table);
}

#[test]
fn a_pin_carries_one_signal_that_it_can_carry() {
    let gpios: BTreeSet<u8> = PINS.iter().map(|pin| pin.gpio).collect();
    assert_eq!(gpios.len(), PINS.len(), "a GPIO is used twice");
    let signals: BTreeSet<&str> = PINS.iter().map(|pin| pin.signal).collect();
    assert_eq!(signals.len(), PINS.len(), "a signal has two pins");
    // RP2040 data sheet, table of GPIO functions; 23, 24 and 29 are the common board's own.
    let free = |gpio: u8| gpio <= 28 && ![23, 24].contains(&gpio);
    let uart = |gpio: u8| format!("UART{}", (gpio / 4).div_ceil(2) % 2);
    for pin in PINS {
        let odd = pin.gpio % 2;
        let able = match pin.direction {
            Direction::Send => pin.gpio % 4 == 0 && pin.note.starts_with(&uart(pin.gpio)),
            Direction::Receive => pin.gpio % 4 == 1 && pin.note.starts_with(&uart(pin.gpio - 1)),
            Direction::Bus => {
                let line = ["data", "clock"][usize::from(odd)];
                let bus = format!("I²C{}", pin.gpio / 2 % 2);
                pin.signal.ends_with(line) && pin.note.starts_with(&bus)
            }
            _ => true,
        };
        assert!(free(pin.gpio) && able, "GPIO {} cannot carry {}", pin.gpio, pin.signal);
    }
}

#[test]
fn no_two_valves_share_a_pwm_channel() {
    let valves: Vec<_> = PINS.iter().filter(|pin| pin.direction == Direction::Pwm).collect();
    assert_eq!(valves.len(), 2);
    let channels: BTreeSet<_> = valves.iter().map(|pin| (pin.slice(), pin.channel())).collect();
    assert_eq!(channels.len(), valves.len(), "a PWM channel drives two valves");
}

#[test]
fn what_rests_open_or_unpowered_is_off() {
    for pin in PINS {
        let level = match pin.direction {
            Direction::Output | Direction::Pwm => "low",
            Direction::Capture => "either",
            _ => "high",
        };
        assert!(pin.rest.starts_with(level), "{} rests {}", pin.signal, pin.rest);
    }
}
