//! The valves: PWM of a proportional one, two outputs of a motorised one.

use crate::board::{SYSTEM_HZ, VALVE_HZ};
use controller::board::GearMotor;
use controller::drive::ValveKind;
use core::convert::Infallible;
use embedded_hal::pwm::{ErrorType, SetDutyCycle};
use rp2040_hal::gpio::bank0::{Gpio16, Gpio17, Gpio18, Gpio19};
use rp2040_hal::gpio::{DynPinId, FunctionSioOutput, Pin, PullDown};
use rp2040_hal::pwm::{
    A, AnySlice, Channel, FreeRunning, Pwm0, Pwm1, Slice, SliceId, ValidSliceMode,
};

/// The slice's clock is the system's over this, so that one period fits sixteen bits.
const DIVIDER: u8 = 16;

/// Counts of a period less one.
#[expect(clippy::cast_possible_truncation, reason = "the range is asserted")]
const TOP: u16 = {
    let counts = SYSTEM_HZ / DIVIDER as u32 / VALVE_HZ;
    assert!(
        counts > 1_000 && counts <= 65_536,
        "a period of the valves' PWM has 1000 to 65 536 counts"
    );
    (counts - 1) as u16
};

/// An output pin that starts low.
pub(crate) type Output = Pin<DynPinId, FunctionSioOutput, PullDown>;

/// A pin of the list, low.
pub(crate) type Low<I> = Pin<I, FunctionSioOutput, PullDown>;

/// The two outputs of each valve.
pub(crate) struct ValvePins {
    pub(crate) first: (Low<Gpio16>, Low<Gpio17>),
    pub(crate) second: (Low<Gpio18>, Low<Gpio19>),
}

/// The PWM channel of a side's valve; none where the valve is motorised or there is no such side.
pub(crate) enum Coil {
    First(Channel<Slice<Pwm0, FreeRunning>, A>),
    Second(Channel<Slice<Pwm1, FreeRunning>, A>),
    None,
}

impl ErrorType for Coil {
    type Error = Infallible;
}

impl SetDutyCycle for Coil {
    fn max_duty_cycle(&self) -> u16 {
        TOP + 1
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        match self {
            Self::First(channel) => channel.set_duty_cycle(duty),
            Self::Second(channel) => channel.set_duty_cycle(duty),
            Self::None => Ok(()),
        }
    }
}

/// The motor of a motorised valve.
pub(crate) type Motor = Option<GearMotor<Output>>;

fn prepare<I: SliceId, M: ValidSliceMode<I>>(slice: &mut Slice<I, M>)
where
    Slice<I, M>: AnySlice,
{
    slice.set_div_int(DIVIDER);
    slice.set_div_frac(0);
    slice.set_top(TOP);
    slice.enable();
}

/// A motor that stands.
fn motor(open: Output, close: Output) -> Motor {
    GearMotor::new(open, close).ok()
}

/// Gives each side what drives its valve; at rest.
pub(crate) fn valves(
    pins: ValvePins,
    kinds: [Option<ValveKind>; 2],
    (mut zero, mut one): (Slice<Pwm0, FreeRunning>, Slice<Pwm1, FreeRunning>),
) -> ([Coil; 2], [Motor; 2]) {
    let ValvePins { first, second } = pins;
    let mut coils = [Coil::None, Coil::None];
    let mut motors = [None, None];
    match kinds[0] {
        Some(ValveKind::Proportional) => {
            prepare(&mut zero);
            let _driven = zero.channel_a.output_to(first.0);
            coils[0] = Coil::First(zero.channel_a);
        }
        Some(ValveKind::Motorised(_)) => {
            motors[0] = motor(first.0.into_dyn_pin(), first.1.into_dyn_pin());
        }
        None => {}
    }
    match kinds[1] {
        Some(ValveKind::Proportional) => {
            prepare(&mut one);
            let _driven = one.channel_a.output_to(second.0);
            coils[1] = Coil::Second(one.channel_a);
        }
        Some(ValveKind::Motorised(_)) => {
            motors[1] = motor(second.0.into_dyn_pin(), second.1.into_dyn_pin());
        }
        None => {}
    }
    (coils, motors)
}
