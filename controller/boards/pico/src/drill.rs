//! The drill on this board: what happens every beat, every tick and every second.
//!
//! ```text
//!  beat 1 ms ─► receiver's bytes ─► status port ─┬─ 10 ms ─► pins ─► tick ─► pins ─► watchdog
//!                                                └─ 100 ms ─► panel ─► events │ 1 s ─► status line
//! ```

use crate::board::{PANEL, PANEL_CONFIG, STATUS, TICK};
use crate::capture::Capture;
use crate::port::Port;
use crate::receiver::Nmea;
use crate::valves::{Coil, Motor, Output};
use controller::board::{Pins, Relay, Switch};
use controller::panel::{Buttons, LotBook, Panel, Seen};
use controller::quantity::{Instant, Micros};
use controller::sense::SpeedReports;
use controller::watch::Item;
use controller::{Controller, Inputs, Outputs};
use rp2040_hal::gpio::{DynPinId, FunctionSioInput, Pin, PullUp};
use rp2040_hal::{Timer, Watchdog};

/// An input pin, pulled up: low is on.
pub(crate) type Input = Pin<DynPinId, FunctionSioInput, PullUp>;

/// The pins that the core's board layer drives.
pub(crate) type DrillPins = Pins<Coil, Input, Capture, Output, 2>;

/// Inputs that may not be wired: what they say counts from the first time that they read low.
pub(crate) struct Optional {
    switch: Switch<Input>,
    there: bool,
}

impl Optional {
    pub(crate) const fn new(pin: Input) -> Self {
        Self { switch: Switch::new(pin, false), there: false }
    }

    fn read(&mut self) -> Option<bool> {
        let low = self.switch.is_on();
        self.there |= low;
        self.there.then_some(low)
    }
}

/// What is beside the core's pins.
pub(crate) struct Beside {
    pub(crate) motors: [Motor; 2],
    pub(crate) tubes: [Optional; 2],
    pub(crate) level: Optional,
    pub(crate) buzzer: Relay<Output>,
    pub(crate) state: Relay<Output>,
}

/// Everything.
pub(crate) struct Drill {
    pub(crate) controller: Controller,
    pub(crate) panel: Panel,
    pub(crate) pins: DrillPins,
    pub(crate) beside: Beside,
    pub(crate) nmea: Nmea,
    pub(crate) port: Port,
    pub(crate) timer: Timer,
    pub(crate) watchdog: Watchdog,
    pub(crate) when: When,
    pub(crate) inputs: Inputs,
    pub(crate) outputs: Outputs,
    pub(crate) alarm_lit: bool,
}

/// When what is due.
pub(crate) struct When {
    tick: Instant,
    panel: Instant,
    status: Instant,
}

impl When {
    pub(crate) const fn from(now: Instant) -> Self {
        Self { tick: now.plus(TICK), panel: now.plus(PANEL), status: now.plus(STATUS) }
    }
}

/// Whether `due` has come, and then the next one. What was missed is not made up for.
fn due(due: &mut Instant, every: Micros, now: Instant) -> bool {
    // Half a beat early is on time: the beat and the timer's microseconds are not in step.
    if now.plus(Micros::new(500)).is_before(*due) {
        return false;
    }
    let next = due.plus(every);
    *due = if next.is_before(now) { now.plus(every) } else { next };
    true
}

/// A panel without display and buttons; its numbers are constants and its book is empty.
pub(crate) fn panel() -> Panel {
    match Panel::new(PANEL_CONFIG, LotBook::default()) {
        Ok(panel) => panel,
        Err(_) => unreachable!("the panel's numbers are constants"),
    }
}

/// The tick of the core. A function of its own, so that its cycles can be counted from outside.
#[inline(never)]
fn tick_of_core(controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs) {
    *outputs = controller.tick(inputs);
}

impl Drill {
    fn now(&self) -> Instant {
        Instant::from_micros(self.timer.get_counter_low())
    }

    /// A beat: what is due is done.
    pub(crate) fn beat(&mut self) {
        self.nmea.listen(&mut self.inputs);
        let now = self.now();
        if due(&mut self.when.tick, TICK, now) {
            self.tick(now);
        } else if due(&mut self.when.panel, PANEL, now) {
            self.look(now);
        }
        self.port.send();
    }

    /// A whole tick; only then the watchdog is fed. A function of its own, so that a test can leave it out.
    #[inline(never)]
    fn tick(&mut self, now: Instant) {
        let heard = self.inputs;
        let mut inputs = self.pins.read(now);
        inputs.speeds = heard.speeds;
        inputs.course = heard.course;
        inputs.position = heard.position;
        inputs.hopper_empty = self.beside.level.read().map(|seed| !seed);
        for (side, tube) in inputs.sides.iter_mut().zip(&mut self.beside.tubes) {
            side.seed_seen = tube.read();
        }
        tick_of_core(&mut self.controller, &inputs, &mut self.outputs);
        self.panel.note(&self.outputs);
        self.drive();
        // What arrived was taken; the levels stay for the panel.
        self.inputs =
            Inputs { speeds: SpeedReports::default(), course: None, position: None, ..inputs };
        self.watchdog.feed();
    }

    /// Drives the pins. The alarm lamp shows the panel's pattern.
    fn drive(&mut self) {
        let alarm = self.alarm_lit.then(|| self.outputs.alarm.unwrap_or(Item::TickLate));
        let mut fault = self.pins.drive(&Outputs { alarm, ..self.outputs }).is_err();
        for (motor, side) in self.beside.motors.iter_mut().zip(&self.outputs.sides) {
            let turned = motor.as_mut().map(|motor| motor.set(side.turn));
            fault |= turned.is_some_and(|turned| turned.is_err());
        }
        if fault {
            let _rest = self.pins.rest();
        }
    }

    /// Between ticks: panel, lamps, events, and once a second the status line.
    fn look(&mut self, now: Instant) {
        let seen = Seen::of(&self.controller, &self.inputs, &self.outputs);
        let _no_buttons = self.panel.update(seen, Buttons::default(), now);
        let lamps = self.panel.lamps();
        self.alarm_lit = lamps.alarm;
        let _lit = self.beside.state.set(lamps.state);
        let _sounds = self.beside.buzzer.set(lamps.buzzer);
        while let Some(event) = self.panel.take_event() {
            self.port.line(&event.line());
        }
        if due(&mut self.when.status, STATUS, now) {
            self.port.line(&self.panel.status());
        }
    }
}
