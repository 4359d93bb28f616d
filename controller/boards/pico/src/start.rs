//! Start: every output low first, then the rest, then one line that says what runs.
//!
//! A panic on the way leaves every output off (`rest.rs`); once the watchdog runs it also starts the chip anew. It runs
//! from when the journal is open: a flash that holds none is erased first, which takes longer than the watchdog waits.
//!
//! Controller, panel and journal are large: each is made by a function that is not inlined and lies in a static, so that
//! the stack never holds two of them.

use crate::board::{BEAT_US, CRYSTAL_HZ, NMEA_BAUD, STATUS_BAUD, SYSTEM_HZ, WATCHDOG_US};
use crate::capture::Capture;
use crate::drill::{Beside, Drill, DrillPins, Input, Optional, When};
use crate::keep::Keep;
use crate::port::Port;
use crate::receiver::Nmea;
use crate::told::{Told, panel, stays, told};
use crate::valves::{Output, ValvePins, valves};
use crate::vectors;
use controller::board::{Relay, SidePins, Switch, Valve};
use controller::quantity::Instant;
use controller::{Inputs, Outputs};
use cortex_m::peripheral::syst::SystClkSource;
use cortex_m::peripheral::{NVIC, SYST};
use rp2040_hal::clocks::{Clock, ClocksManager, init_clocks_and_plls};
use rp2040_hal::fugit::{MicrosDurationU32, RateExtU32};
use rp2040_hal::gpio::{FunctionNull, FunctionSioInput, FunctionSioOutput, FunctionUart};
use rp2040_hal::gpio::{Interrupt, Pin, PinId, PinState, PullDown, PullUp, ValidFunction};
use rp2040_hal::uart::{self, DataBits, StopBits, UartConfig, UartPeripheral};
use rp2040_hal::{Sio, Timer, Watchdog, gpio, pac, pwm};

type Fresh<I> = Pin<I, FunctionNull, PullDown>;

fn low<I: PinId + ValidFunction<FunctionSioOutput>>(
    pin: Fresh<I>,
) -> Pin<I, FunctionSioOutput, PullDown> {
    pin.into_push_pull_output_in_state(PinState::Low)
}

fn input<I: PinId + ValidFunction<FunctionSioInput>>(pin: Fresh<I>) -> Input {
    pin.into_pull_up_input().into_dyn_pin()
}

fn relay(pin: Output) -> Relay<Output> {
    match Relay::new(pin) {
        Ok(relay) => relay,
        Err(never) => match never {},
    }
}

fn edges<I: PinId + ValidFunction<FunctionSioInput>>(pin: Fresh<I>, interrupts: bool) {
    let pin = pin.into_pull_up_input();
    pin.set_interrupt_enabled(Interrupt::EdgeHigh, interrupts);
}

/// The outputs, by what they carry.
struct Outs {
    supply: Output,
    valves: ValvePins,
    alarm: Output,
    buzzer: Output,
    state: Output,
}

/// The inputs, by what they carry.
struct Ins {
    nmea: Pin<gpio::bank0::Gpio1, FunctionUart, PullUp>,
    status: Pin<gpio::bank0::Gpio4, FunctionUart, PullDown>,
    switches: Switches,
    tubes: [Optional; 2],
    level: Optional,
}

/// The switches that the core's board layer reads.
struct Switches {
    lift: Input,
    master: Input,
    sides: [Input; 2],
    hold: Input,
    stop: Input,
}

/// Gives every pin its part: the outputs first, low, and of them the shut-off first.
fn part(pins: gpio::Pins) -> (Outs, Ins) {
    let outs = Outs {
        supply: low(pins.gpio22).into_dyn_pin(),
        valves: ValvePins {
            first: (low(pins.gpio16), low(pins.gpio17)),
            second: (low(pins.gpio18), low(pins.gpio19)),
        },
        alarm: low(pins.gpio26).into_dyn_pin(),
        buzzer: low(pins.gpio15).into_dyn_pin(),
        state: low(pins.gpio25).into_dyn_pin(),
    };
    edges(pins.gpio2, true);
    edges(pins.gpio3, false);
    edges(pins.gpio6, true);
    edges(pins.gpio7, false);
    edges(pins.gpio8, true);
    let ins = Ins {
        nmea: pins.gpio1.reconfigure(),
        status: pins.gpio4.into_function(),
        switches: Switches {
            lift: input(pins.gpio9),
            master: input(pins.gpio10),
            sides: [input(pins.gpio11), input(pins.gpio12)],
            hold: input(pins.gpio13),
            stop: input(pins.gpio14),
        },
        tubes: [Optional::new(input(pins.gpio27)), Optional::new(input(pins.gpio28))],
        level: Optional::new(input(pins.gpio0)),
    };
    (outs, ins)
}

/// The receiver's line: no FIFO, so that each byte has its own instant.
fn receiver(
    uart: pac::UART0,
    pin: Pin<gpio::bank0::Gpio1, FunctionUart, PullUp>,
    resets: &mut pac::RESETS,
    clock: rp2040_hal::fugit::HertzU32,
) {
    let config = UartConfig::new(NMEA_BAUD.Hz(), DataBits::Eight, None, StopBits::One);
    let uart = UartPeripheral::new(uart, uart::Pins::default().rx(pin), resets);
    if let Ok(mut uart) = uart.enable(config, clock) {
        uart.set_fifos(false);
        uart.enable_rx_interrupt();
    }
}

/// The status port.
fn status(
    uart: pac::UART1,
    pin: Pin<gpio::bank0::Gpio4, FunctionUart, PullDown>,
    resets: &mut pac::RESETS,
    clock: rp2040_hal::fugit::HertzU32,
) -> Port {
    let config = UartConfig::new(STATUS_BAUD.Hz(), DataBits::Eight, None, StopBits::One);
    let uart = UartPeripheral::new(uart, uart::Pins::default().tx(pin), resets);
    let Ok(uart) = uart.enable(config, clock) else {
        panic!("the baud rate is a constant that the clock can make")
    };
    Port::new(uart.free().0)
}

fn drill_pins(
    switches: Switches,
    valves: [crate::valves::Coil; 2],
    two: [bool; 2],
    out: [Output; 2],
) -> DrillPins {
    let [first, second] = valves;
    let [left, right] = switches.sides;
    let [supply, alarm] = out;
    let side = |coil, switch, index: usize| {
        let valve = match Valve::new(coil) {
            Ok(valve) => valve,
            Err(never) => match never {},
        };
        SidePins {
            valve,
            switch: Switch::new(switch, false),
            shaft: Capture::shaft(index, two[index]),
        }
    };
    DrillPins {
        sides: [side(first, left, 0), side(second, right, 1)],
        ground: Capture::ground(),
        // In work the contact is closed, which is what the bench calls `true`: an open wire is lifted.
        lift: Switch::new(switches.lift, false),
        master: Switch::new(switches.master, false),
        hold: Switch::new(switches.hold, false),
        // Pressed is open: a broken wire is pressed.
        stop: Some(Switch::new(switches.stop, true)),
        supply: relay(supply),
        alarm: relay(alarm),
    }
}

/// The crystal, the phase-locked loops and the processor's clock, 125 MHz.
fn clocks(
    (crystal, clocks): (pac::XOSC, pac::CLOCKS),
    (system, usb): (pac::PLL_SYS, pac::PLL_USB),
    resets: &mut pac::RESETS,
    watchdog: &mut Watchdog,
) -> ClocksManager {
    let started = init_clocks_and_plls(CRYSTAL_HZ, crystal, clocks, system, usb, resets, watchdog);
    let Ok(clocks) = started else { panic!("the clocks do not start") };
    clocks
}

/// From here on the processor is woken and hears edges and bytes.
fn wake(mut beat: SYST) {
    beat.set_clock_source(SystClkSource::Core);
    beat.set_reload(SYSTEM_HZ / 1_000_000 * BEAT_US - 1);
    beat.clear_current();
    beat.enable_counter();
    beat.enable_interrupt();
    // SAFETY: the handlers share nothing with the program but atomics.
    unsafe { NVIC::unmask(pac::Interrupt::IO_IRQ_BANK0) };
    // SAFETY: as above.
    unsafe { NVIC::unmask(pac::Interrupt::UART0_IRQ) };
}

/// Brings the board up. Never inlined: what it needs of the stack is given back.
#[inline(never)]
pub(crate) fn start() -> &'static mut Drill {
    let chip = pac::Peripherals::take().zip(cortex_m::Peripherals::take());
    let Some((mut chip, core)) = chip else { panic!("started twice") };
    // Outputs first: nothing before this can fail.
    let bank = Sio::new(chip.SIO).gpio_bank0;
    let pins = gpio::Pins::new(chip.IO_BANK0, chip.PADS_BANK0, bank, &mut chip.RESETS);
    let (outs, ins) = part(pins);

    let bitten = chip.WATCHDOG.reason().read().timer().bit_is_set();
    let mut watchdog = Watchdog::new(chip.WATCHDOG);
    watchdog.disable();
    let loops = (chip.PLL_SYS, chip.PLL_USB);
    let clocks = clocks((chip.XOSC, chip.CLOCKS), loops, &mut chip.RESETS, &mut watchdog);
    vectors::to_ram(&core.SCB);
    let (mut keep, found) = Keep::open();
    watchdog.start(MicrosDurationU32::micros(WATCHDOG_US));
    let timer = Timer::new(chip.TIMER, &mut chip.RESETS, &clocks);
    let clock = clocks.peripheral_clock.freq();
    receiver(chip.UART0, ins.nmea, &mut chip.RESETS, clock);
    let mut port = status(chip.UART1, ins.status, &mut chip.RESETS, clock);

    let Told { controller, kinds, two_channel, line } = told(bitten, keep.as_deref_mut(), found);
    port.line(&line);
    #[cfg(feature = "defmt")]
    defmt::info!("{=str}", line.as_str());
    let slices = pwm::Slices::new(chip.PWM, &mut chip.RESETS);
    let (coils, motors) = valves(outs.valves, kinds, (slices.pwm0, slices.pwm1));
    let (buzzer, state) = (relay(outs.buzzer), relay(outs.state));
    let drill = Drill {
        controller,
        panel: panel(found.event),
        keep,
        pins: drill_pins(ins.switches, coils, two_channel, [outs.supply, outs.alarm]),
        beside: Beside { motors, tubes: ins.tubes, level: ins.level, buzzer, state },
        nmea: Nmea::new(),
        port,
        timer,
        watchdog,
        when: When::from(Instant::from_micros(timer.get_counter_low())),
        inputs: Inputs::default(),
        outputs: Outputs::default(),
        alarm_lit: false,
        flooded: 0,
    };
    wake(core.SYST);
    stays!(Drill, drill)
}
