//! Everything that a board calls: settings, acts, ticks, accounts, the receiver's bytes, the bus, the board adapters
//! and the operator's panel.

#![no_std]
#![no_main]

use controller::board::{EdgeCapture, Pins};
use controller::gap::Gap;
use controller::panel::{
    Buttons, EventLine, Lamps, Lcd, LotBook, LotConfig, Panel, PanelConfig, Seen, StatusLine, Why,
};
use controller::quantity::{Instant, MetresPerSecond};
use controller::run::RunReport;
use controller::seed::{Lot, Product};
use controller::sense::bus::{Bus, BusInputs, BusState};
use controller::sense::nmea::{Fix, Receiver, ReceiverState, Refused};
use controller::sense::{Pulses, SpeedReport};
use controller::settings::image::{self, ImageError, MAX_IMAGE};
use controller::snapshot::Snapshot;
use controller::tally::Account;
use controller::{Act, Controller, Inputs, Outputs, Settings, SettingsConfig, SettingsError};
use core::convert::Infallible;
use embedded_can::{ExtendedId, Frame, Id};
use embedded_hal::delay::DelayNs;
use embedded_hal::digital::{ErrorType, InputPin, OutputPin};
use embedded_hal::pwm::{ErrorType as PwmError, SetDutyCycle};

/// A register of the board, whatever it drives or reads.
#[derive(Debug)]
pub struct Register(u32);

impl ErrorType for Register {
    type Error = Infallible;
}

impl InputPin for Register {
    fn is_high(&mut self) -> Result<bool, Infallible> {
        Ok(self.0 != 0)
    }

    fn is_low(&mut self) -> Result<bool, Infallible> {
        Ok(self.0 == 0)
    }
}

impl OutputPin for Register {
    fn set_low(&mut self) -> Result<(), Infallible> {
        self.0 = 0;
        Ok(())
    }

    fn set_high(&mut self) -> Result<(), Infallible> {
        self.0 = 1;
        Ok(())
    }
}

impl PwmError for Register {
    type Error = Infallible;
}

impl SetDutyCycle for Register {
    fn max_duty_cycle(&self) -> u16 {
        u16::MAX
    }

    fn set_duty_cycle(&mut self, duty: u16) -> Result<(), Infallible> {
        self.0 = u32::from(duty);
        Ok(())
    }
}

impl DelayNs for Register {
    fn delay_ns(&mut self, ns: u32) {
        self.0 = ns;
    }
}

/// A capture channel.
#[derive(Debug)]
pub struct Capture(Pulses);

impl EdgeCapture for Capture {
    fn read(&mut self) -> Pulses {
        self.0
    }
}

/// A frame in the registers of a CAN peripheral.
#[derive(Debug)]
pub struct Mailbox {
    id: u32,
    length: usize,
    remote: bool,
    bytes: [u8; 8],
}

impl Frame for Mailbox {
    fn new(_: impl Into<Id>, _: &[u8]) -> Option<Self> {
        None
    }

    fn new_remote(_: impl Into<Id>, _: usize) -> Option<Self> {
        None
    }

    fn is_extended(&self) -> bool {
        true
    }

    fn is_remote_frame(&self) -> bool {
        self.remote
    }

    fn id(&self) -> Id {
        Id::Extended(ExtendedId::new(self.id).unwrap_or(ExtendedId::ZERO))
    }

    fn dlc(&self) -> usize {
        self.length
    }

    fn data(&self) -> &[u8] {
        self.bytes.get(..self.length).unwrap_or(&[])
    }
}

/// The board of a drill with four sides.
type Board = Pins<Register, Register, Capture, Register, 4>;

/// What comes from outside in one round.
#[derive(Debug)]
pub struct Round {
    now: Instant,
    receiver: Receiver,
    byte: u8,
    act: Option<Act>,
    lot: Option<Lot>,
    product: Product,
    side: usize,
    words: [u32; 2],
    bus: Bus,
    frame: Mailbox,
    buttons: Buttons,
    refused: Option<Why>,
}

/// What is read after a round.
#[derive(Debug, Default)]
pub struct Reading {
    account: Account,
    side: Account,
    product: Account,
    rate: Option<u64>,
    hopper: u64,
    report: Option<RunReport>,
    range: Option<(MetresPerSecond, MetresPerSecond)>,
    edges: u64,
    refused: bool,
    fault: bool,
    number: u32,
    snapshot: Snapshot,
    stream: ReceiverState,
    unread: Refused,
    heard: BusState,
    collected: BusInputs,
    gap: Option<Gap>,
    cab: Cab,
}

/// What the panel says.
#[derive(Debug, Default)]
pub struct Cab {
    lamps: Lamps,
    status: StatusLine,
    event: EventLine,
    dropped: u32,
}

/// A panel that comes from outside, and its display.
#[derive(Debug)]
pub struct Front {
    config: PanelConfig,
    lots: [LotConfig; 8],
    panel: Option<Panel>,
    lcd: Option<Lcd<Register, Register>>,
}

/// A settings image that comes from outside, and what it holds.
#[derive(Debug)]
pub struct Carried {
    image: [u8; MAX_IMAGE],
    length: usize,
    config: Result<SettingsConfig, ImageError>,
    fingerprint: u32,
}

/// Reads the image and writes it again.
#[unsafe(no_mangle)]
pub extern "C" fn carry(carried: &mut Carried) {
    let image = carried.image.get(..carried.length).unwrap_or_default();
    carried.fingerprint = image::fingerprint(image);
    carried.config = image::read(image);
    if let Ok(config) = &carried.config {
        carried.length = image::write(config, &mut carried.image).unwrap_or(0);
    }
}

/// What the linker starts from.
#[unsafe(no_mangle)]
pub extern "C" fn _start(
    config: &SettingsConfig,
    rounds: &RoundSource,
    board: &mut Board,
    reading: &mut Reading,
    error: &mut Option<SettingsError>,
    carried: &mut Carried,
    front: &mut Front,
) {
    carry(carried);
    set_up(front);
    let mut controller = match Settings::new(config) {
        Ok(settings) => Controller::new(settings),
        Err(wrong) => {
            *error = Some(wrong);
            Controller::unconfigured()
        }
    };
    while let Some(round) = rounds.next() {
        let outputs = work(&mut controller, &round, board, reading);
        tell(&controller, &round, &outputs, front, &mut reading.cab);
        obey(&mut controller, &round, front);
    }
}

/// Checks lots and panel, wakes the display up.
fn set_up(front: &mut Front) {
    let lots = LotBook::new(&front.lots).unwrap_or_default();
    front.panel = Panel::new(front.config, lots).ok();
    let pin = || Register(0);
    let data = [pin(), pin(), pin(), pin()];
    front.lcd = Lcd::new([pin(), pin()], data, pin(), front.config.size).ok();
}

/// Shows everything.
fn tell(
    controller: &Controller,
    round: &Round,
    outputs: &Outputs,
    front: &mut Front,
    cab: &mut Cab,
) {
    let Some(panel) = &mut front.panel else { return };
    panel.note(outputs);
    let inputs = Inputs { now: round.now, ..Inputs::default() };
    let wish = panel.update(Seen::of(controller, &inputs, outputs), round.buttons, round.now);
    cab.dropped = panel.events_dropped().wrapping_add(u32::from(wish.is_some()));
    if let Some(lcd) = &mut front.lcd {
        let _shown = lcd.show(&panel.screen());
    }
    cab.lamps = panel.lamps();
    cab.status = panel.status();
    if let Some(event) = panel.take_event() {
        cab.event = event.line();
    }
}

/// Answers the wish of the panel.
fn obey(controller: &mut Controller, round: &Round, front: &mut Front) {
    let Some(panel) = &mut front.panel else { return };
    if let Some(act) = round.act {
        panel.answer(controller.act(act, round.now).map_err(Why::Refused));
    } else if let Some(why) = round.refused {
        panel.answer(Err(why));
    } else {
        panel.answer(Ok(()));
    }
    let (field, chosen) = (panel.field(), panel.chosen());
    panel.resume(field, chosen, round.words[0]);
}

/// Rounds come through a function pointer: the compiler knows none of them.
#[derive(Debug)]
pub struct RoundSource {
    next: fn() -> Option<Round>,
}

impl RoundSource {
    fn next(&self) -> Option<Round> {
        (self.next)()
    }
}

fn work(
    controller: &mut Controller,
    round: &Round,
    board: &mut Board,
    reading: &mut Reading,
) -> Outputs {
    if let Some(act) = round.act {
        reading.refused = controller.act(act, round.now).is_err();
    }
    if let Some(lot) = &round.lot {
        reading.refused |= controller.set_lot(lot, round.now).is_err();
    }
    let mut inputs = board.read(round.now);
    let fix = round.receiver.take(&mut reading.stream, round.byte, round.now);
    let Fix { speed, course, position, .. } = fix.unwrap_or_default();
    inputs.speeds.receiver = speed.map(SpeedReport::Speed);
    inputs.course = course;
    inputs.position = position;
    reading.unread = reading.stream.refused();
    if let Some(message) = round.bus.take(&mut reading.heard, &round.frame, round.now) {
        reading.collected.put(message);
    }
    reading.collected.fill(&mut inputs);
    let outputs = controller.tick(&inputs);
    reading.fault = board.drive(&outputs).is_err();
    reading.fault |= controller.restore(&reading.snapshot).is_err();
    reading.snapshot = controller.snapshot();
    reading.number = outputs.alarm.map_or(0, |item| u32::from(item.number()));
    reading.account = controller.account();
    reading.side = controller.side_account(round.side);
    reading.product = controller.account_of(round.product);
    reading.rate = reading.account.rate();
    reading.hopper = controller.hopper_left(round.product);
    reading.report = controller.take_run_report();
    reading.range = controller.speed_range(round.side);
    reading.edges = controller.tally(round.side).map_or(0, |tally| tally.passed.pulses);
    reading.number = reading.number.wrapping_add(probe::control(round.words));
    reading.gap = controller.take_gap();
    if outputs.at_rest() {
        reading.fault |= board.rest().is_err();
    }
    outputs
}
