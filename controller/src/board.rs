//! Board adapters over embedded-hal 1.0: pins to inputs, outputs to pins, nothing else.
//!
//! | part | trait |
//! |---|---|
//! | valve | [`embedded_hal::pwm::SetDutyCycle`] |
//! | motorised valve: open, close | two of [`embedded_hal::digital::OutputPin`], in [`GearMotor`] |
//! | shut-off, alarm | [`embedded_hal::digital::OutputPin`] |
//! | switches | [`embedded_hal::digital::InputPin`] |
//! | encoders, ground pulses | [`EdgeCapture`], which is ours |
//!
//! A pin that cannot be read is off; the lift has no safe level, so without it the master is off. A pin
//! that cannot be written cuts the supply and is reported, and the caller brings the board to rest.

use crate::drive::ValveTurn;
use crate::inputs::Inputs;
use crate::outputs::Outputs;
use crate::quantity::{Command, Instant};
use crate::sense::Pulses;
use embedded_hal::digital::{InputPin, OutputPin};
use embedded_hal::pwm::SetDutyCycle;

/// A channel that counts edges and keeps the instant of the last one, to 1 µs.
pub trait EdgeCapture {
    /// The count and the instant, read together: no edge may fall between the two.
    fn read(&mut self) -> Pulses;
}

/// A switch with its polarity.
#[derive(Debug)]
pub struct Switch<P> {
    pin: P,
    on_level: bool,
}

impl<P: InputPin> Switch<P> {
    /// A switch that is on at `on_level`.
    pub const fn new(pin: P, on_level: bool) -> Self {
        Self { pin, on_level }
    }

    /// Whether it is on; a pin that cannot be read is off.
    pub fn is_on(&mut self) -> bool {
        self.read().unwrap_or(false)
    }

    /// Whether it is on; none if it cannot be read.
    fn read(&mut self) -> Option<bool> {
        self.pin.is_high().ok().map(|high| high == self.on_level)
    }

    /// Gives the pin back.
    pub fn release(self) -> P {
        self.pin
    }
}

/// A proportional valve on a PWM channel.
#[derive(Debug)]
pub struct Valve<P> {
    channel: P,
}

impl<P: SetDutyCycle> Valve<P> {
    /// A valve on a channel, at rest.
    ///
    /// # Errors
    ///
    /// That of the channel.
    pub fn new(mut channel: P) -> Result<Self, P::Error> {
        channel.set_duty_cycle_fully_off()?;
        Ok(Self { channel })
    }

    /// Sets the duty to the command; zero is fully off.
    ///
    /// # Errors
    ///
    /// That of the channel.
    pub fn set(&mut self, command: Command) -> Result<(), P::Error> {
        if command == Command::ZERO {
            return self.channel.set_duty_cycle_fully_off();
        }
        self.channel.set_duty_cycle_fraction(command.to_bits(), u16::MAX)
    }

    /// Gives the channel back.
    pub fn release(self) -> P {
        self.channel
    }
}

/// The gear motor of a motorised valve on two output pins, never both on. A board that has such valves drives
/// each with the side's [`turn`](crate::SideOutputs::turn) beside its [`Pins`].
#[derive(Debug)]
pub struct GearMotor<P> {
    open: P,
    close: P,
}

impl<P: OutputPin> GearMotor<P> {
    /// A motor on its pins, standing.
    ///
    /// # Errors
    ///
    /// That of a pin.
    pub fn new(open: P, close: P) -> Result<Self, P::Error> {
        let mut motor = Self { open, close };
        motor.set(ValveTurn::Hold)?;
        Ok(motor)
    }

    /// Runs it or lets it stand. What goes off goes off first; if that fails, nothing goes on.
    ///
    /// # Errors
    ///
    /// That of a pin.
    pub fn set(&mut self, turn: ValveTurn) -> Result<(), P::Error> {
        let Self { open, close } = self;
        match turn {
            ValveTurn::Hold => open.set_low().and(close.set_low()),
            ValveTurn::Open => close.set_low().and_then(|()| open.set_high()),
            ValveTurn::Close => open.set_low().and_then(|()| close.set_high()),
        }
    }

    /// Gives the pins back.
    pub fn release(self) -> (P, P) {
        (self.open, self.close)
    }
}

/// An output pin that is off when de-energised.
#[derive(Debug)]
pub struct Relay<P> {
    pin: P,
}

impl<P: OutputPin> Relay<P> {
    /// A relay on a pin, de-energised.
    ///
    /// # Errors
    ///
    /// That of the pin.
    pub fn new(mut pin: P) -> Result<Self, P::Error> {
        pin.set_low()?;
        Ok(Self { pin })
    }

    /// Energises it or lets it fall.
    ///
    /// # Errors
    ///
    /// That of the pin.
    pub fn set(&mut self, on: bool) -> Result<(), P::Error> {
        self.pin.set_state(on.into())
    }

    /// Gives the pin back.
    pub fn release(self) -> P {
        self.pin
    }
}

/// One side's pins.
#[derive(Debug)]
pub struct SidePins<V, I, C> {
    /// Its valve.
    pub valve: Valve<V>,
    /// Its switch.
    pub switch: Switch<I>,
    /// Its shaft encoder.
    pub shaft: C,
}

/// All pins of a drill with `N` sides, one to four.
#[derive(Debug)]
pub struct Pins<V, I, C, O, const N: usize> {
    /// The sides, left to right.
    pub sides: [SidePins<V, I, C>; N],
    /// Ground pulses.
    pub ground: C,
    /// Lift input; its polarity is in the settings, so the switch's is `true`.
    pub lift: Switch<I>,
    /// Master switch.
    pub master: Switch<I>,
    /// Hold-to-run button.
    pub hold: Switch<I>,
    /// The hard-wired stop as read, where it is wired to be read; on is pressed.
    pub stop: Option<Switch<I>>,
    /// Supply shut-off.
    pub supply: Relay<O>,
    /// Alarm lamp or buzzer.
    pub alarm: Relay<O>,
}

/// A pin that could not be written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub enum PinFault {
    /// A valve's channel, side from 0.
    Valve(usize),
    /// The shut-off.
    Supply,
    /// The alarm.
    Alarm,
}

impl<V: SetDutyCycle, I: InputPin, C: EdgeCapture, O: OutputPin, const N: usize>
    Pins<V, I, C, O, N>
{
    /// Reads every pin at `now`. Samples, yaw, tube sensors and the level switch come from elsewhere and are left out. A
    /// stop that cannot be read is pressed.
    pub fn read(&mut self, now: Instant) -> Inputs {
        let lift = self.lift.read();
        let master = self.master.is_on();
        let mut inputs = Inputs {
            now,
            ground: self.ground.read(),
            lift: lift.unwrap_or(false),
            master: master && lift.is_some(),
            hold: self.hold.is_on(),
            stop: self.stop.as_mut().map(|stop| stop.read().unwrap_or(true)),
            ..Inputs::default()
        };
        for (read, pins) in inputs.sides.iter_mut().zip(&mut self.sides) {
            read.shaft = pins.shaft.read();
            read.switch = pins.switch.is_on();
        }
        inputs
    }

    /// Drives every pin: what takes oil away first, what lets it through last. Every pin is tried; when one
    /// fails the supply is cut.
    ///
    /// # Errors
    ///
    /// [`PinFault`] names the first pin that could not be written.
    pub fn drive(&mut self, outputs: &Outputs) -> Result<(), PinFault> {
        let mut fault = Ok(());
        if !outputs.supply {
            fault = fault.and(self.supply.set(false).map_err(|_| PinFault::Supply));
        }
        for (index, (pins, out)) in (0..N).zip(self.sides.iter_mut().zip(&outputs.sides)) {
            let set = pins.valve.set(out.command).map_err(|_| PinFault::Valve(index));
            fault = fault.and(set);
        }
        fault = fault.and(self.alarm.set(outputs.alarm.is_some()).map_err(|_| PinFault::Alarm));
        if outputs.supply {
            let cut = self.supply.set(fault.is_ok()).map_err(|_| PinFault::Supply);
            fault = fault.and(cut);
        }
        fault
    }

    /// Brings every pin to rest; all are tried.
    ///
    /// # Errors
    ///
    /// [`PinFault`] names the first pin that could not be written.
    pub fn rest(&mut self) -> Result<(), PinFault> {
        self.drive(&Outputs::default())
    }
}
