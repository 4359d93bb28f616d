//! Events: acts, changes of state, alarms, rates, fills and fields, each with its time and place.
//!
//! As a line of text: `event=N at=S.SSS way=M.MMM kind=WORD value=N [side=N] [lat=D.DDDDDDD lon=D.DDDDDDD]`

use super::line::Line;
use crate::quantity::Position;
use heapless::String;

/// What happened. The number is stable.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[repr(u8)]
#[non_exhaustive]
pub enum EventKind {
    /// Power-up. Value: sides.
    Begin = 1,
    /// A side's state. Value: its number.
    State = 2,
    /// An alarm came. Value: the item's number.
    AlarmOn = 3,
    /// It went.
    AlarmOff = 4,
    /// The rate in force of a box. Value: 2^-16 mg/m².
    Rate = 5,
    /// A lot was put in force. Value: the lot, from 1.
    Lot = 6,
    /// A box was filled. Value: what it holds, g.
    Filled = 7,
    /// A field began. Value: its number.
    FieldBegins = 8,
    /// It ended. Value: its area, m².
    FieldEnds = 9,
    /// The master switch. Value: 0 off, 1 on.
    Master = 10,
    /// A side's switch. Value: 0 off, 1 on.
    Switch = 11,
    /// The hold button. Value: 0 let go, 1 pressed.
    Hold = 12,
    /// A wish was refused. Value: the number of the event that it would have been.
    Refused = 13,
    /// The alarm was noticed: the buzzer is silent. Value: the item's number.
    Noticed = 14,
    /// A side may go on by its map alone.
    ByMap = 15,
    /// The drive was mended: what was learnt of the maps is forgotten.
    Mended = 16,
}

impl EventKind {
    /// All of them, by number.
    pub const ALL: [Self; 16] = [
        Self::Begin,
        Self::State,
        Self::AlarmOn,
        Self::AlarmOff,
        Self::Rate,
        Self::Lot,
        Self::Filled,
        Self::FieldBegins,
        Self::FieldEnds,
        Self::Master,
        Self::Switch,
        Self::Hold,
        Self::Refused,
        Self::Noticed,
        Self::ByMap,
        Self::Mended,
    ];

    /// The stable number.
    #[must_use]
    pub const fn number(self) -> u8 {
        #[expect(clippy::as_conversions, reason = "the enum is repr(u8)")]
        let number = self as u8;
        number
    }

    /// The kind of a stable number.
    #[must_use]
    pub fn of_number(number: u8) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.number() == number)
    }

    /// Its word in a line.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Begin => "begin",
            Self::State => "state",
            Self::AlarmOn => "alarm-on",
            Self::AlarmOff => "alarm-off",
            Self::Rate => "rate",
            Self::Lot => "lot",
            Self::Filled => "filled",
            Self::FieldBegins => "field-begins",
            Self::FieldEnds => "field-ends",
            Self::Master => "master",
            Self::Switch => "switch",
            Self::Hold => "hold",
            Self::Refused => "refused",
            Self::Noticed => "noticed",
            Self::ByMap => "by-map",
            Self::Mended => "mended",
        }
    }
}

/// An event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Event {
    /// Running number, from 1; one that was dropped leaves its number out.
    pub number: u32,
    /// Time since power-up, ms.
    pub at_ms: u32,
    /// Way of the drill in work since the counts began, mm.
    pub way_mm: u32,
    /// What happened.
    pub kind: EventKind,
    /// See [`EventKind`].
    pub value: u32,
    /// The side or the box, from 0, if it is of one.
    pub side: Option<u8>,
    /// Where the antenna was, if that was known.
    pub position: Option<Position>,
}

/// A line of text.
pub type EventLine = String<128>;

impl Event {
    /// As a line of text, without an end of line. Sides and boxes are counted from 1 in it.
    #[must_use]
    pub fn line(&self) -> EventLine {
        let mut line = Line::<128>::default();
        line.text("event=");
        line.number(u64::from(self.number));
        line.text(" at=");
        line.decimal(u64::from(self.at_ms), 3);
        line.text(" way=");
        line.decimal(u64::from(self.way_mm), 3);
        line.text(" kind=");
        line.text(self.kind.word());
        line.text(" value=");
        line.number(u64::from(self.value));
        if let Some(side) = self.side {
            line.text(" side=");
            line.number(u64::from(side).saturating_add(1));
        }
        if let Some(position) = self.position {
            line.text(" lat=");
            line.signed(i64::from(position.latitude()), 7);
            line.text(" lon=");
            line.signed(i64::from(position.longitude()), 7);
        }
        line.into_text()
    }
}

#[cfg(test)]
mod tests {
    use super::{Event, EventKind};
    use crate::quantity::Position;

    #[test]
    fn the_longest_event_fits_its_line() {
        let event = Event {
            number: u32::MAX,
            at_ms: u32::MAX,
            way_mm: u32::MAX,
            kind: EventKind::FieldBegins,
            value: u32::MAX,
            side: Some(u8::MAX),
            position: Position::new(-900_000_000, -1_800_000_000),
        };
        assert_eq!(
            event.line(),
            "event=4294967295 at=4294967.295 way=4294967.295 kind=field-begins value=4294967295 side=256 \
             lat=-90.0000000 lon=-180.0000000"
        );
        let short = Event { number: 1, at_ms: 5, side: None, position: None, ..event };
        assert!(short.line().starts_with("event=1 at=0.005 way="), "{}", short.line());
    }

    #[test]
    fn numbers_of_kinds_are_stable_and_come_back() {
        for (number, kind) in (1_u8..).zip(EventKind::ALL) {
            assert_eq!(kind.number(), number, "{kind:?}");
            assert_eq!(EventKind::of_number(number), Some(kind));
        }
        assert_eq!((EventKind::of_number(0), EventKind::of_number(17)), (None, None));
    }
}
