//! The operator's panel: what is shown, lit and logged, and what the buttons wish. Outside the tick.
//!
//! ```text
//!  Controller, Outputs, Inputs ──► Seen ──► warnings ─┐
//!                                   │                 ▼
//!  buttons ─► debounced ─► acts ─► Wish     View ──► screen │ lamps, buzzer │ status line
//!                           ▲       │
//!                           └ answer ┘ the board performs the wish         events ──► log
//! ```
//!
//! The board calls [`Panel::note`] on every tick, so that no alarm is missed, and [`Panel::update`] between ticks, every
//! 50 to 250 ms. The panel holds no controller: it can change nothing but by a [`Wish`], which the board performs with
//! [`Controller::act`](crate::Controller::act) and answers. A wish is a rate within the set limits, a lot of the book, a
//! fill, or the begin or end of a field: the machine's own settings have no button.
//!
//! Not for safety: a person must not trust a lamp, a buzzer or a word on a display with a hand near a meter.

mod acts;
mod advice;
mod boxes;
mod buttons;
mod cab;
mod clock;
mod config;
mod display;
mod drill_state;
mod event;
mod field;
mod history;
mod lcd;
mod line;
mod lots;
mod pages;
mod pattern;
mod question;
mod rate_steps;
mod row;
mod screen;
mod seen;
mod status;
mod told;
mod units;
mod view;
mod warning;
mod wish;

pub use advice::{ADVICE_ROWS, Advice, ITEMS};
pub use boxes::{BOXES, BoxConfig};
pub use buttons::Buttons;
pub use cab::Panel;
pub use config::{PanelConfig, PanelError};
pub use drill_state::{DrillState, reason_of};
pub use event::{Event, EventKind, EventLine};
pub use field::Field;
pub use history::WAITING;
pub use lcd::Lcd;
pub use lots::{Lot, LotBook, LotConfig, LotError, LotWrong, MAX_LOTS};
pub use pages::{Page, pages};
pub use pattern::{Lamps, Pattern, Signals};
pub use question::QUESTION_FOR;
pub use rate_steps::RateSteps;
pub use row::Row;
pub use screen::{Screen, Size};
pub use seen::Seen;
pub use status::StatusLine;
pub use units::Units;
pub use view::View;
pub use wish::{Answer, Why, Wish};
