//! The drill on this board: what happens every beat, every tick and every second.
//!
//! ```text
//!  beat 1 ms ─► receiver's bytes ─► status port ─┬─ 10 ms ─► pins ─► tick ─► pins ─► watchdog
//!                                                ├─ 100 ms ─► panel ─► lamps
//!                                                └─ while no tick is near: one of event, gap, count,
//!                                                   status line, erase
//! ```
//!
//! Only one of them is done in a beat, each in a function that is not inlined: the stack is as deep as the deepest of them,
//! and not as their sum.

use crate::board::{FREE, PANEL, STATUS, TICK};
use crate::capture::Capture;
use crate::keep::Keep;
use crate::port::Port;
use crate::receiver::Nmea;
use crate::valves::{Coil, Motor, Output};
use controller::board::{Pins, Relay, Switch};
use controller::panel::{Buttons, Panel, Seen};
use controller::quantity::{Instant, Micros};
use controller::sense::SpeedReports;
use controller::watch::Item;
use controller::{Controller, Inputs, Outputs};
use core::fmt::Write as _;
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
    pub(crate) controller: &'static mut Controller,
    pub(crate) panel: &'static mut Panel,
    /// The journal, where it opened.
    pub(crate) keep: Option<&'static mut Keep>,
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
    /// Channels with more edges than they take, a bit each, as they were told last.
    pub(crate) flooded: u8,
}

/// When what is due.
pub(crate) struct When {
    tick: Instant,
    panel: Instant,
    status: Instant,
    tend: Instant,
}

impl When {
    pub(crate) const fn from(now: Instant) -> Self {
        Self {
            tick: now.plus(TICK),
            panel: now.plus(PANEL),
            status: now.plus(STATUS),
            tend: now.plus(PANEL),
        }
    }
}

/// What is told of channels with more edges than they take, by their bits.
const FLOODS: [&str; 8] = [
    "flood=-",
    "flood=encoder-1",
    "flood=encoder-2",
    "flood=encoder-1,encoder-2",
    "flood=ground",
    "flood=encoder-1,ground",
    "flood=encoder-2,ground",
    "flood=encoder-1,encoder-2,ground",
];

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

/// The tick of the core. A function of its own, so that its cycles can be counted from outside.
#[inline(never)]
fn tick_of_core(controller: &mut Controller, inputs: &Inputs, outputs: &mut Outputs) {
    controller.tick_into(inputs, outputs);
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
        } else if now.plus(FREE).is_before(self.when.tick) {
            self.aside(now);
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
        if self.flood() {
            // No speed is believed of such edges: the drill rests till the master goes off and on.
            inputs.stop = Some(true);
        }
        tick_of_core(self.controller, &inputs, &mut self.outputs);
        let stood = self.keep.as_mut().is_some_and(|keep| keep.stood());
        if stood && self.outputs.alarm == Some(Item::TickLate) {
            // It was late because a sector was erased at a standstill.
            self.outputs.alarm = None;
        }
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

    /// Whether a channel has more edges than it takes. That it began or is over is told.
    fn flood(&mut self) -> bool {
        let [first, second] = &self.pins.sides;
        let channels = [&first.shaft, &second.shaft, &self.pins.ground];
        let bits = channels.iter().zip([1, 2, 4]);
        let flooded = bits.filter(|(channel, _)| channel.is_flooded()).map(|(_, bit)| bit).sum();
        if flooded != self.flooded {
            self.flooded = flooded;
            self.port.line(FLOODS[usize::from(flooded & 7)]);
        }
        flooded > 0
    }

    /// The panel sees the drill; lamps and buzzer.
    #[inline(never)]
    fn look(&mut self, now: Instant) {
        let seen = Seen::of(self.controller, &self.inputs, &self.outputs);
        let _no_buttons = self.panel.update(seen, Buttons::default(), now);
        let lamps = self.panel.lamps();
        self.alarm_lit = lamps.alarm;
        let _lit = self.beside.state.set(lamps.state);
        let _sounds = self.beside.buzzer.set(lamps.buzzer);
    }

    /// One thing that may take some milliseconds, while no tick is near.
    fn aside(&mut self, now: Instant) {
        if self.event() || self.gap() {
            return;
        }
        if due(&mut self.when.status, STATUS, now) {
            self.status();
            return;
        }
        let Some(keep) = &mut self.keep else { return };
        if keep.is_due(now) {
            keep.count(self.controller, now);
        } else if due(&mut self.when.tend, PANEL, now) {
            keep.tend(&self.outputs, self.inputs.master);
        }
    }

    /// Tells the oldest event that waits and keeps it.
    #[inline(never)]
    fn event(&mut self) -> bool {
        let Some(event) = self.panel.take_event() else { return false };
        self.port.line(&event.line());
        if let Some(keep) = &mut self.keep {
            keep.event(&event);
        }
        true
    }

    /// Keeps the oldest gap that waits.
    #[inline(never)]
    fn gap(&mut self) -> bool {
        let Some(gap) = self.controller.take_gap() else { return false };
        if let Some(keep) = &mut self.keep {
            keep.gap(&gap);
        }
        true
    }

    /// The status line, and what is wrong with the journal.
    #[inline(never)]
    fn status(&mut self) {
        self.port.line(&self.panel.status());
        let wrong = self.keep.as_mut().and_then(|keep| keep.wrong());
        if let Some((wrong, refused)) = wrong {
            let mut line = heapless::String::<96>::new();
            let _fits = write!(line, "journal wrong refused={refused} why={wrong}");
            self.port.line(&line);
        }
    }
}
