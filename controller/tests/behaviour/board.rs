//! Board adapters: what each pin sees.

use controller::board::{GearMotor, Relay, Switch, Valve};
use controller::drive::ValveTurn;
use controller::quantity::Command;
use embedded_hal_mock::eh1::MockError;
use embedded_hal_mock::eh1::digital::{Mock as PinMock, State, Transaction as PinStep};
use embedded_hal_mock::eh1::pwm::{Mock as PwmMock, Transaction as PwmStep};
use std::io;

const fn broken() -> MockError {
    MockError::Io(io::ErrorKind::NotConnected)
}

#[test]
fn the_duty_is_the_command_and_zero_is_fully_off() {
    let steps = [
        PwmStep::set_duty_cycle(0),
        PwmStep::max_duty_cycle(1_000),
        PwmStep::set_duty_cycle(500),
        PwmStep::max_duty_cycle(1_000),
        PwmStep::set_duty_cycle(1_000),
        PwmStep::set_duty_cycle(0),
    ];
    let mut valve = Valve::new(PwmMock::new(&steps)).expect("the channel works");
    for command in [32_800, u16::MAX, 0] {
        valve.set(Command::from_bits(command)).expect("the channel works");
    }
    valve.release().done();
}

#[test]
fn a_valve_whose_channel_fails_is_not_made() {
    let steps = [PwmStep::set_duty_cycle(0).with_error(broken())];
    let mut channel = PwmMock::new(&steps);
    assert!(Valve::new(&mut channel).is_err());
    channel.done();
}

#[test]
fn a_switch_is_on_at_its_own_level_and_off_when_it_cannot_be_read() {
    let steps = [
        PinStep::get(State::High),
        PinStep::get(State::Low),
        PinStep::get(State::High).with_error(broken()),
    ];
    for (on_level, reads) in [(true, [true, false, false]), (false, [false, true, false])] {
        let mut switch = Switch::new(PinMock::new(&steps), on_level);
        for read in reads {
            assert_eq!(switch.is_on(), read, "on at {on_level}");
        }
        switch.release().done();
    }
}

#[test]
fn a_relay_starts_de_energised() {
    let steps = [PinStep::set(State::Low), PinStep::set(State::High), PinStep::set(State::Low)];
    let mut relay = Relay::new(PinMock::new(&steps)).expect("the pin works");
    relay.set(true).expect("the pin works");
    relay.set(false).expect("the pin works");
    relay.release().done();
}

#[test]
fn a_gear_motor_never_has_both_its_pins_on() {
    use State::{High, Low};

    let pin = |states: &[State]| {
        let steps: Vec<PinStep> = states.iter().map(|state| PinStep::set(*state)).collect();
        PinMock::new(&steps)
    };
    // Standing, open, close, open, standing: what goes off is written before what goes on.
    let open = pin(&[Low, High, Low, High, Low]);
    let close = pin(&[Low, Low, High, Low, Low]);
    let mut motor = GearMotor::new(open, close).expect("the pins work");
    for turn in [ValveTurn::Open, ValveTurn::Close, ValveTurn::Open, ValveTurn::Hold] {
        motor.set(turn).expect("the pins work");
    }
    let (mut open, mut close) = motor.release();
    open.done();
    close.done();
}
