//! All pins of a drill: in which order they are driven, and what a failing one does.

use controller::board::{EdgeCapture, PinFault, Pins, Relay, SidePins, Switch, Valve};
use controller::quantity::{Command, Instant};
use controller::sense::Pulses;
use controller::watch::Item;
use controller::{Inputs, Outputs};
use core::cell::{Cell, RefCell};
use embedded_hal::digital::{ErrorKind, ErrorType, InputPin, OutputPin};
use embedded_hal::pwm::{ErrorType as PwmErrorType, SetDutyCycle};

/// What every pin was told, in order, and the one that fails.
#[derive(Debug, Default)]
struct Log {
    told: RefCell<Vec<(&'static str, u16)>>,
    failing: Cell<&'static str>,
}

impl Log {
    fn take(&self) -> Vec<(&'static str, u16)> {
        self.told.take()
    }
}

/// A pin or channel that writes what it is told into the log.
#[derive(Debug)]
struct Pin<'a> {
    name: &'static str,
    log: &'a Log,
}

#[derive(Debug)]
struct Dead;

impl embedded_hal::digital::Error for Dead {
    fn kind(&self) -> ErrorKind {
        ErrorKind::Other
    }
}

impl embedded_hal::pwm::Error for Dead {
    fn kind(&self) -> embedded_hal::pwm::ErrorKind {
        embedded_hal::pwm::ErrorKind::Other
    }
}

impl Pin<'_> {
    fn works(&self) -> Result<(), Dead> {
        if self.log.failing.get() == self.name { Err(Dead) } else { Ok(()) }
    }

    fn tell(&self, value: u16) -> Result<(), Dead> {
        self.log.told.borrow_mut().push((self.name, value));
        self.works()
    }
}

impl ErrorType for Pin<'_> {
    type Error = Dead;
}

impl PwmErrorType for Pin<'_> {
    type Error = Dead;
}

impl OutputPin for Pin<'_> {
    fn set_low(&mut self) -> Result<(), Dead> {
        self.tell(0)
    }
    fn set_high(&mut self) -> Result<(), Dead> {
        self.tell(1)
    }
}

impl SetDutyCycle for Pin<'_> {
    fn max_duty_cycle(&self) -> u16 {
        u16::MAX
    }
    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Dead> {
        self.tell(duty)
    }
}

impl InputPin for Pin<'_> {
    fn is_high(&mut self) -> Result<bool, Dead> {
        self.works().map(|()| true)
    }
    fn is_low(&mut self) -> Result<bool, Dead> {
        self.works().map(|()| false)
    }
}

#[derive(Debug)]
struct Counter(u32);

impl EdgeCapture for Counter {
    fn read(&mut self) -> Pulses {
        Pulses { count: self.0, edge_at: Instant::from_micros(self.0) }
    }
}

type Drill<'a> = Pins<Pin<'a>, Pin<'a>, Counter, Pin<'a>, 2>;

/// A drill of two sides, every pin high; the log starts after it is made.
fn drill(log: &Log) -> Drill<'_> {
    let input = |name| Switch::new(Pin { name, log }, true);
    let relay = |name| Relay::new(Pin { name, log }).expect("it works");
    let side = |valve, switch, count| SidePins {
        valve: Valve::new(Pin { name: valve, log }).expect("it works"),
        switch: input(switch),
        shaft: Counter(count),
    };
    let drill = Pins {
        sides: [side("valve 0", "switch 0", 10), side("valve 1", "switch 1", 11)],
        ground: Counter(7),
        lift: input("lift"),
        master: input("master"),
        hold: input("hold"),
        stop: Some(input("stop")),
        supply: relay("supply"),
        alarm: relay("alarm"),
    };
    assert!(log.take().iter().all(|&(_, value)| value == 0), "made at rest");
    drill
}

/// Both valves open, oil on.
fn working() -> Outputs {
    let mut outputs = Outputs { supply: true, ..Outputs::default() };
    outputs.sides[0].command = Command::from_bits(100);
    outputs.sides[1].command = Command::from_bits(200);
    outputs
}

#[test]
fn every_pin_is_read_into_its_input() {
    let log = Log::default();
    let now = Instant::from_micros(5);
    let inputs = drill(&log).read(now);
    let mut want = Inputs { now, lift: true, master: true, hold: true, ..Inputs::default() };
    want.stop = Some(true);
    want.ground = Counter(7).read();
    for (side, count) in [(0, 10), (1, 11)] {
        want.sides[side].shaft = Counter(count).read();
        want.sides[side].switch = true;
    }
    assert_eq!(inputs, want);
}

#[test]
fn the_shut_off_closes_first_and_opens_last() {
    let log = Log::default();
    let mut pins = drill(&log);
    pins.drive(&working()).expect("all pins work");
    let start = [("valve 0", 100), ("valve 1", 200), ("alarm", 0), ("supply", 1)];
    assert_eq!(log.take(), start);
    pins.drive(&Outputs { alarm: Some(Item::InputsStale), ..Outputs::default() }).expect("work");
    let stop = [("supply", 0), ("valve 0", 0), ("valve 1", 0), ("alarm", 1)];
    assert_eq!(log.take(), stop);
    pins.rest().expect("all pins work");
    assert_eq!(log.take(), [("supply", 0), ("valve 0", 0), ("valve 1", 0), ("alarm", 0)]);
}

#[test]
fn a_failing_pin_is_named_and_every_other_pin_is_still_brought_to_rest() {
    let faults = [
        ("supply", PinFault::Supply),
        ("valve 0", PinFault::Valve(0)),
        ("valve 1", PinFault::Valve(1)),
        ("alarm", PinFault::Alarm),
    ];
    for (name, fault) in faults {
        let log = Log::default();
        let mut pins = drill(&log);
        log.failing.set(name);
        assert_eq!(pins.rest(), Err(fault));
        assert_eq!(log.take(), [("supply", 0), ("valve 0", 0), ("valve 1", 0), ("alarm", 0)]);
    }
}

#[test]
fn a_pin_that_fails_at_work_cuts_the_supply() {
    for name in ["valve 0", "valve 1", "alarm"] {
        let log = Log::default();
        let mut pins = drill(&log);
        pins.drive(&working()).expect("all pins work");
        log.take();
        log.failing.set(name);
        assert!(pins.drive(&working()).is_err(), "{name}");
        assert_eq!(log.take().last(), Some(&("supply", 0)), "{name} fails and oil stays on");
    }
}

#[test]
fn a_switch_that_cannot_be_read_is_off() {
    for name in ["master", "hold", "switch 0"] {
        let log = Log::default();
        let mut pins = drill(&log);
        log.failing.set(name);
        let inputs = pins.read(Instant::default());
        let reads = [inputs.master, inputs.hold, inputs.sides[0].switch];
        let off = ["master", "hold", "switch 0"].map(|other| other != name);
        assert_eq!(reads, off, "{name}");
    }
}

#[test]
fn a_stop_that_cannot_be_read_is_pressed_and_one_that_is_not_wired_says_nothing() {
    let log = Log::default();
    let mut pins = drill(&log);
    log.failing.set("stop");
    assert_eq!(pins.read(Instant::default()).stop, Some(true));
    pins.stop = None;
    assert_eq!(pins.read(Instant::default()).stop, None);
}

#[test]
fn a_lift_that_cannot_be_read_is_not_taken_for_lowered() {
    // Its polarity is in the settings: no level is safe, so the master reads off.
    let log = Log::default();
    let mut pins = drill(&log);
    log.failing.set("lift");
    assert!(!pins.read(Instant::default()).master, "it might be sown in the air");
}
