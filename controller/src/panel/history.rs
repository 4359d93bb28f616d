//! What happened, waiting for the board to fetch it.

use super::boxes::BOXES;
use super::buttons::Contact;
use super::drill_state::number_of;
use super::event::{Event, EventKind};
use super::seen::Seen;
use crate::MAX_SIDES;
use crate::quantity::{Instant, MilligramsPerSquareMetre};
use crate::section::SideState;
use crate::watch::Item;
use heapless::Vec;

/// Events that wait for the board at most.
pub const WAITING: usize = 32;

/// The log, and what was so at the last look.
#[derive(Clone, Debug, Default)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
pub(super) struct History {
    waiting: Vec<Event, WAITING>,
    number: u32,
    dropped: u32,
    begun: bool,
    states: [SideState; MAX_SIDES],
    rates: [MilligramsPerSquareMetre; BOXES],
    alarm: Option<Item>,
    master: Contact,
    hold: Contact,
    switches: [Contact; MAX_SIDES],
}

/// What is entered.
#[derive(Clone, Copy, Debug)]
pub(super) struct Entry {
    pub(super) kind: EventKind,
    pub(super) value: u32,
    pub(super) side: Option<u8>,
}

impl Entry {
    /// Of the drill as a whole.
    pub(super) const fn of_all(kind: EventKind, value: u32) -> Self {
        Self { kind, value, side: None }
    }

    /// Of a side or a box.
    pub(super) fn of(kind: EventKind, value: u32, side: usize) -> Self {
        Self { kind, value, side: u8::try_from(side).ok() }
    }
}

impl History {
    /// Enters an event at the drill's place.
    pub(super) fn enter(&mut self, entry: Entry, seen: &Seen, at_ms: u32) {
        self.number = self.number.saturating_add(1);
        let Entry { kind, value, side } = entry;
        let Seen { way_mm, position, .. } = *seen;
        let event = Event { number: self.number, at_ms, way_mm, kind, value, side, position };
        if self.waiting.push(event).is_err() {
            self.dropped = self.dropped.saturating_add(1);
        }
    }

    /// Enters what changed since the last look.
    pub(super) fn watch(&mut self, seen: &Seen, alarm: Option<Item>, now: Instant, at_ms: u32) {
        if !self.begun {
            self.begun = true;
            let sides = u32::try_from(seen.sides).unwrap_or(u32::MAX);
            self.enter(Entry::of_all(EventKind::Begin, sides), seen, at_ms);
        }
        self.watch_contacts(seen, now, at_ms);
        for side in 0..seen.sides.min(MAX_SIDES) {
            let (Some(state), Some(was)) = (seen.states.get(side), self.states.get_mut(side))
            else {
                continue;
            };
            if *state != *was {
                *was = *state;
                self.enter(Entry::of(EventKind::State, number_of(*state), side), seen, at_ms);
            }
        }
        for product in 0..seen.boxes.min(BOXES) {
            let (Some(rate), Some(was)) = (seen.rates.get(product), self.rates.get_mut(product))
            else {
                continue;
            };
            if *rate != *was {
                *was = *rate;
                self.enter(Entry::of(EventKind::Rate, rate.to_bits(), product), seen, at_ms);
            }
        }
        self.watch_alarm(seen, alarm, at_ms);
    }

    fn watch_alarm(&mut self, seen: &Seen, alarm: Option<Item>, at_ms: u32) {
        if alarm == self.alarm {
            return;
        }
        let entry = |kind, item: Item| Entry::of_all(kind, u32::from(item.number()));
        if let Some(gone) = self.alarm {
            self.enter(entry(EventKind::AlarmOff, gone), seen, at_ms);
        }
        if let Some(come) = alarm {
            self.enter(entry(EventKind::AlarmOn, come), seen, at_ms);
        }
        self.alarm = alarm;
    }

    fn watch_contacts(&mut self, seen: &Seen, now: Instant, at_ms: u32) {
        if let Some(on) = self.master.change(seen.master, now) {
            self.enter(Entry::of_all(EventKind::Master, u32::from(on)), seen, at_ms);
        }
        if let Some(on) = self.hold.change(seen.hold, now) {
            self.enter(Entry::of_all(EventKind::Hold, u32::from(on)), seen, at_ms);
        }
        for side in 0..seen.sides.min(MAX_SIDES) {
            let (Some(reads), Some(contact)) =
                (seen.switches.get(side), self.switches.get_mut(side))
            else {
                continue;
            };
            if let Some(on) = contact.change(*reads, now) {
                self.enter(Entry::of(EventKind::Switch, u32::from(on), side), seen, at_ms);
            }
        }
    }

    /// Takes the oldest event that waits.
    pub(super) fn fetch(&mut self) -> Option<Event> {
        let event = self.waiting.first().copied()?;
        self.waiting.rotate_left(1);
        let _taken = self.waiting.pop();
        Some(event)
    }

    /// Events that found no room.
    pub(super) const fn dropped(&self) -> u32 {
        self.dropped
    }

    /// Goes on after a number that was kept.
    pub(super) fn resume(&mut self, number: u32) {
        self.number = self.number.max(number);
    }
}
