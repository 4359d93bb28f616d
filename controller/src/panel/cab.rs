//! The panel itself: reads the drill and the buttons, tells what to show, and hands out wishes.

use super::boxes::BOXES;
use super::buttons::{ButtonState, Buttons};
use super::clock::Clock;
use super::config::{PanelConfig, PanelError};
use super::event::Event;
use super::field::Field;
use super::history::History;
use super::lots::LotBook;
use super::pages::{Page, pages};
use super::pattern::{Lamps, Pattern, Signals};
use super::question::{QUESTION_FOR, Question};
use super::seen::Seen;
use super::status::{StatusLine, status};
use super::told::Told;
use super::view::View;
use super::warning::Warnings;
use super::wish::{Answer, Why, Wish};
use crate::outputs::Outputs;
use crate::quantity::Instant;
use crate::state::worse;
use crate::watch::Item;

/// The answer to a wish is shown for so long, ms.
const MESSAGE_MS: u32 = 3_000;

/// The fingerprint of the settings is shown for so long after it was told, ms.
const GREETING_MS: u32 = 5_000;

/// The operator's panel.
#[derive(Clone, Debug)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub struct Panel {
    pub(super) config: PanelConfig,
    pub(super) lots: LotBook,
    pub(super) chosen: [Option<usize>; BOXES],
    pub(super) seen: Seen,
    pub(super) field: Field,
    buttons: ButtonState,
    clock: Clock,
    pub(super) at_ms: u32,
    warnings: Warnings,
    /// The worst alarm of the ticks since the last update.
    heard: Option<Item>,
    pub(super) told: Told,
    pub(super) history: History,
    pub(super) page: usize,
    /// What is asked, and since when.
    pub(super) question: Option<(Question, u32)>,
    /// What became of a wish, and when.
    pub(super) message: Option<(Wish, Answer, u32)>,
    /// Fingerprint of the settings, and when it was told.
    greeting: Option<(u32, u32)>,
    /// The wish that waits for its answer.
    pub(super) asked: Option<Wish>,
}

impl Panel {
    /// A panel with its lots.
    ///
    /// # Errors
    ///
    /// [`PanelError`] names what is wrong.
    pub fn new(config: PanelConfig, lots: LotBook) -> Result<Self, PanelError> {
        config.check()?;
        Ok(Self {
            config,
            lots,
            chosen: [None; BOXES],
            seen: Seen::default(),
            field: Field::default(),
            buttons: ButtonState::default(),
            clock: Clock::default(),
            at_ms: 0,
            warnings: Warnings::default(),
            heard: None,
            told: Told::default(),
            history: History::default(),
            page: 0,
            question: None,
            message: None,
            greeting: None,
            asked: None,
        })
    }

    /// Shows the fingerprint of the settings that were loaded, [`fingerprint`](crate::settings::image::fingerprint) of
    /// their image, for five seconds: to be called at start, so that a person compares it with what was proved.
    pub const fn greet(&mut self, fingerprint: u32) {
        self.greeting = Some((fingerprint, self.at_ms));
    }

    /// The fingerprint while it is shown.
    pub(super) fn greeting(&self) -> Option<u32> {
        let (fingerprint, told) = self.greeting?;
        (self.at_ms.saturating_sub(told) < GREETING_MS).then_some(fingerprint)
    }

    /// To be called on every tick: an alarm may last no longer than one.
    pub fn note(&mut self, outputs: &Outputs) {
        self.heard = worse(self.heard, outputs.alarm);
    }

    /// Reads drill and buttons between ticks. A wish is to be performed and answered before the next call.
    pub fn update(&mut self, seen: Seen, buttons: Buttons, now: Instant) -> Option<Wish> {
        self.at_ms = self.clock.read(now);
        if self.asked.is_some() {
            self.answer(Err(Why::NoAnswer));
        }
        self.seen = seen;
        let warned = self.warnings.update(&seen, &self.config.boxes);
        let heard = worse(worse(self.heard.take(), seen.alarm), warned);
        if self.told.hear(heard, self.at_ms) {
            // What is not seen must not be confirmed.
            self.question = None;
            self.message = None;
        }
        self.history.watch(&seen, self.told.item(), now, self.at_ms);
        let open_ms = QUESTION_FOR.get() / 1_000;
        let at_ms = self.at_ms;
        self.question = self.question.filter(|(_, asked)| at_ms.saturating_sub(*asked) < open_ms);
        self.message = self.message.filter(|(.., at)| at_ms.saturating_sub(*at) < MESSAGE_MS);
        let press = self.buttons.update(buttons, now)?;
        self.asked = self.pressed(press);
        self.asked
    }

    /// The page that the button chose.
    pub(super) fn shown_page(&self) -> Option<&'static Page> {
        pages(self.config.size).get(self.page)
    }

    /// What is shown.
    #[must_use]
    pub const fn view(&self) -> View<'_> {
        View {
            seen: &self.seen,
            field: &self.field,
            lots: &self.lots,
            chosen: self.chosen,
            alarm: self.told.item(),
            units: self.config.units,
            size: self.config.size,
        }
    }

    /// What is asked.
    pub(super) const fn question(&self) -> Option<(Question, u32)> {
        self.question
    }

    /// What became of the last wish.
    pub(super) const fn message(&self) -> Option<(Wish, Answer, u32)> {
        self.message
    }

    /// Time since power-up, ms.
    #[must_use]
    pub const fn at_ms(&self) -> u32 {
        self.at_ms
    }

    /// The same as a line of text.
    #[must_use]
    pub fn status(&self) -> StatusLine {
        status(&self.view())
    }

    /// Patterns of lamps and buzzer.
    #[must_use]
    pub fn signals(&self) -> Signals {
        let class = |item: Option<Item>| item.map(Item::class);
        Signals {
            state: Pattern::of_state(self.seen.state()),
            alarm: Pattern::of_alarm(class(self.told.item())),
            buzzer: Pattern::of_buzzer(class(self.told.unnoticed())),
        }
    }

    /// What is lit and sounds now. An alarm's pattern begins as it comes.
    pub fn lamps(&self) -> Lamps {
        let signals = self.signals();
        let state = signals.at(self.at_ms).state;
        Lamps { state, ..signals.at(self.told.age_ms(self.at_ms)) }
    }

    /// The lots.
    pub const fn lots(&self) -> &LotBook {
        &self.lots
    }

    /// The field, for the board to keep.
    #[must_use]
    pub const fn field(&self) -> Field {
        self.field
    }

    /// Goes on in a field, with lots and after the number of an event that were kept through a power cut.
    pub fn resume(&mut self, field: Field, chosen: [Option<usize>; BOXES], event: u32) {
        self.field = field;
        self.chosen = chosen.map(|lot| lot.filter(|index| self.lots.get(*index).is_some()));
        self.history.resume(event);
    }

    /// The lot in force of each box, for the board to keep.
    #[must_use]
    pub const fn chosen(&self) -> [Option<usize>; BOXES] {
        self.chosen
    }

    /// Takes the oldest event that was not taken yet.
    pub fn take_event(&mut self) -> Option<Event> {
        self.history.fetch()
    }

    /// Events that were not taken in time.
    #[must_use]
    pub const fn events_dropped(&self) -> u32 {
        self.history.dropped()
    }
}
