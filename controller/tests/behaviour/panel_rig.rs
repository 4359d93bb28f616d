//! A panel on the rig: it is looked at every 50 ms, and what it wishes is done.

use crate::rig::Rig;
use controller::panel::{
    Answer, BoxConfig, Buttons, Event, EventKind, LotBook, LotConfig, Panel, PanelConfig,
    RateSteps, Seen, Size, Units, Wish,
};
use controller::quantity::{MicrogramsPerTurn, MilligramsPerSquareMetre, TurnsPerSecond};
use controller::seed::MeterPoint;

/// No button.
pub(crate) const NONE: Buttons =
    Buttons { up: false, down: false, next: false, choose: false, filled: false, field: false };
pub(crate) const UP: Buttons = Buttons { up: true, ..NONE };
pub(crate) const DOWN: Buttons = Buttons { down: true, ..NONE };
pub(crate) const NEXT: Buttons = Buttons { next: true, ..NONE };
pub(crate) const CHOOSE: Buttons = Buttons { choose: true, ..NONE };
pub(crate) const FILLED: Buttons = Buttons { filled: true, ..NONE };
pub(crate) const FIELD: Buttons = Buttons { field: true, ..NONE };

const fn rate(whole: u16) -> MilligramsPerSquareMetre {
    MilligramsPerSquareMetre::from_whole(whole)
}

/// Steps of 5 kg/ha between 100 and 120; a box of 600 kg, bags of 25, low below 50.
pub(crate) const fn panel_config(size: Size) -> PanelConfig {
    let steps = RateSteps { step: rate(500), low: rate(10_000), high: rate(12_000) };
    let kg = 1_000_000_000;
    let one = BoxConfig { full_ug: 600 * kg, bag_ug: 25 * kg, low_ug: 50 * kg };
    PanelConfig { units: Units::Metric, size, rates: [steps; 2], boxes: [one; 2] }
}

/// Three lots.
pub(crate) fn lots() -> LotBook {
    let lot = |name: &str| LotConfig {
        name: name.try_into().expect("short"),
        product: 0,
        rate: MilligramsPerSquareMetre::from_whole(11_000),
        meter: core::iter::once(MeterPoint {
            shaft: TurnsPerSecond::from_bits(1 << 21),
            mass: MicrogramsPerTurn::new(120_000_000),
        })
        .collect(),
    };
    LotBook::new(&["wheat", "barley", "winter rye"].map(lot)).expect("lots are valid")
}

/// A rig with a panel.
#[derive(Debug)]
pub(crate) struct Cab {
    pub(crate) rig: Rig,
    pub(crate) panel: Panel,
    pub(crate) wishes: Vec<Wish>,
    pub(crate) events: Vec<Event>,
}

impl Cab {
    pub(crate) fn of(rig: Rig) -> Self {
        let panel = Panel::new(panel_config(Size::Four20), lots()).expect("a valid panel");
        let mut cab = Self { rig, panel, wishes: Vec::new(), events: Vec::new() };
        cab.look(NONE);
        cab
    }

    /// Five ticks and a look.
    pub(crate) fn look(&mut self, buttons: Buttons) {
        for _ in 0..5 {
            let outputs = self.rig.step();
            self.panel.note(&outputs);
        }
        let seen = Seen::of(&self.rig.controller, &self.rig.inputs, &self.rig.outputs);
        if let Some(wish) = self.panel.update(seen, buttons, self.rig.inputs.now) {
            self.wishes.push(wish);
            let answer = self.perform(wish);
            self.panel.answer(answer);
        }
        self.events.extend(std::iter::from_fn(|| self.panel.take_event()));
    }

    /// As a board does it.
    fn perform(&mut self, wish: Wish) -> Answer {
        wish.perform(&mut self.rig.controller, self.panel.lots(), self.rig.inputs.now)
    }

    /// Presses for 0.1 s and lets go.
    pub(crate) fn press(&mut self, buttons: Buttons) {
        for buttons in [buttons, buttons, NONE, NONE] {
            self.look(buttons);
        }
    }

    /// Lets so many tenths of a second pass.
    pub(crate) fn wait(&mut self, tenths: u32) {
        for _ in 0..2 * tenths {
            self.look(NONE);
        }
    }

    pub(crate) fn rows(&self) -> Vec<String> {
        self.panel.screen().rows().map(|row| row.trim_end().to_owned()).collect()
    }

    /// Values of the events of a kind, in order.
    pub(crate) fn values(&self, kind: EventKind) -> Vec<u32> {
        let of_kind = self.events.iter().filter(|event| event.kind == kind);
        of_kind.map(|event| event.value).collect()
    }
}
